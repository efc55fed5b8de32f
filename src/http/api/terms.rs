//! Terms in editions.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use serde_json::Value;

use crate::app::page::Page;
use crate::app::terms::{self, PreviewInput, TermsView};
use crate::core::assess::ExplainedAssessment;
use crate::core::words::TermsState;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// What need not be escaped in a path (RFC 3986 §2.3).
const UNRESERVED: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'.').remove(b'_').remove(b'~');

/// The shop's editions of terms, newest first.
///
/// Every edition is one item. Filter by `code` for the editions of one, by `state` for those on which warranties
/// are issued.
#[utoipa::path(get, path = "/v1/terms", tag = "terms",
    params(("code" = Option<String>, Query), ("state" = Option<TermsState>, Query), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of editions.", body = Page<TermsView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let state: Option<TermsState> = query.parsed("state", "draft, published or retired");
    let code = query.text("code");
    let wanted = query.page(&(&code, state))?;
    ok(&caller.run(move |app, who| terms::list(app, who, code.as_deref(), state, &wanted)).await?)
}

/// Takes a document as a draft, and says everything that is wrong with it.
///
/// Any object with a text `code` and a whole `edition` is taken, so that work on it can go on; all else that is
/// wrong is listed in `faults`, and what a manager should think about in `cautions`. The edition is the last one
/// plus 1.
#[utoipa::path(post, path = "/v1/terms", tag = "terms", params(("validate_only" = Option<bool>, Query)), request_body = Object,
    responses((status = 201, description = "The draft, with its faults and cautions.", body = TermsView),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let document: Value = body.json().await?;
    let mut query = caller.query();
    let validate_only = query.flag("validate_only");
    query.finish()?;
    caller
        .once_or_try(
            move |app, who| terms::add(app, who, &document, validate_only),
            |view| {
                // The code of a draft can be any text.
                let code = utf8_percent_encode(&view.code, UNRESERVED);
                created(view, view.version, &format!("/v1/terms/{code}/editions/{}", view.edition))
            },
        )
        .await
}

/// One edition.
///
/// The document as it was written, its digest, its faults, and who published it.
#[utoipa::path(get, path = "/v1/terms/{code}/editions/{n}", tag = "terms", params(("code" = String, Path), ("n" = u32, Path)),
    responses((status = 200, description = "The edition.", body = TermsView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let (code, n): (String, u32) = (path.get("code")?, path.get("n")?);
    let view = caller.run(move |app, who| terms::find(app, who, &code, n)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Replaces a draft.
///
/// The whole document anew; code and edition are those of the path. A published edition never changes.
#[utoipa::path(put, path = "/v1/terms/{code}/editions/{n}", tag = "terms", params(("code" = String, Path), ("n" = u32, Path)), request_body = Object,
    responses((status = 200, description = "The draft as it is now.", body = TermsView)))]
pub async fn replace(caller: Caller, path: Path, body: Body) -> Answer {
    let (code, n): (String, u32) = (path.get("code")?, path.get("n")?);
    let named = code.clone();
    let current = caller.run(move |app, who| terms::find(app, who, &named, n)).await?;
    let document = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view =
        caller.run(move |app, who| terms::replace(app, who, &code, n, current.version, &document)).await?;
    versioned(&view, view.version)
}

/// Publishes a draft without faults; it never changes after.
///
/// From then on warranties are issued on it, and it never changes. Cautions do not hinder; who published despite
/// them is on record.
#[utoipa::path(post, path = "/v1/terms/{code}/editions/{n}/publish", tag = "terms", params(("code" = String, Path), ("n" = u32, Path)),
    responses((status = 200, description = "The published edition.", body = TermsView)))]
pub async fn publish(caller: Caller, path: Path, body: Body) -> Answer {
    let (code, n): (String, u32) = (path.get("code")?, path.get("n")?);
    let named = code.clone();
    caller.run(move |app, who| terms::find(app, who, &named, n)).await?;
    body.nothing().await?;
    caller.query().finish()?;
    caller
        .once(move |app, who| terms::publish(app, who, &code, n), |view| versioned(view, view.version))
        .await
}

/// Retires an edition: no new warranties on it.
///
/// Warranties on it go on as they were promised.
#[utoipa::path(post, path = "/v1/terms/{code}/editions/{n}/retire", tag = "terms", params(("code" = String, Path), ("n" = u32, Path)),
    responses((status = 200, description = "The retired edition.", body = TermsView)))]
pub async fn retire(caller: Caller, path: Path, body: Body) -> Answer {
    let (code, n): (String, u32) = (path.get("code")?, path.get("n")?);
    let named = code.clone();
    caller.run(move |app, who| terms::find(app, who, &named, n)).await?;
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(move |app, who| terms::retire(app, who, &code, n), |view| versioned(view, view.version)).await
}

/// What an edition makes of facts that somebody made up.
///
/// `facts` are a start, surfaces and events, as the engine reads them; answered is the verdict with its reasons.
/// Nothing is kept, and drafts without faults can be tried, too.
#[utoipa::path(post, path = "/v1/terms/{code}/editions/{n}/preview", tag = "terms", params(("code" = String, Path), ("n" = u32, Path)), request_body = PreviewInput,
    responses((status = 200, description = "The verdict, explained.", body = ExplainedAssessment)))]
pub async fn preview(caller: Caller, path: Path, body: Body) -> Answer {
    let (code, n): (String, u32) = (path.get("code")?, path.get("n")?);
    let named = code.clone();
    caller.run(move |app, who| terms::find(app, who, &named, n)).await?;
    let input: PreviewInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| terms::preview(app, who, &code, n, &input), ok).await
}
