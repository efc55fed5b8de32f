//! What owners answered when they were asked to come.

use super::warranties::named;
use crate::app::answers::{self, AnswerInput, AnswerList, AnswerView};
use crate::http::answer::{Answer, made, ok};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// What was answered about a warranty's dues.
///
/// By owners whom the desk rang or wrote to; the last answer comes first.
#[utoipa::path(get, path = "/v1/warranties/{id}/answers", tag = "dues", params(("id" = String, Path)),
    responses((status = 200, description = "The last first.", body = AnswerList)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    let id = named(&caller, &path).await?.to_string();
    caller.query().finish()?;
    ok(&caller.run(move |app, who| answers::list(app, who, &id)).await?)
}

/// Enters what an owner answered about a due.
///
/// The work list shows the last answer of each due, so that nobody is rung twice.
#[utoipa::path(post, path = "/v1/warranties/{id}/answers", tag = "dues", params(("id" = String, Path)), request_body = AnswerInput,
    responses((status = 201, description = "The answer.", body = AnswerView)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let id = named(&caller, &path).await?.to_string();
    let input: AnswerInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| answers::add(app, who, &id, input), made).await
}
