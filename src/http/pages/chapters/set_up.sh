#! Set up the shop
# What is said once, before the first vehicle comes: who works here, what is laid and by which data sheet, what is
# promised on which terms, and the packages that fill in a job by themselves. Most of it is the manager's.
#: begin
#= GET /v1/shop
curl -s "$LUSTRUM/v1/shop" -H "$AUTH"
#= PATCH /v1/shop
curl -s -X PATCH "$LUSTRUM/v1/shop" -H "$AUTH" -H "If-Match: $(etag /v1/shop)" \
  --json '{"phone": "+47 5550 0118"}'
#= GET /v1/members
curl -s "$LUSTRUM/v1/members" -H "$AUTH"
#= POST /v1/members
MEMBER=$(curl -s "$LUSTRUM/v1/members" -H "$AUTH" --json '{
  "name": "Tuva (invented)", "email": "tuva@skerry.example", "role": "technician",
  "password": "rinse-before-you-wipe"}' | keep)
#= GET /v1/members/{id}
curl -s "$LUSTRUM/v1/members/$MEMBER" -H "$AUTH"
#= PATCH /v1/members/{id}
curl -s -X PATCH "$LUSTRUM/v1/members/$MEMBER" -H "$AUTH" \
  -H "If-Match: $(etag /v1/members/$MEMBER)" \
  --json '{"role": "desk"}'
#= GET /v1/products
curl -s "$LUSTRUM/v1/products" -H "$AUTH"
#= POST /v1/products
curl -s "$LUSTRUM/v1/products" -H "$AUTH" --json '{
  "code": "ridge-40", "title": "Ridge 40", "role": "coating",
  "sheet": {"surfaces": ["paint", "trim"], "apply": {"air_c": [10, 30],
                                                     "rh_pct": [30, 70]},
            "cure": {"reference": {"c": 20, "rh_pct": 50}, "stops_below_c": 5,
                     "temperature": {"q10": 2.0},
                     "milestones": [{"name": "water-safe", "h": 12},
                     {"name": "wash-safe", "h": 168}]}}}'
#= GET /v1/products/{code}
curl -s "$LUSTRUM/v1/products/base-30" -H "$AUTH"
#= PATCH /v1/products/{code}
curl -s -X PATCH "$LUSTRUM/v1/products/base-30" -H "$AUTH" \
  -H "If-Match: $(etag /v1/products/base-30)" \
  --json '{"title": "Base 30, the 30 ml bottle"}'
#= GET /v1/products/{code}/sheets
curl -s "$LUSTRUM/v1/products/base-30/sheets" -H "$AUTH"
#= POST /v1/products/{code}/sheets
curl -s "$LUSTRUM/v1/products/base-30/sheets" -H "$AUTH" --json '{
  "edition": 2, "surfaces": ["paint"], "apply": {"air_c": [5, 30], "rh_pct": [30, 80]},
  "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
           "milestones": [{"name": "wash-safe", "h": 144}]}}'
#= GET /v1/products/{code}/sheets/{n}
curl -s "$LUSTRUM/v1/products/base-30/sheets/1" -H "$AUTH"
#= GET /v1/batches
curl -s "$LUSTRUM/v1/batches?product=base-30" -H "$AUTH"
#= POST /v1/batches
BATCH=$(curl -s "$LUSTRUM/v1/batches" -H "$AUTH" --json '{
  "product": "base-30", "number": "B30-0533", "expires_on": "2031-04-30",
  "ml": 50}' | keep)
#= GET /v1/batches/{id}
curl -s "$LUSTRUM/v1/batches/$BATCH" -H "$AUTH"
#= PATCH /v1/batches/{id}
curl -s -X PATCH "$LUSTRUM/v1/batches/$BATCH" -H "$AUTH" \
  -H "If-Match: $(etag /v1/batches/$BATCH)" \
  --json '{"opened_on": "2026-03-02", "state": "quarantined"}'
#= GET /v1/terms
curl -s "$LUSTRUM/v1/terms" -H "$AUTH"
#= POST /v1/terms
curl -s "$LUSTRUM/v1/terms" -H "$AUTH" --json '{
  "terms": "lustrum-terms/1", "code": "two-summers", "edition": 1, "title": "Two summers",
  "cover": [{"surface": "paint", "lasts": {"years": 2}, "up_to_km": 40000}],
  "upkeep": [{"key": "wash", "service": "maintenance wash", "by": "owner",
              "counted_from": "last",
              "every": {"weeks": 8}, "late": {"weeks": 2},
              "if_missed": {"effect": "note"}}]}'
#= GET /v1/terms/{code}/editions/{n}
curl -s "$LUSTRUM/v1/terms/two-summers/editions/1" -H "$AUTH"
#= PUT /v1/terms/{code}/editions/{n}
curl -s -X PUT "$LUSTRUM/v1/terms/two-summers/editions/1" -H "$AUTH" \
  -H "If-Match: $(etag /v1/terms/two-summers/editions/1)" --json '{
  "terms": "lustrum-terms/1", "code": "two-summers", "edition": 1, "title": "Two summers",
  "cover": [{"surface": "paint", "lasts": {"months": 30}}],
  "upkeep": [{"key": "wash", "service": "maintenance wash", "by": "owner",
              "counted_from": "last",
              "every": {"weeks": 6}, "late": {"weeks": 2},
              "if_missed": {"effect": "note"}}]}'
#= POST /v1/terms/{code}/editions/{n}/preview
curl -s "$LUSTRUM/v1/terms/two-summers/editions/1/preview" -H "$AUTH" --json '{
  "facts": {"start": "2026-03-10", "surfaces": ["paint"],
            "events": [{"id": "a", "kind": "service", "service": "maintenance wash",
                        "on": "2026-04-21", "by": "owner"}]},
  "as_of": "2026-07-01"}'
#= POST /v1/terms/{code}/editions/{n}/publish
curl -s -X POST "$LUSTRUM/v1/terms/two-summers/editions/1/publish" -H "$AUTH"
#= POST /v1/terms/{code}/editions/{n}/retire
curl -s -X POST "$LUSTRUM/v1/terms/two-summers/editions/1/retire" -H "$AUTH"
#= GET /v1/packages
curl -s "$LUSTRUM/v1/packages" -H "$AUTH"
#= POST /v1/packages
curl -s "$LUSTRUM/v1/packages" -H "$AUTH" --json '{
  "code": "winter", "title": "Winter delivery", "terms": "five-winters",
  "excluded_panels": ["front_bumper"],
  "steps": [{"kind": "foam", "surfaces": ["paint", "wheels"], "product": "foam-7",
             "dilution": "1:10"},
            {"kind": "decontamination", "surfaces": ["paint"]},
            {"kind": "panel_wipe", "surfaces": ["paint", "glass"], "product": "wipe-5"}],
  "coats": [{"surface": "paint", "panels": ["bonnet", "roof"], "product": "base-30"},
            {"surface": "paint", "panels": ["bonnet", "roof"], "product": "top-10"},
            {"surface": "glass", "panels": ["windscreen"], "product": "glass-8"}]}'
#= GET /v1/packages/{code}
curl -s "$LUSTRUM/v1/packages/winter" -H "$AUTH"
#= PATCH /v1/packages/{code}
curl -s -X PATCH "$LUSTRUM/v1/packages/winter" -H "$AUTH" \
  -H "If-Match: $(etag /v1/packages/winter)" \
  --json '{"title": "Winter delivery, two coats"}'
#= DELETE /v1/packages/{code}
curl -s -X DELETE "$LUSTRUM/v1/packages/winter" -H "$AUTH" \
  -H "If-Match: $(etag /v1/packages/winter)"
#= GET /v1/accreditations
curl -s "$LUSTRUM/v1/accreditations" -H "$AUTH"
#= POST /v1/accreditations
ACCREDITATION=$(curl -s "$LUSTRUM/v1/accreditations" -H "$AUTH" --json '{
  "issuer": "northern-chain", "from": "2026-01-01"}' | keep)
#= GET /v1/accreditations/{id}
curl -s "$LUSTRUM/v1/accreditations/$ACCREDITATION" -H "$AUTH"
#= PATCH /v1/accreditations/{id}
curl -s -X PATCH "$LUSTRUM/v1/accreditations/$ACCREDITATION" -H "$AUTH" \
  -H "If-Match: $(etag /v1/accreditations/$ACCREDITATION)" \
  --json '{"until": "2026-12-31"}'
#= DELETE /v1/accreditations/{id}
curl -s -X DELETE "$LUSTRUM/v1/accreditations/$ACCREDITATION" -H "$AUTH" \
  -H "If-Match: $(etag /v1/accreditations/$ACCREDITATION)"
#= POST /v1/imports
# One file for each sort of thing; the first try only says what would be wrong with it.
printf 'ref;Name;E-Mail\nK-17;Ada Ferro;ada@example.org\n' > customers.csv
curl -s "$LUSTRUM/v1/imports?kind=customers&validate_only=true" -H "$AUTH" \
  -H 'Content-Type: text/csv' --data-binary @customers.csv
curl -s "$LUSTRUM/v1/imports?kind=customers" -H "$AUTH" \
  -H 'Content-Type: text/csv' --data-binary @customers.csv
# Then vehicles, past jobs with their warranties, past services, and what else happened to vehicles: each names what came
# before.
printf 'ref;Plate;Owner;Owned since\nV-17;SK 30417;K-17;2024-05-01\n' > vehicles.csv
curl -s "$LUSTRUM/v1/imports?kind=vehicles" -H "$AUTH" \
  -H 'Content-Type: text/csv' --data-binary @vehicles.csv
printf 'ref;Plate;Date;Event;Surface;Panel\nE-17;SK 30417;2025-03-01;repair;paint;boot\n' > events.csv
curl -s "$LUSTRUM/v1/imports?kind=events" -H "$AUTH" \
  -H 'Content-Type: text/csv' --data-binary @events.csv
#= GET /v1/exports/{kind}
curl -s -o vehicles.jsonl "$LUSTRUM/v1/exports/vehicles?format=jsonl" -H "$AUTH"
