//! The page behind the link in each mail by which mails of its kind are ended.

use std::time::Duration;

use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::{Page, reads_html};
use crate::app::mail_choices::{self, ChoiceView};
use crate::core::words::MailChoice;
use crate::http::auth::Path;
use crate::http::body::Body;
use crate::http::error::Problem;
use crate::http::service;

/// A form with one word, or what a mail program posts.
const LONGEST: usize = 4 * 1024;
const SLOWEST: Duration = Duration::from_secs(10);

/// What the button posts by which the owner takes it back.
const AGAIN: &[u8] = b"again=yes";

#[derive(Template)]
#[template(path = "mail_choice.html", config = "src/http/pages/askama.toml")]
struct Shown<'a> {
    shop: &'a str,
    what: &'static str,
    upkeep: bool,
    wanted: bool,
    drill: bool,
}

fn shown(request: &HttpRequest, view: &ChoiceView) -> Result<HttpResponse, Problem> {
    let what = match view.choice {
        MailChoice::Upkeep => "mails about what falls due on your vehicle",
        MailChoice::History => "mails about what was done on your vehicle",
    };
    let drill = service(request)?.app.drill;
    let upkeep = view.choice == MailChoice::Upkeep;
    Ok(Page::of(&Shown { shop: &view.shop, what, upkeep, wanted: view.wanted, drill })?.private())
}

/// What the link is about, with a button. Nothing is changed: mail scanners follow links.
pub async fn page(request: HttpRequest, path: Path) -> Result<HttpResponse, Problem> {
    let token: String = path.get("token")?;
    let view = service(&request)?.run(move |app| mail_choices::find(app, &token)).await?;
    reads_html(request.headers())?;
    shown(&request, &view)
}

/// Ends such mails, as the button on the page and a mail program's own (RFC 8058) both ask; or, from the page, takes it
/// back.
pub async fn choose(request: HttpRequest, path: Path, body: Body) -> Result<HttpResponse, Problem> {
    let token: String = path.get("token")?;
    let wanted = body.bytes(LONGEST, SLOWEST).await?.as_ref() == AGAIN;
    let view = service(&request)?.run(move |app| mail_choices::choose(app, &token, wanted)).await?;
    shown(&request, &view)
}
