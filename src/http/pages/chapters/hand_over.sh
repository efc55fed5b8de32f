#! Hand over
# The vehicle leaves, and the warranty that its terms promise is issued. A warranty keeps the edition of the terms, the
# surfaces and the panels as they were on that day; what happens later changes its verdict, never what was promised.
#: begin
#: a job that is signed off
# The examples below hand this one over, first without a warranty.
VEHICLE=$(curl -s "$LUSTRUM/v1/vehicles" -H "$AUTH" \
  --json '{"plate": "SK 12 806"}' | keep)
JOB=$(curl -s "$LUSTRUM/v1/jobs" -H "$AUTH" --json '{
  "vehicle_id": "'$VEHICLE'", "odometer": {"value": 9, "unit": "km"}}' | keep)
for COAT in '"paint", "panels": ["bonnet", "roof"], "product": "base-30", "batch": "B30-0417"' \
            '"paint", "panels": ["bonnet", "roof"], "product": "top-10", "batch": "T10-2207"' \
            '"glass", "panels": ["windscreen"], "product": "glass-8", "batch": "G8-0931"'; do
  curl -s -o /dev/null "$LUSTRUM/v1/jobs/$JOB/coats" -H "$AUTH" --json '{
    "started_at": "'$YESTERDAY'T10:00:00Z", "ended_at": "'$YESTERDAY'T10:40:00Z",
    "surface": '"$COAT"'}'
done
for STEP in decontamination panel_wipe; do
  curl -s -o /dev/null "$LUSTRUM/v1/jobs/$JOB/steps" -H "$AUTH" --json '{
    "kind": "'$STEP'", "surfaces": ["paint", "glass"], "ended_at": "'$YESTERDAY'T09:00:00Z"}'
done
curl -s -o /dev/null -X POST "$LUSTRUM/v1/jobs/$JOB/sign-off" -H "$AUTH"
#= POST /v1/jobs/{id}/handover
curl -s "$LUSTRUM/v1/jobs/$JOB/handover" -H "$AUTH" --json '{
  "on": "'$TODAY'", "odometer": {"value": 9, "unit": "km"}, "mail": false}'
#= GET /v1/jobs/{id}/handover
curl -s "$LUSTRUM/v1/jobs/$JOB/handover" -H "$AUTH"
#= POST /v1/jobs/{id}/warranty
curl -s "$LUSTRUM/v1/jobs/$JOB/warranty" -H "$AUTH" \
  --json '{"terms": {"code": "five-winters"}}'
WARRANTY=$(curl -s "$LUSTRUM/v1/warranties?limit=1" -H "$AUTH" | keep)
#= GET /v1/warranties
curl -s "$LUSTRUM/v1/warranties?vehicle_id=$VEHICLE" -H "$AUTH"
#= GET /v1/warranties/{id}
curl -s "$LUSTRUM/v1/warranties/$WARRANTY" -H "$AUTH"
#= GET /v1/jobs/{id}/winter-card.pdf
curl -s -o winter-card.pdf "$LUSTRUM/v1/jobs/$JOB/winter-card.pdf?language=de" -H "$AUTH"
#= GET /v1/warranties/{id}/certificate.pdf
curl -s -o certificate.pdf "$LUSTRUM/v1/warranties/$WARRANTY/certificate.pdf" -H "$AUTH"
#= GET /v1/warranties/{id}/certificate.jws
curl -s "$LUSTRUM/v1/warranties/$WARRANTY/certificate.jws" -H "$AUTH"
#= GET /.well-known/jwks.json
curl -s "$LUSTRUM/.well-known/jwks.json"
#= GET /v1/warranties/{id}/assessment
curl -s "$LUSTRUM/v1/warranties/$WARRANTY/assessment?as_of=$TODAY" -H "$AUTH"
#= GET /v1/warranties/{id}/dues
curl -s "$LUSTRUM/v1/warranties/$WARRANTY/dues" -H "$AUTH"
#= GET /v1/warranties/{id}/history.pdf
curl -s -o history.pdf "$LUSTRUM/v1/warranties/$WARRANTY/history.pdf?paper=letter" -H "$AUTH"
#= GET /v1/warranties/{id}/calendar.ics
curl -s -o dues.ics "$LUSTRUM/v1/warranties/$WARRANTY/calendar.ics" -H "$AUTH"
#= GET /v1/warranties/{id}/cover.svg
curl -s -o cover.svg "$LUSTRUM/v1/warranties/$WARRANTY/cover.svg" -H "$AUTH"
#= POST /v1/warranties/{id}/void
curl -s "$LUSTRUM/v1/warranties/$WARRANTY/void" -H "$AUTH" \
  --json '{"reason": "Issued for the wrong vehicle."}'
