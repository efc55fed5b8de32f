#! Run it
# For whoever keeps the service running, and for programs that want to know what it offers.
#: begin
#= GET /health/live
curl -s "$LUSTRUM/health/live"
#= GET /health/ready
curl -s "$LUSTRUM/health/ready"
#= GET /openapi.json
curl -s -o openapi.json "$LUSTRUM/openapi.json"
