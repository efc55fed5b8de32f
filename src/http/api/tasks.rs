//! Tasks: what a person must do.

use crate::app::page::Page;
use crate::app::photos::Sort;
use crate::app::tasks::{self, ConfirmedTask, TaskConfirmInput, TaskView};
use crate::core::ids::{PhotoId, TaskId};
use crate::http::answer::{Answer, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;
use crate::http::pictures::FileReply;

/// What a person must do, newest first.
///
/// Mails that could not be delivered, owners who did not come, and what owners told by their link or somebody at the
/// vehicle by its label: that stands in `report`. Those that are done are listed with `done=true`.
#[utoipa::path(get, path = "/v1/tasks", tag = "tasks",
    params(("done" = Option<bool>, Query, description = "Those that are done, instead of those that are open."),
           ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of tasks.", body = Page<TaskView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let done = query.flag("done");
    let wanted = query.page(&done)?;
    ok(&caller.run(move |app, who| tasks::list(app, who, done, &wanted)).await?)
}

/// One task.
///
/// With the owner and the vehicle that it is about.
#[utoipa::path(get, path = "/v1/tasks/{id}", tag = "tasks", params(("id" = TaskId, Path)),
    responses((status = 200, description = "The task.", body = TaskView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: TaskId = path.get("id")?;
    let view = caller.run(move |app, who| tasks::find(app, who, id)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Says that a task has been done.
///
/// Who said so, and when, stays with it. Said again, nothing changes.
#[utoipa::path(post, path = "/v1/tasks/{id}/done", tag = "tasks", params(("id" = TaskId, Path)),
    responses((status = 200, description = "The task, done.", body = TaskView)))]
pub async fn done(caller: Caller, path: Path, body: Body) -> Answer {
    let id: TaskId = path.get("id")?;
    caller.run(move |app, who| tasks::find(app, who, id)).await?;
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(move |app, who| tasks::done(app, who, id), |view| versioned(view, view.version)).await
}

/// Confirms what was told, and enters it.
///
/// A sale that the owner told of becomes a transfer, told on the day on which they did; a wash that was noted at the vehicle
/// becomes the owner's, a repair the event of one. The task is done with it. What only asks for an answer, as a wish to come,
/// is not confirmed: say that it is done.
#[utoipa::path(post, path = "/v1/tasks/{id}/confirm", tag = "tasks", params(("id" = TaskId, Path)), request_body = TaskConfirmInput,
    responses((status = 200, description = "The task, done, and the verdicts after it.", body = ConfirmedTask)))]
pub async fn confirm(caller: Caller, path: Path, body: Body) -> Answer {
    let id: TaskId = path.get("id")?;
    caller.run(move |app, who| tasks::find(app, who, id)).await?;
    let input: TaskConfirmInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(move |app, who| tasks::confirm(app, who, id, input), |done| versioned(done, done.version))
        .await
}

async fn picture(caller: Caller, path: Path, sort: Sort) -> Result<FileReply, Problem> {
    let (task, id): (TaskId, PhotoId) = (path.get("id")?, path.get("row")?);
    let (photo, file, bytes) =
        caller.run(move |app, who| tasks::open_photo(app, who, task, id, sort)).await?;
    caller.query().finish()?;
    Ok(FileReply::of(photo.digest, photo.media_type, sort, file, bytes))
}

/// The picture of a photo that an owner sent with what they told.
///
/// As it is kept: without anything that is not pixels. Its `ETag` is its digest; it never changes.
#[utoipa::path(get, path = "/v1/tasks/{id}/photos/{row}/file", tag = "tasks", params(("id" = TaskId, Path), ("row" = PhotoId, Path)),
    responses((status = 200, description = "The picture.", content_type = "image/jpeg", body = Vec<u8>)))]
pub async fn photo(caller: Caller, path: Path) -> Result<FileReply, Problem> {
    picture(caller, path, Sort::Whole).await
}

/// A small upright picture of a photo that an owner sent.
///
/// A JPEG whose longer side has at most 480 pixels, whatever the photo is.
#[utoipa::path(get, path = "/v1/tasks/{id}/photos/{row}/thumbnail", tag = "tasks", params(("id" = TaskId, Path), ("row" = PhotoId, Path)),
    responses((status = 200, description = "The thumbnail.", content_type = "image/jpeg", body = Vec<u8>)))]
pub async fn photo_thumbnail(caller: Caller, path: Path) -> Result<FileReply, Problem> {
    picture(caller, path, Sort::Thumbnail).await
}
