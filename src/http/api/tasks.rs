//! Tasks: what a person must do.

use crate::app::page::Page;
use crate::app::tasks::{self, TaskView};
use crate::core::ids::TaskId;
use crate::http::answer::{Answer, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// What a person must do, newest first.
///
/// Mails that could not be delivered, and owners who did not come. Those that are done are listed with `done=true`.
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
