#! Things that happen
# A panel is refinished, the vehicle is sold, the shop was full on the last day, a bottle is called back, somebody entered a
# slip. Events are never changed or removed: a slip is taken back by another event, and both stay on record.
#: begin
VEHICLE=$(curl -s "$LUSTRUM/v1/vehicles?q=SK22095" -H "$AUTH" | keep)
WARRANTY=$(curl -s "$LUSTRUM/v1/warranties?vehicle_id=$VEHICLE" -H "$AUTH" | keep)
#= POST /v1/vehicles/{id}/events
EVENT=$(curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/events" -H "$AUTH" --json '{
  "kind": "repair", "on": "'$TODAY'", "surface": "paint", "panel": "bonnet"}' | keep)
# It was the boot: taken back, and entered as it was.
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/events" -H "$AUTH" --json '{
  "kind": "retract", "event": "'$EVENT'", "reason": "It was the boot."}'
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/events" -H "$AUTH" --json '{
  "kind": "repair", "on": "'$TODAY'", "surface": "paint", "panel": "boot"}'
#= GET /v1/vehicles/{id}/events
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/events" -H "$AUTH"
#= POST /v1/vehicles/{id}/transfers
SALE=$(curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/transfers" -H "$AUTH" --json '{
  "on": "'$TODAY'", "told": null,
  "customer": {"name": "Liv Torsheim", "email": "liv@owners.example"}}' | keep)
#= POST /v1/vehicles/{id}/transfers/{event}/told
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/transfers/$SALE/told" -H "$AUTH" --json '{"on": "'$TODAY'"}'
#= GET /v1/vehicles/{id}/transfers
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/transfers" -H "$AUTH"
#= POST /v1/warranties/{id}/extensions
curl -s "$LUSTRUM/v1/warranties/$WARRANTY/extensions" -H "$AUTH" --json '{
  "upkeep": "annual", "number": 3, "to": "'$(( $(date +%Y) + 2 ))'-06-30",
  "reason": "The shop was full."}'
#= POST /v1/warranties/{id}/waivers
curl -s "$LUSTRUM/v1/warranties/$WARRANTY/waivers" -H "$AUTH" --json '{
  "upkeep": "annual", "number": 4, "on": "'$TODAY'",
  "reason": "Laid up for the whole winter."}'
#= GET /v1/batches/{id}/vehicles
BATCH=$(curl -s "$LUSTRUM/v1/batches?number=B30-0417" -H "$AUTH" | keep)
curl -s "$LUSTRUM/v1/batches/$BATCH/vehicles" -H "$AUTH"
