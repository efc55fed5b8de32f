#! Log the work
# Steps, climate and coats, as they happen or in the evening; what is known by now is checked each time it is asked for.
# Nothing is refused for being out of order or too early: it shows among the checks, and some of those stop the sign-off.
#: begin
#: a job to work on
# The examples below go through one job that is opened from a package.
curl -s -o /dev/null "$LUSTRUM/v1/packages" -H "$AUTH" --json '{
  "code": "bonnet-and-roof", "title": "Bonnet and roof",
  "steps": [{"kind": "decontamination", "surfaces": ["paint"]}, {"kind": "panel_wipe",
                                                                 "surfaces": ["paint"]}],
  "coats": [{"surface": "paint", "panels": ["bonnet", "roof"], "product": "base-30"}]}'
VEHICLE=$(curl -s "$LUSTRUM/v1/vehicles" -H "$AUTH" \
  --json '{"plate": "SK 61 554"}' | keep)
JOB=$(curl -s "$LUSTRUM/v1/jobs" -H "$AUTH" --json '{
  "vehicle_id": "'$VEHICLE'", "odometer": {"value": 18240, "unit": "km"},
  "package": "bonnet-and-roof"}' | keep)
#= POST /v1/jobs/{id}/confirm
curl -s "$LUSTRUM/v1/jobs/$JOB/confirm" -H "$AUTH" --json '{
  "coats": [{"place": 0, "batch": "B30-0417", "started_at": "'$YESTERDAY'T10:00:00Z",
             "ended_at": "'$YESTERDAY'T10:40:00Z"}]}'
#= GET /v1/jobs/{id}/steps
curl -s "$LUSTRUM/v1/jobs/$JOB/steps" -H "$AUTH"
#= POST /v1/jobs/{id}/steps
STEP=$(curl -s "$LUSTRUM/v1/jobs/$JOB/steps" -H "$AUTH" --json '{
  "kind": "contact_wash", "surfaces": ["paint", "glass"], "product": "foam-7",
  "dilution": "1:200",
  "started_at": "'$YESTERDAY'T08:30:00Z",
  "ended_at": "'$YESTERDAY'T09:00:00Z"}' | keep)
#= GET /v1/jobs/{id}/steps/{row}
curl -s "$LUSTRUM/v1/jobs/$JOB/steps/$STEP" -H "$AUTH"
#= PATCH /v1/jobs/{id}/steps/{row}
curl -s -X PATCH "$LUSTRUM/v1/jobs/$JOB/steps/$STEP" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/steps/$STEP)" --json '{"dilution": "1:100"}'
#= DELETE /v1/jobs/{id}/steps/{row}
curl -s -X DELETE "$LUSTRUM/v1/jobs/$JOB/steps/$STEP" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/steps/$STEP)"
#= GET /v1/jobs/{id}/climate
curl -s "$LUSTRUM/v1/jobs/$JOB/climate" -H "$AUTH"
#= POST /v1/jobs/{id}/climate
READING=$(curl -s "$LUSTRUM/v1/jobs/$JOB/climate" -H "$AUTH" --json '{
  "at": "'$YESTERDAY'T09:55:00Z", "air_c": 20.5, "rh_pct": 48, "surface_c": 19,
  "place": "bay"}' | keep)
# The same from the file of a logger, as the logger wrote it; validate_only=true shows
# first what was made out of it.
printf 'Time;Air (°C);RH (%%)\n'$YESTERDAY' 09:30;20,5;48\n'$YESTERDAY' 09:40;20,6;47\n' |
  curl -s "$LUSTRUM/v1/jobs/$JOB/climate?place=bay" -H "$AUTH" \
  -H "Content-Type: text/csv" --data-binary @-
#= GET /v1/jobs/{id}/climate.svg
curl -s -o climate.svg "$LUSTRUM/v1/jobs/$JOB/climate.svg" -H "$AUTH"
#= GET /v1/jobs/{id}/cure.svg
curl -s -o cure.svg "$LUSTRUM/v1/jobs/$JOB/cure.svg" -H "$AUTH"
#= GET /v1/jobs/{id}/climate/{row}
curl -s "$LUSTRUM/v1/jobs/$JOB/climate/$READING" -H "$AUTH"
#= PATCH /v1/jobs/{id}/climate/{row}
curl -s -X PATCH "$LUSTRUM/v1/jobs/$JOB/climate/$READING" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/climate/$READING)" --json '{"surface_c": 18.5}'
#= DELETE /v1/jobs/{id}/climate/{row}
curl -s -X DELETE "$LUSTRUM/v1/jobs/$JOB/climate/$READING" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/climate/$READING)"
#= GET /v1/jobs/{id}/coats
curl -s "$LUSTRUM/v1/jobs/$JOB/coats" -H "$AUTH"
#= POST /v1/jobs/{id}/coats
COAT=$(curl -s "$LUSTRUM/v1/jobs/$JOB/coats" -H "$AUTH" --json '{
  "surface": "paint", "panels": ["bonnet", "roof"], "product": "top-10",
  "batch": "T10-9999", "ml": 12,
  "started_at": "'$YESTERDAY'T11:45:00Z", "ended_at": "'$YESTERDAY'T12:15:00Z",
  "sections": [{"panels": ["bonnet"], "applied_at": "'$YESTERDAY'T11:46:00Z",
                "levelled_at": "'$YESTERDAY'T11:49:00Z"}]}' | keep)
#= GET /v1/jobs/{id}/coats/{row}
curl -s "$LUSTRUM/v1/jobs/$JOB/coats/$COAT" -H "$AUTH"
#= PATCH /v1/jobs/{id}/coats/{row}
curl -s -X PATCH "$LUSTRUM/v1/jobs/$JOB/coats/$COAT" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/coats/$COAT)" --json '{"ml": 14}'
#= GET /v1/jobs/{id}/checks
curl -s "$LUSTRUM/v1/jobs/$JOB/checks" -H "$AUTH"
#= GET /v1/jobs/{id}/cure
curl -s "$LUSTRUM/v1/jobs/$JOB/cure" -H "$AUTH"
#= POST /v1/jobs/{id}/cure
curl -s "$LUSTRUM/v1/jobs/$JOB/cure" -H "$AUTH" --json '{
  "at": "'$TODAY'T08:00:00Z",
  "stages": [{"from": "'$YESTERDAY'T13:00:00Z", "until": "'$TODAY'T08:00:00Z",
              "c": 20, "rh_pct": 50}]}'
#= GET /v1/jobs/{id}/sheet.pdf
curl -s -o sheet.pdf "$LUSTRUM/v1/jobs/$JOB/sheet.pdf" -H "$AUTH"
#= POST /v1/jobs/{id}/passes
curl -s "$LUSTRUM/v1/jobs/$JOB/passes" -H "$AUTH" --json '{
  "code": "batch_unknown", "subject": "coat:'$COAT'",
  "reason": "The bottle was seen; its label is torn."}'
#= DELETE /v1/jobs/{id}/coats/{row}
curl -s -X DELETE "$LUSTRUM/v1/jobs/$JOB/coats/$COAT" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/coats/$COAT)"
#= POST /v1/jobs/{id}/sign-off
curl -s -X POST "$LUSTRUM/v1/jobs/$JOB/sign-off" -H "$AUTH"
#= GET /v1/jobs/{id}/addenda
curl -s "$LUSTRUM/v1/jobs/$JOB/addenda" -H "$AUTH"
#= POST /v1/jobs/{id}/addenda
curl -s "$LUSTRUM/v1/jobs/$JOB/addenda" -H "$AUTH" \
  --json '{"note": "The left mirror was masked."}'
