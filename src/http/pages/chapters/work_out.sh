#! Work something out
# Dew point, dilution, cure, thickness, dates: each calculation of the service can be asked for by itself. The service
# uses the same functions, so that an answer here is what it would find.
#: begin
#= POST /v1/calc
curl -s "$LUSTRUM/v1/calc" -H "$AUTH" --json '{
  "calc": "dew_point", "air_c": 20, "rh_pct": 60, "surface_c": 18}'
