//! Reports that a mail came back.

use crate::app::bounces::{self, BounceInput, BounceView};
use crate::http::answer::{Answer, ok};
use crate::http::auth::Caller;
use crate::http::body::Body;

/// Takes a report that a mail came back.
///
/// The report as it came to the return path (RFC 3464, multipart/report), which brings back the mail or its headers.
/// Of a mail that failed for good the notices fail, the desk is told to telephone, and an address that does not exist is
/// written to no more about upkeep until somebody enters it anew. Of one that may yet arrive nothing is kept. On the
/// server `lustrum bounce` takes reports on mails of every shop.
#[utoipa::path(post, path = "/v1/notices/bounces", tag = "notices", request_body = BounceInput,
    responses((status = 200, description = "What was made of it.", body = BounceView)))]
pub async fn take(caller: Caller, body: Body) -> Answer {
    let input: BounceInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| bounces::take(app, who, &input), ok).await
}
