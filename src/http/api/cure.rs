//! Cure of a job.

use super::jobs::job;
use crate::app::cure::{self, CureAsked, CureView};
use crate::core::calendar::Moment;
use crate::http::answer::{Answer, ok};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// How far the coats of a job have cured, and whether the vehicle may leave.
///
/// Each coat has a clock on each panel, moved by what was read at the vehicle and then by the `stages` of the job. Where
/// the vehicle may not leave yet, `helps` says what would do: each was tried. Times are estimates.
#[utoipa::path(get, path = "/v1/jobs/{id}/cure", tag = "jobs",
    params(("id" = String, Path), ("at" = Option<Moment>, Query, description = "The instant at which it is asked; now unless given.")),
    responses((status = 200, description = "Cure at that instant.", body = CureView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    let mut query = caller.query();
    let at = query.parsed::<Moment>("at", "an instant with offset such as 2026-03-10T09:30:00Z");
    query.finish()?;
    let question = CureAsked { at, stages: None };
    ok(&caller.run(move |app, who| cure::ask(app, who, &job.id.to_string(), &question)).await?)
}

/// The same under another plan: what if; nothing is kept.
///
/// Send the `stages` of a help and its `at` to see that the vehicle may leave then. A plan that is to stay is set on the
/// job itself.
#[utoipa::path(post, path = "/v1/jobs/{id}/cure", tag = "jobs", params(("id" = String, Path)), request_body = CureAsked,
    responses((status = 200, description = "Cure under that plan.", body = CureView)))]
pub async fn what_if(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let question: CureAsked = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| cure::ask(app, who, &job.id.to_string(), &question), ok).await
}
