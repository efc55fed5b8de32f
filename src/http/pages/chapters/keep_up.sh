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
#= GET /v1/tasks
TASK=$(curl -s "$LUSTRUM/v1/tasks" -H "$AUTH" | keep)
#= GET /v1/tasks/{id}
curl -s "$LUSTRUM/v1/tasks/$TASK" -H "$AUTH"
#= POST /v1/tasks/{id}/done
curl -s -X POST "$LUSTRUM/v1/tasks/$TASK/done" -H "$AUTH"
