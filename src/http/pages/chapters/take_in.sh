#! Take a vehicle in
# Who comes with which vehicle, booked in or not, and the job that is opened for it. A plate and an odometer are enough; an
# owner, a VIN and the rest can follow.
#: begin
#= GET /v1/customers
curl -s "$LUSTRUM/v1/customers?q=falk" -H "$AUTH"
#= POST /v1/customers
CUSTOMER=$(curl -s "$LUSTRUM/v1/customers" -H "$AUTH" --json '{
  "name": "Eilif Grann", "email": "eilif@owners.example", "language": "en",
  "time_zone": "Europe/Oslo"}' | keep)
#= GET /v1/customers/{id}
curl -s "$LUSTRUM/v1/customers/$CUSTOMER" -H "$AUTH"
#= PATCH /v1/customers/{id}
curl -s -X PATCH "$LUSTRUM/v1/customers/$CUSTOMER" -H "$AUTH" \
  -H "If-Match: $(etag /v1/customers/$CUSTOMER)" \
  --json '{"phone": "+47 5550 0149", "mail": {"history": false}}'
#= GET /v1/vehicles
curl -s "$LUSTRUM/v1/vehicles?q=vento" -H "$AUTH"
#= POST /v1/vehicles
VEHICLE=$(curl -s "$LUSTRUM/v1/vehicles" -H "$AUTH" --json '{
  "plate": "SK 33 120", "make": "Corvina", "model": "Estate", "model_year": 2024,
  "colour": "harbour grey",
  "finish": "clear_coat", "size": "large", "customer_id": "'$CUSTOMER'"}' | keep)
#= GET /v1/vehicles/{id}
curl -s "$LUSTRUM/v1/vehicles/$VEHICLE" -H "$AUTH"
#= PATCH /v1/vehicles/{id}
curl -s -X PATCH "$LUSTRUM/v1/vehicles/$VEHICLE" -H "$AUTH" \
  -H "If-Match: $(etag /v1/vehicles/$VEHICLE)" \
  --json '{"colour": "harbour grey, matte wrap on the roof"}'
#= GET /v1/appointments
curl -s "$LUSTRUM/v1/appointments?state=booked" -H "$AUTH"
#= POST /v1/appointments
TOMORROW=$(date -u -d tomorrow +%F 2>/dev/null || date -u -v+1d +%F)
APPOINTMENT=$(curl -s "$LUSTRUM/v1/appointments" -H "$AUTH" --json '{
  "vehicle_id": "'$VEHICLE'", "at": "'$TOMORROW'T12:00:00Z",
  "note": "Comes by tram."}' | keep)
#= GET /v1/appointments/calendar.ics
curl -s -o shop.ics "$LUSTRUM/v1/appointments/calendar.ics" -H "$AUTH"
#= POST /v1/appointments/calendar-link
curl -s -X POST "$LUSTRUM/v1/appointments/calendar-link" -H "$AUTH"
#= POST /v1/appointments/calendar-link/revoke
curl -s -X POST "$LUSTRUM/v1/appointments/calendar-link/revoke" -H "$AUTH"
#= GET /v1/appointments/{id}
curl -s "$LUSTRUM/v1/appointments/$APPOINTMENT" -H "$AUTH"
#= PATCH /v1/appointments/{id}
curl -s -X PATCH "$LUSTRUM/v1/appointments/$APPOINTMENT" -H "$AUTH" \
  -H "If-Match: $(etag /v1/appointments/$APPOINTMENT)" --json '{"state": "cancelled"}'
#= GET /v1/jobs
curl -s "$LUSTRUM/v1/jobs?state=handed_over&limit=2" -H "$AUTH"
#= POST /v1/jobs
JOB=$(curl -s "$LUSTRUM/v1/jobs" -H "$AUTH" --json '{
  "vehicle_id": "'$VEHICLE'", "odometer": {"value": 412, "unit": "km"},
  "terms": {"code": "five-winters"},
  "panels": {"paint": ["bonnet", "roof", "boot"]},
  "excluded_panels": ["front_bumper"]}' | keep)
#= GET /v1/jobs/{id}
curl -s "$LUSTRUM/v1/jobs/$JOB" -H "$AUTH"
#= PATCH /v1/jobs/{id}
curl -s -X PATCH "$LUSTRUM/v1/jobs/$JOB" -H "$AUTH" -H "If-Match: $(etag /v1/jobs/$JOB)" \
  --json '{"odometer": {"value": 421, "unit": "km"}}'
#= GET /v1/jobs/{id}/marks
curl -s "$LUSTRUM/v1/jobs/$JOB/marks" -H "$AUTH"
#= POST /v1/jobs/{id}/marks
MARK=$(curl -s "$LUSTRUM/v1/jobs/$JOB/marks" -H "$AUTH" --json '{
  "panel": "boot", "kind": "stone_chip", "size_mm": 2, "note": "Beside the handle."}' | keep)
#= GET /v1/jobs/{id}/marks/{row}
curl -s "$LUSTRUM/v1/jobs/$JOB/marks/$MARK" -H "$AUTH"
#= PATCH /v1/jobs/{id}/marks/{row}
curl -s -X PATCH "$LUSTRUM/v1/jobs/$JOB/marks/$MARK" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/marks/$MARK)" --json '{"size_mm": 3}'
#= DELETE /v1/jobs/{id}/marks/{row}
curl -s -X DELETE "$LUSTRUM/v1/jobs/$JOB/marks/$MARK" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/marks/$MARK)"
#= GET /v1/jobs/{id}/paint-readings
curl -s "$LUSTRUM/v1/jobs/$JOB/paint-readings" -H "$AUTH"
#= POST /v1/jobs/{id}/paint-readings
PAINT=$(curl -s "$LUSTRUM/v1/jobs/$JOB/paint-readings" -H "$AUTH" --json '{
  "panel": "bonnet", "when": "before",
  "spots": [{"spot": "front", "um": 118}, {"spot": "middle", "um": 112}, {"spot": "rear", "um": 121}]}' | keep)
#= GET /v1/jobs/{id}/paint-readings/{row}
curl -s "$LUSTRUM/v1/jobs/$JOB/paint-readings/$PAINT" -H "$AUTH"
#= PATCH /v1/jobs/{id}/paint-readings/{row}
curl -s -X PATCH "$LUSTRUM/v1/jobs/$JOB/paint-readings/$PAINT" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/paint-readings/$PAINT)" --json '{"ground": "paint"}'
#= GET /v1/jobs/{id}/paint
curl -s "$LUSTRUM/v1/jobs/$JOB/paint" -H "$AUTH"
#= GET /v1/jobs/{id}/panels.svg
curl -s -o panels.svg "$LUSTRUM/v1/jobs/$JOB/panels.svg" -H "$AUTH"
#= DELETE /v1/jobs/{id}/paint-readings/{row}
curl -s -X DELETE "$LUSTRUM/v1/jobs/$JOB/paint-readings/$PAINT" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/paint-readings/$PAINT)"
#= GET /v1/jobs/{id}/photos
curl -s "$LUSTRUM/v1/jobs/$JOB/photos" -H "$AUTH"
#= POST /v1/jobs/{id}/photos
# A picture of one pixel stands here for yours.
printf %s 'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==' |
  base64 -d > boot.png
PHOTO=$(curl -s "$LUSTRUM/v1/jobs/$JOB/photos?panel=boot&note=Beside%20the%20handle" -H "$AUTH" \
  -H 'Content-Type: image/png' --data-binary @boot.png | keep)
#= GET /v1/jobs/{id}/photos/{row}
curl -s "$LUSTRUM/v1/jobs/$JOB/photos/$PHOTO" -H "$AUTH"
#= GET /v1/jobs/{id}/photos/{row}/file
curl -s -o kept.png "$LUSTRUM/v1/jobs/$JOB/photos/$PHOTO/file" -H "$AUTH"
#= GET /v1/jobs/{id}/photos/{row}/thumbnail
curl -s -o small.jpg "$LUSTRUM/v1/jobs/$JOB/photos/$PHOTO/thumbnail" -H "$AUTH"
#= PATCH /v1/jobs/{id}/photos/{row}
curl -s -X PATCH "$LUSTRUM/v1/jobs/$JOB/photos/$PHOTO" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/photos/$PHOTO)" --json '{"note": "Below the handle."}'
#= DELETE /v1/jobs/{id}/photos/{row}
curl -s -X DELETE "$LUSTRUM/v1/jobs/$JOB/photos/$PHOTO" -H "$AUTH" \
  -H "If-Match: $(etag /v1/jobs/$JOB/photos/$PHOTO)"
#= GET /v1/jobs/{id}/check-in
curl -s "$LUSTRUM/v1/jobs/$JOB/check-in" -H "$AUTH"
#= POST /v1/jobs/{id}/signatures
DIGEST=$(curl -s "$LUSTRUM/v1/jobs/$JOB/check-in" -H "$AUTH" |
  grep -o '"digest":"[^"]*' | sed -n '$s/.*"//p')
SIGNATURE=$(curl -s "$LUSTRUM/v1/jobs/$JOB/signatures" -H "$AUTH" --json '{
  "of": "check_in", "digest": "'$DIGEST'", "name": "Eilif Grann",
  "strokes": [[[10, 40], [22, 12], [30, 38]], [[36, 30], [58, 28]]]}' | keep)
#= GET /v1/jobs/{id}/signatures
curl -s "$LUSTRUM/v1/jobs/$JOB/signatures" -H "$AUTH"
#= GET /v1/jobs/{id}/signatures/{row}
curl -s "$LUSTRUM/v1/jobs/$JOB/signatures/$SIGNATURE" -H "$AUTH"
#= POST /v1/jobs/{id}/cancel
curl -s "$LUSTRUM/v1/jobs/$JOB/cancel" -H "$AUTH" \
  --json '{"reason": "The owner changed their mind."}'
