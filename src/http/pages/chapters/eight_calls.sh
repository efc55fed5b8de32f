#! A job in eight calls
# What a shop of two does of an evening: a package, the shop's own template, says which steps and coats a job has; so a job is
# opened with it, confirmed, signed off and handed over. Sign-in included these are seven calls; the eighth asks what the
# vehicle's owner will ask.
#
# The package is made once (`POST /v1/packages`); the demo has one, `winter-delivery`. Its answer says under `falls_short` what
# a job from it would lack for a warranty on its terms: put that right before the first vehicle stands in the bay. Photos,
# climate, marks and signatures can be added before the sign-off, and what was forgotten afterwards; nothing optional ever blocks.
#: begin
#= Whose vehicle it is
# Not needed where they are known, or nobody's.
CUSTOMER=$(curl -s "$LUSTRUM/v1/customers" -H "$AUTH" --json '{
  "name": "Eivind Holt", "email": "eivind@owners.example"}' | keep)
#= The vehicle
# By plate or VIN. One that the shop knows is found by `GET /v1/vehicles?q=…`.
VEHICLE=$(curl -s "$LUSTRUM/v1/vehicles" -H "$AUTH" --json '{
  "plate": "SK 55 208", "make": "Sorrel", "model": "Pico",
  "customer_id": "'$CUSTOMER'"}' | keep)
#= Taken in
# With the odometer and the package. Panels that are left out this time are said here.
JOB=$(curl -s "$LUSTRUM/v1/jobs" -H "$AUTH" --json '{
  "vehicle_id": "'$VEHICLE'", "odometer": {"value": 12, "unit": "km"},
  "package": "winter-delivery"}' | keep)
#= Done
# All steps of the package, and its coats, each by its place: when it began and ended, and from which bottle. A bottle need
# not be named where one of the product is open (`opened_on` of its batch).
curl -s "$LUSTRUM/v1/jobs/$JOB/confirm" -H "$AUTH" --json '{"coats": [
  {"place": 0, "batch": "B30-0417",
   "started_at": "'$YESTERDAY'T09:00:00Z", "ended_at": "'$YESTERDAY'T10:10:00Z"},
  {"place": 1, "batch": "T10-2207",
   "started_at": "'$YESTERDAY'T11:30:00Z", "ended_at": "'$YESTERDAY'T12:20:00Z"},
  {"place": 2, "batch": "G8-0931",
   "started_at": "'$YESTERDAY'T12:30:00Z", "ended_at": "'$YESTERDAY'T12:50:00Z"}]}'
#= Signed off
# The answer says under `falls_short` what would be missing for the warranty. A step that was done and not entered follows as
# an addendum (`POST /v1/jobs/{id}/addenda`), marked with who entered it afterwards.
curl -s -X POST "$LUSTRUM/v1/jobs/$JOB/sign-off" -H "$AUTH"
#= Handed over
# The warranty, and from when on the vehicle may meet water and be washed. A technician works and signs off; desk and manager
# hand over.
curl -s "$LUSTRUM/v1/jobs/$JOB/handover" -H "$AUTH" --json '{
  "on": "'$TODAY'", "odometer": {"value": 15, "unit": "km"}}'
#= What the owner will ask
# Whether cover is in force, on what, and what comes next.
curl -s "$LUSTRUM/v1/eligibility?plate=SK55208" -H "$AUTH"
