//! One door to every calculation.

use crate::app::calc::{Answer as WorkedOut, Question};
use crate::http::answer::{Answer, ok};
use crate::http::auth::Caller;
use crate::http::body::Body;
use crate::http::error::Problem;

/// Works one thing out; nothing is kept.
///
/// `calc` names the calculation; the other members are its input. Numbers out of range are refused with 422, all at
/// once, each with its place.
#[utoipa::path(post, path = "/v1/calc", tag = "calc", request_body = Question,
    responses((status = 200, description = "What was worked out.", body = WorkedOut)))]
pub async fn work_out(caller: Caller, body: Body) -> Answer {
    let question = Question::read(body.json().await?).map_err(|fault| Problem::malformed(&[fault]))?;
    caller.query().finish()?;
    caller.once(move |_, _| Ok(question.answer()?), ok).await
}
