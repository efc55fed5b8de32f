//! Notices: mails planned, sent and failed.

use crate::app::notices::{self, NoticePreview, NoticeView};
use crate::app::page::Page;
use crate::core::ids::NoticeId;
use crate::core::words::NoticeState;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The shop's notices, newest first.
///
/// Each with its kind, owner, vehicle, when it is planned for, what became of it, and the last error in words.
/// `state` may be repeated. `state=planned` alone shows what is ahead, the soonest first: what is put down, and what will be
/// within 60 days if nothing else happens until then (`foreseen`), each with why.
#[utoipa::path(get, path = "/v1/notices", tag = "notices",
    params(("state" = Option<Vec<NoticeState>>, Query, explode, description = "May be repeated; all unless given."),
           ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of notices.", body = Page<NoticeView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let allowed = "planned, queued, sending, sent, failed, suppressed, cancelled, stale or dropped";
    let states: Vec<NoticeState> = query.parsed_all("state", allowed);
    let wanted = query.page(&states)?;
    ok(&caller.run(move |app, who| notices::list(app, who, &states, &wanted)).await?)
}

/// One notice.
///
/// With what became of it. One that is only foreseen has its id until it is put down.
#[utoipa::path(get, path = "/v1/notices/{id}", tag = "notices", params(("id" = NoticeId, Path)),
    responses((status = 200, description = "The notice.", body = NoticeView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: NoticeId = path.get("id")?;
    let view = caller.run(move |app, who| notices::find(app, who, id)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// One notice as its owner reads it.
///
/// As text and HTML: the mail that carries it where one is written, else as it would be written by itself, in the owner's
/// language. Takes what is only foreseen, too.
#[utoipa::path(get, path = "/v1/notices/{id}/preview", tag = "notices", params(("id" = NoticeId, Path)),
    responses((status = 200, description = "The mail in words.", body = NoticePreview)))]
pub async fn preview(caller: Caller, path: Path) -> Answer {
    let id: NoticeId = path.get("id")?;
    let preview = caller.run(move |app, who| notices::preview(app, who, id)).await?;
    caller.query().finish()?;
    ok(&preview)
}

/// Stops a notice.
///
/// One that is planned or foreseen does not go out and is not planned again; one that was stopped stays so. 409
/// `notice_not_planned` for one that is past that.
#[utoipa::path(post, path = "/v1/notices/{id}/cancel", tag = "notices", params(("id" = NoticeId, Path)),
    responses((status = 200, description = "The notice, stopped.", body = NoticeView)))]
pub async fn cancel(caller: Caller, path: Path, body: Body) -> Answer {
    let id: NoticeId = path.get("id")?;
    caller.run(move |app, who| notices::find(app, who, id)).await?;
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(move |app, who| notices::cancel(app, who, id), |view| versioned(view, view.version)).await
}

/// Sends a notice again.
///
/// One that was sent, failed, or ended without a mail is planned once more, and goes with the next tick if it still holds,
/// outside quiet hours where it is about upkeep. 409 `notice_on_its_way` for one that goes out by itself.
#[utoipa::path(post, path = "/v1/notices/{id}/resend", tag = "notices", params(("id" = NoticeId, Path)),
    responses((status = 201, description = "The new notice.", body = NoticeView)))]
pub async fn resend(caller: Caller, path: Path, body: Body) -> Answer {
    let id: NoticeId = path.get("id")?;
    caller.run(move |app, who| notices::find(app, who, id)).await?;
    body.nothing().await?;
    caller.query().finish()?;
    let say = |view: &NoticeView| created(view, view.version, &format!("/v1/notices/{}", view.id));
    caller.once(move |app, who| notices::send_again(app, who, id), say).await
}
