//! Jobs, from taking in to handover.

use crate::app::checks::{self, SignedOffView};
use crate::app::handover::{self, HandedOver, HandoverInput, LaterInput};
use crate::app::jobs::{self, Because, JobInput, JobView};
use crate::app::page::Page;
use crate::app::plans::{self, ConfirmInput, Confirmed};
use crate::core::ids::VehicleId;
use crate::core::words::JobState;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;

/// The job that the path names; 404 before anything else is looked at.
pub(super) async fn job(caller: &Caller, path: &Path) -> Result<JobView, Problem> {
    let name: String = path.get("id")?;
    caller.run(move |app, who| jobs::find(app, who, &name)).await
}

/// Confirms steps and coats of the plan that the job was opened with.
///
/// They become steps and coats of the job, all of them or none. Steps that are not named are taken as done, without
/// times; a coat without a batch is laid from the bottle of its product that was opened last.
#[utoipa::path(post, path = "/v1/jobs/{id}/confirm", tag = "jobs", params(("id" = String, Path)), request_body = ConfirmInput,
    responses((status = 200, description = "The job, and what was entered.", body = Confirmed)))]
pub async fn confirm(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: ConfirmInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| plans::confirm(app, who, job.id, input), ok).await
}

/// The shop's jobs, newest first.
///
/// Filter by `state` for what is in the bay, by `vehicle_id` for what was done to one vehicle.
#[utoipa::path(get, path = "/v1/jobs", tag = "jobs",
    params(("state" = Option<JobState>, Query), ("vehicle_id" = Option<VehicleId>, Query),
           ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of jobs.", body = Page<JobView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let state: Option<JobState> = query.parsed("state", "open, signed_off, handed_over or cancelled");
    let vehicle: Option<VehicleId> = query.parsed("vehicle_id", "an id of a vehicle");
    let wanted = query.page(&(state, vehicle))?;
    ok(&caller.run(move |app, who| jobs::list(app, who, state, vehicle, &wanted)).await?)
}

/// Takes a vehicle in for a job.
///
/// Only the vehicle and its odometer are needed. `terms` can follow until handover, a `package` fills in terms,
/// panels and the plan of steps and coats. `panels` say what is to be worked on; where they are absent, the coats
/// tell.
#[utoipa::path(post, path = "/v1/jobs", tag = "jobs", request_body = JobInput,
    responses((status = 201, description = "The new job.", body = JobView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: JobInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| jobs::add(app, who, input),
            |view| created(view, view.version, &format!("/v1/jobs/{}", view.id)),
        )
        .await
}

/// One job, by id or number.
///
/// With its terms, panels and plan; steps, climate and coats are lists of their own.
#[utoipa::path(get, path = "/v1/jobs/{id}", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "The job.", body = JobView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let view = job(&caller, &path).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a job by a merge patch.
///
/// While it is open everything can change, its terms until handover. An odometer that is put right also puts right
/// what was read of the vehicle.
#[utoipa::path(patch, path = "/v1/jobs/{id}", tag = "jobs", params(("id" = String, Path)), request_body = JobInput,
    responses((status = 200, description = "The job as it is now.", body = JobView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let current = job(&caller, &path).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view =
        caller.run(move |app, who| jobs::change(app, who, current.id, current.version, &patch)).await?;
    versioned(&view, view.version)
}

/// Signs a job off: its rows no longer change.
///
/// The job as it stands becomes a record with a digest. Findings that stop are answered as `job_has_stops`, each
/// with its subject; a manager can pass them.
#[utoipa::path(post, path = "/v1/jobs/{id}/sign-off", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "Signed off.", body = SignedOffView)))]
pub async fn sign_off(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(move |app, who| checks::sign_off(app, who, job.id), ok).await
}

/// Cancels an open job.
///
/// Its number is not used again, and the reason stays on record.
#[utoipa::path(post, path = "/v1/jobs/{id}/cancel", tag = "jobs", params(("id" = String, Path)), request_body = Because,
    responses((status = 200, description = "The cancelled job.", body = JobView)))]
pub async fn cancel(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let because: Because = body.read().await?;
    caller.query().finish()?;
    caller
        .once(move |app, who| jobs::cancel(app, who, job.id, because), |view| versioned(view, view.version))
        .await
}

fn handed_over(view: &HandedOver) -> Answer {
    let location = match &view.warranty {
        Some(warranty) => format!("/v1/warranties/{}", warranty.id),
        None => format!("/v1/jobs/{}", view.job.id),
    };
    created(view, view.version, &location)
}

/// Hands the vehicle over, and issues the warranty that the job's terms promise.
///
/// Covered are the surfaces of the terms with at least one coat on this job, on the panels that were coated. A job
/// without terms is handed over without a warranty. Where the work falls short of its terms the answer is
/// `job_falls_short` with what is missing: `without_warranty` hands over all the same, and the warranty can follow.
/// The owner gets the history by mail unless `mail` is false.
#[utoipa::path(post, path = "/v1/jobs/{id}/handover", tag = "jobs", params(("id" = String, Path)), request_body = HandoverInput,
    responses((status = 201, description = "Handed over.", body = HandedOver)))]
pub async fn hand_over(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: HandoverInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| handover::hand_over(app, who, &job.id.to_string(), input), handed_over).await
}

/// Issues a warranty for a job that was handed over without one.
///
/// The same rules as at handover; cover counts as if the warranty had been issued then.
#[utoipa::path(post, path = "/v1/jobs/{id}/warranty", tag = "jobs", params(("id" = String, Path)), request_body = LaterInput,
    responses((status = 201, description = "The warranty.", body = HandedOver)))]
pub async fn later(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: LaterInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| handover::later(app, who, &job.id.to_string(), input), handed_over).await
}
