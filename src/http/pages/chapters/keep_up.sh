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
