//! Checks of a job.

use super::jobs::job;
use crate::app::checks::{self, Findings};
use crate::http::answer::{Answer, ok};
use crate::http::auth::{Caller, Path};

/// What the checks find, worked out anew.
///
/// Findings that stop must be put right or passed by a manager before the sign-off; those that warn or tell never block it.
/// What the terms ask for (`hinders_warranty`) keeps the job from a warranty on them at the handover, passed or not: put it
/// right while there is time. Steps and readings entered afterwards count, too; an addendum's step is called by the
/// addendum's id. Registering a batch, for example, clears its finding without touching the job.
#[utoipa::path(get, path = "/v1/jobs/{id}/checks", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "The findings.", body = Findings)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    caller.query().finish()?;
    ok(&caller.run(move |app, who| checks::list(app, who, &job.id.to_string())).await?)
}
