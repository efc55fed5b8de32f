#! From zero to a warranty in ten calls
# Run `lustrum demo`, or `lustrum init` and `lustrum serve` for a shop of your own, and sign in. Ten calls later a vehicle has
# left the shop under warranty, with every date of its upkeep worked out.
#
# Each call stands on the ones before it: copy them into one shell, from the top. What is left out here (preparation,
# climate, photos, a package that fills a job in by itself) can be added at any time; nothing optional ever blocks.
#: begin
#= What the shop lays
# A coating comes with its data sheet: where it may go, and how it cures. Editions of a sheet never change, and each coat
# keeps the edition by which it was laid.
curl -s "$LUSTRUM/v1/products" -H "$AUTH" --json '{
  "code": "marsh-20", "title": "Marsh 20", "role": "coating",
  "sheet": {"surfaces": ["paint"],
            "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
                     "milestones": [{"name": "wash-safe", "h": 168}]}}}'
#= The bottle
# A job with a coat from a bottle that nobody registered is not signed off. So that a batch can be called back later.
curl -s "$LUSTRUM/v1/batches" -H "$AUTH" --json '{
  "product": "marsh-20", "number": "M20-0417", "expires_on": "2031-04-30", "ml": 50}'
#= What is promised
# Terms say what is covered for how long, what upkeep that asks for, and what happens when it is missed. A draft may have
# faults; the answer lists all of them.
curl -s "$LUSTRUM/v1/terms" -H "$AUTH" --json '{
  "terms": "lustrum-terms/1", "code": "three-winters", "edition": 1,
  "title": "Three winters",
  "cover": [{"surface": "paint", "lasts": {"years": 3}}],
  "upkeep": [{"key": "yearly", "service": "inspection", "by": "shop",
              "counted_from": "start",
              "every": {"years": 1}, "late": {"days": 30},
              "if_missed": {"effect": "end"}}]}'
#= Published
# From here on this edition stays as it is; a change is the next edition.
curl -s -X POST "$LUSTRUM/v1/terms/three-winters/editions/1/publish" -H "$AUTH"
#= Whose vehicle it is
# With an address they are told by mail what falls due, in their own time zone.
CUSTOMER=$(curl -s "$LUSTRUM/v1/customers" -H "$AUTH" --json '{
  "name": "Signe Aas", "email": "signe@owners.example"}' | keep)
#= The vehicle
# A plate or a VIN is needed, nothing else.
VEHICLE=$(curl -s "$LUSTRUM/v1/vehicles" -H "$AUTH" --json '{
  "plate": "SK 90 417", "make": "Sorrel", "model": "Pico",
  "customer_id": "'$CUSTOMER'"}' | keep)
#= Taken in
# With the odometer, and the terms that the warranty is to be issued on.
JOB=$(curl -s "$LUSTRUM/v1/jobs" -H "$AUTH" --json '{
  "vehicle_id": "'$VEHICLE'", "odometer": {"value": 412, "unit": "km"},
  "terms": {"code": "three-winters"}}' | keep)
#= The coat
# Panels, bottle, beginning and end. Times carry their offset.
curl -s "$LUSTRUM/v1/jobs/$JOB/coats" -H "$AUTH" --json '{
  "surface": "paint", "panels": ["bonnet", "roof", "boot"], "product": "marsh-20",
  "batch": "M20-0417",
  "started_at": "'$YESTERDAY'T10:00:00Z", "ended_at": "'$YESTERDAY'T11:10:00Z"}'
#= Signed off
# Everything that was logged becomes a record with a digest, and no longer changes unseen.
curl -s -X POST "$LUSTRUM/v1/jobs/$JOB/sign-off" -H "$AUTH"
#= Handed over
# The answer is the warranty: its number, and the first and last day of cover for each surface.
curl -s "$LUSTRUM/v1/jobs/$JOB/handover" -H "$AUTH" --json '{
  "on": "'$TODAY'", "odometer": {"value": 412, "unit": "km"}}'
#: and then
# When it comes back, one question answers everything: whether cover is in force, on what, why, and what a service
# would do today.
curl -s "$LUSTRUM/v1/eligibility?plate=SK90417" -H "$AUTH"
