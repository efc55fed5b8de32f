//! What a job consists of: one handler for each thing that can be done with a step, a climate reading, a coat, a mark, a
//! paint reading or a photo. The files of these nouns give them their routes and descriptions.

use super::jobs::job;
use crate::app::parts::{self, Entered, Kind};
use crate::core::error::{Fault, all_clear};
use crate::core::ids::JobId;
use crate::http::answer::{Answer, created, nothing, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;

pub(super) async fn list<P: Kind>(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    let wanted = caller.query().page(&job.id)?;
    ok(&caller.run(move |app, who| parts::list::<P>(app, who, job.id, &wanted)).await?)
}

pub(super) async fn add<P: Kind>(caller: Caller, path: Path, body: Body) -> Answer {
    add_unless::<P>(caller, path, body, &[]).await
}

/// Adds one of which these parameters cannot be said, since they are about files of many: 422.
pub(super) async fn add_unless<P: Kind>(
    caller: Caller,
    path: Path,
    body: Body,
    of_files: &[&'static str],
) -> Answer {
    let job = job(&caller, &path).await?;
    let input: P::Input = body.read().await?;
    let mut query = caller.query();
    let validate_only = query.flag("validate_only");
    let of_files = of_files.iter().filter(|name| query.text(name).is_some());
    let faults: Vec<Fault> = of_files
        .map(|name| Fault::new(*name, "only_of_files", "it is said of a file, not of one reading"))
        .collect();
    query.finish()?;
    all_clear(faults)?;
    caller
        .once_or_try(
            move |app, who| parts::add::<P>(app, who, job.id, input, validate_only),
            move |view| created(view, view.version, &format!("/v1/jobs/{}/{}/{}", job.id, P::NAME, view.id)),
        )
        .await
}

/// The part that the path names; 404 before anything else is looked at.
pub(super) async fn named<P: Kind>(caller: &Caller, path: &Path) -> Result<(JobId, Entered<P>), Problem> {
    let (job, id): (_, P::Id) = (job(caller, path).await?, path.get("row")?);
    let part = caller.run(move |app, who| parts::find::<P>(app, who, job.id, id)).await?;
    Ok((job.id, part))
}

pub(super) async fn find<P: Kind>(caller: Caller, path: Path) -> Answer {
    let (_, view) = named::<P>(&caller, &path).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

pub(super) async fn change<P: Kind>(caller: Caller, path: Path, body: Body) -> Answer {
    let (job, current) = named::<P>(&caller, &path).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view = caller
        .run(move |app, who| parts::change::<P>(app, who, job, current.id, current.version, &patch))
        .await?;
    versioned(&view, view.version)
}

pub(super) async fn remove<P: Kind>(caller: Caller, path: Path) -> Answer {
    let (job, current) = named::<P>(&caller, &path).await?;
    caller.if_match(current.version)?;
    caller.query().finish()?;
    caller.run(move |app, who| parts::remove::<P>(app, who, job, current.id, current.version)).await?;
    nothing()
}
