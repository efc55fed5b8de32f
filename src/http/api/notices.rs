//! Notices: mails planned, sent and failed.

use crate::app::notices::{self, NoticeView};
use crate::app::page::Page;
use crate::core::words::NoticeState;
use crate::http::answer::{Answer, ok};
use crate::http::auth::Caller;

/// The shop's notices, newest first.
///
/// Each with its kind, owner, vehicle, when it is planned for, what became of it, and the last error in words.
/// `state` may be repeated.
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
