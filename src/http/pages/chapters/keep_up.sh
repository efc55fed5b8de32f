#! Keep up
# What falls due, which mails went out about it, and what a person must do by hand. Mails are planned and sent by the
# service itself; nothing here has to be called for an owner to be reminded.
#: begin
VEHICLE=$(curl -s "$LUSTRUM/v1/vehicles?q=SK58880" -H "$AUTH" | keep)
WARRANTY=$(curl -s "$LUSTRUM/v1/warranties?vehicle_id=$VEHICLE" -H "$AUTH" | keep)
#= GET /v1/dues
curl -s "$LUSTRUM/v1/dues?status=open&status=late&status=ahead&limit=5" -H "$AUTH"
#= POST /v1/warranties/{id}/answers
curl -s "$LUSTRUM/v1/warranties/$WARRANTY/answers" -H "$AUTH" --json '{
  "upkeep": "annual", "number": 2, "answer": "ask_again", "note": "Will ring again in the spring."}'
#= GET /v1/warranties/{id}/answers
curl -s "$LUSTRUM/v1/warranties/$WARRANTY/answers" -H "$AUTH"
#= GET /v1/notices
curl -s "$LUSTRUM/v1/notices?state=sent&limit=5" -H "$AUTH"
#= GET /v1/notices/{id}
NOTICE=$(curl -s "$LUSTRUM/v1/notices?state=planned&limit=1" -H "$AUTH" | keep)
curl -s "$LUSTRUM/v1/notices/$NOTICE" -H "$AUTH"
#= GET /v1/notices/{id}/preview
curl -s "$LUSTRUM/v1/notices/$NOTICE/preview" -H "$AUTH"
#= POST /v1/notices/{id}/cancel
STOPPED=$(curl -s -X POST "$LUSTRUM/v1/notices/$NOTICE/cancel" -H "$AUTH" | keep)
#= POST /v1/notices/{id}/resend
curl -s -X POST "$LUSTRUM/v1/notices/$STOPPED/resend" -H "$AUTH"
#= POST /v1/notices/bounces
# A report as mail servers send it. This one says that the mail may yet arrive: nothing is done then.
MAIL=$(curl -s "$LUSTRUM/v1/notices?state=sent&limit=1" -H "$AUTH" | sed 's/.*"message_id":"\([^"]*\)".*/\1/')
curl -s "$LUSTRUM/v1/notices/bounces" -H "$AUTH" --json '{"report":
  "Content-Type: multipart/report; report-type=delivery-status; boundary=b\n\n--b\nContent-Type: message/delivery-status\n\nReporting-MTA: dns; mx.example.org\n\nFinal-Recipient: rfc822; owner@example.org\nAction: delayed\nStatus: 4.4.1\n\n--b\nContent-Type: text/rfc822-headers\n\nMessage-ID: <'$MAIL'>\n\n--b--\n"}'
#= GET /v1/tasks
TASK=$(curl -s "$LUSTRUM/v1/tasks" -H "$AUTH" | keep)
#= GET /v1/tasks/{id}
curl -s "$LUSTRUM/v1/tasks/$TASK" -H "$AUTH"
#= POST /v1/tasks/{id}/done
curl -s -X POST "$LUSTRUM/v1/tasks/$TASK/done" -H "$AUTH"
#= POST /v1/customers/{id}/links
# The owner's page, for which they need no account. It is told once: hand it on as it is.
OWNER=$(curl -s "$LUSTRUM/v1/vehicles/$VEHICLE" -H "$AUTH" | sed 's/.*"customer_id":"\([^"]*\)".*/\1/')
MY=$(curl -s -X POST "$LUSTRUM/v1/customers/$OWNER/links" -H "$AUTH" | sed 's/.*\/my\/\([^"]*\)".*/\1/')
curl -s "$LUSTRUM/my/$MY" -H 'Accept: application/json'
#= GET /v1/tasks/{id}/photos/{row}/file
# What an owner reports on that page becomes a task, with the photos that they sent; a picture of one pixel stands here
# for theirs.
printf %s 'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==' |
  base64 -d > spot.png
curl -s "$LUSTRUM/my/$MY/vehicles/$VEHICLE/problem" -F 'text=A spot on the roof.' -F 'photos=@spot.png;type=image/png'
TASK=$(curl -s "$LUSTRUM/v1/tasks?limit=1" -H "$AUTH" | keep)
PHOTO=$(curl -s "$LUSTRUM/v1/tasks/$TASK" -H "$AUTH" | sed 's/.*"photos":\[{"id":"\([^"]*\)".*/\1/')
curl -s -o spot-kept.png "$LUSTRUM/v1/tasks/$TASK/photos/$PHOTO/file" -H "$AUTH"
#= GET /v1/tasks/{id}/photos/{row}/thumbnail
curl -s -o spot-small.jpg "$LUSTRUM/v1/tasks/$TASK/photos/$PHOTO/thumbnail" -H "$AUTH"
#= GET /v1/vehicles/{id}/door-link
# What the QR code of the label in the door frame holds: anybody who stands there may read, and note something.
DOOR=$(curl -s "$LUSTRUM/v1/vehicles/$VEHICLE/door-link" -H "$AUTH" | sed 's/.*\/door\/\([^"]*\)".*/\1/')
curl -s "$LUSTRUM/door/$DOOR" --json '{"kind": "repair", "on": "'$TODAY'", "surface": "paint", "panel": "bonnet"}'
#= GET /v1/vehicles/{id}/door-label.pdf
curl -s -o door-label.pdf "$LUSTRUM/v1/vehicles/$VEHICLE/door-label.pdf" -H "$AUTH"
#= POST /v1/tasks/{id}/confirm
# The desk has asked about it: it is entered now, and the task is done.
NOTED=$(curl -s "$LUSTRUM/v1/tasks?limit=1" -H "$AUTH" | keep)
curl -s "$LUSTRUM/v1/tasks/$NOTED/confirm" -H "$AUTH" --json '{}'
#= POST /v1/vehicles/{id}/door-link
curl -s -X POST "$LUSTRUM/v1/vehicles/$VEHICLE/door-link" -H "$AUTH"
#= POST /v1/customers/{id}/links/revoke
curl -s -X POST "$LUSTRUM/v1/customers/$OWNER/links/revoke" -H "$AUTH"
