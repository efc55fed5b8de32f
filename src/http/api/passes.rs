//! Passes of findings on a job.

use super::jobs::job;
use crate::app::passes::{self, PassInput, PassView};
use crate::http::answer::{Answer, made};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// Lets a finding that stops be, with a reason that stays in the record.
///
/// `code` and `subject` are those of the finding. It holds for the finding as it was: a coat that changes
/// afterwards is found anew. What was passed still falls short at handover where the terms ask for it.
#[utoipa::path(post, path = "/v1/jobs/{id}/passes", tag = "jobs", params(("id" = String, Path)), request_body = PassInput,
    responses((status = 201, description = "The pass.", body = PassView)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: PassInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| passes::add(app, who, job.id, input), made).await
}
