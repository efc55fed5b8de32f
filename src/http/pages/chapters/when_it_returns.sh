#! When it returns
# Find the vehicle, read the verdict, see what a service would do today, and log it. Done in this order it takes three calls.
#: begin
VEHICLE=$(curl -s "$LUSTRUM/v1/vehicles?q=SK41701" -H "$AUTH" | keep)
#= GET /v1/eligibility
curl -s "$LUSTRUM/v1/eligibility?plate=SK41701" -H "$AUTH"
#= POST /v1/visits
VISIT=$(curl -s "$LUSTRUM/v1/visits" -H "$AUTH" --json '{
  "vehicle_id": "'$VEHICLE'", "on": "'$TODAY'",
  "services": [{"service": "maintenance wash",
                "finding": "Beads everywhere but on the sills."}],
  "note": "Owner asks about a topper before winter."}' | keep)
#= GET /v1/visits
curl -s "$LUSTRUM/v1/visits?vehicle_id=$VEHICLE" -H "$AUTH"
#= GET /v1/visits/{id}
curl -s "$LUSTRUM/v1/visits/$VISIT" -H "$AUTH"
#= POST /v1/visits/{id}/photos
# Proof of a service that was done elsewhere; a picture of one pixel stands here for yours.
printf %s 'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==' |
  base64 -d > invoice.png
PROOF=$(curl -s "$LUSTRUM/v1/visits/$VISIT/photos?note=Invoice%20as%20shown" -H "$AUTH" \
  -H 'Content-Type: image/png' --data-binary @invoice.png | keep)
#= GET /v1/visits/{id}/photos
curl -s "$LUSTRUM/v1/visits/$VISIT/photos" -H "$AUTH"
#= GET /v1/visits/{id}/photos/{row}
curl -s "$LUSTRUM/v1/visits/$VISIT/photos/$PROOF" -H "$AUTH"
#= GET /v1/visits/{id}/photos/{row}/file
curl -s -o proof.png "$LUSTRUM/v1/visits/$VISIT/photos/$PROOF/file" -H "$AUTH"
#= GET /v1/visits/{id}/photos/{row}/thumbnail
curl -s -o proof-small.jpg "$LUSTRUM/v1/visits/$VISIT/photos/$PROOF/thumbnail" -H "$AUTH"
#= DELETE /v1/visits/{id}/photos/{row}
curl -s -X DELETE "$LUSTRUM/v1/visits/$VISIT/photos/$PROOF" -H "$AUTH" \
  -H "If-Match: $(etag /v1/visits/$VISIT/photos/$PROOF)"
#= POST /v1/visits/{id}/countersign
curl -s "$LUSTRUM/v1/visits/$VISIT/countersign" -H "$AUTH" \
  --json '{"reason": "The wash was seen to be done in time."}'
#= POST /v1/vehicles/{id}/readings
READING=$(curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/readings" -H "$AUTH" --json '{
  "on": "'$TODAY'", "odometer": {"value": 21480, "unit": "km"}}' | keep)
#= POST /v1/vehicles/{id}/readings/{event}/correct
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/readings/$READING/correct" -H "$AUTH" --json '{
  "odometer": {"value": 21840, "unit": "km"}, "reason": "Two digits had changed places."}'
#= GET /v1/vehicles/{id}/readings
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/readings" -H "$AUTH"
#= GET /v1/vehicles/{id}/history
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/history" -H "$AUTH"
#= GET /v1/vehicles/{id}/history.pdf
curl -s -o history.pdf "$LUSTRUM/v1/vehicles/$VEHICLE/history.pdf" -H "$AUTH"
#= GET /v1/vehicles/{id}/dispute-file.pdf
curl -s -o dispute-file.pdf "$LUSTRUM/v1/vehicles/$VEHICLE/dispute-file.pdf" -H "$AUTH"
