LUSTRUM=http://127.0.0.1:8080
# Signs in, with a log-in that `lustrum demo` prints.
TOKEN=$(curl -s "$LUSTRUM/v1/sessions" \
  --json '{"email": "solveig@skerry.example", "password": "thaw-rinse-and-wipe"}' |
  grep -o '"access_token":"[^"]*' | sed 's/.*"//')
AUTH="Authorization: Bearer $TOKEN"
# A day is always one where the shop is, whatever the clock of the machine that asks says.
TODAY=$(TZ=Europe/Oslo date +%F)
YESTERDAY=$(TZ=Europe/Oslo date -d yesterday +%F 2>/dev/null || TZ=Europe/Oslo date -v-1d +%F)
# Shows an answer, and hands on the first id in it.
keep() { tee /dev/stderr | grep -o '"id":"[^"]*' | sed -n '1s/.*"//p'; }
# The ETag of what stands at a path.
etag() { curl -sI "$LUSTRUM$1" -H "$AUTH" | grep -i '^etag:' | cut -d' ' -f2 | tr -d '\r'; }
