#! Sign in
# Everything but signing in itself is done as a member of a shop: `Authorization: Bearer` and the access token. It lasts a
# quarter of an hour; the refresh token that comes with it gives the next pair.
#: begin
#= POST /v1/sessions
curl -s "$LUSTRUM/v1/sessions" \
  --json '{"email": "noor@skerry.example", "password": "thaw-rinse-and-wipe"}'
#= POST /v1/sessions/refresh
REFRESH=$(curl -s "$LUSTRUM/v1/sessions" \
  --json '{"email": "noor@skerry.example", "password": "thaw-rinse-and-wipe"}' |
  grep -o '"refresh_token":"[^"]*' | sed 's/.*"//')
curl -s "$LUSTRUM/v1/sessions/refresh" --json '{"refresh_token": "'$REFRESH'"}'
#= DELETE /v1/sessions/current
curl -s -X DELETE "$LUSTRUM/v1/sessions/current" -H "$AUTH"
