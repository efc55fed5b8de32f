//! The page by which anybody who holds a warranty's code can see that it was issued, and how it stands.

use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::{Page, reads_html};
use crate::app::verification::{self, Standing, Verified};
use crate::core::assess::State;
use crate::http::auth::Path;
use crate::http::error::Problem;
use crate::http::service;

#[derive(Template)]
#[template(path = "verification.html", config = "src/http/pages/askama.toml")]
struct Shown<'a> {
    warranty: &'a Verified,
    headline: &'static str,
    cover: Vec<Cover>,
    drill: bool,
}

struct Cover {
    surface: String,
    state: &'static str,
    until: String,
    panels: String,
}

/// How a warranty stands, in words that anybody understands.
fn headline(warranty: &Verified) -> &'static str {
    let is = |state: State| warranty.cover.iter().any(|cover| cover.state == state);
    match warranty.standing {
        Standing::Void => "This warranty was issued in error and is void.",
        Standing::Replaced => "Another warranty has taken the place of this one.",
        Standing::Issued if is(State::InForce) && !is(State::Suspended) => {
            "This warranty is genuine, and in force."
        }
        Standing::Issued if is(State::InForce) => "This warranty is genuine, and in force on some surfaces.",
        Standing::Issued if is(State::Suspended) => "This warranty is genuine; its cover is on hold.",
        Standing::Issued if is(State::NotBegun) => "This warranty is genuine; its cover has not begun.",
        Standing::Issued => "This warranty is genuine; its cover has ended.",
    }
}

/// What a code verifies, as of today. Nothing personal stands there.
pub async fn page(request: HttpRequest, path: Path) -> Result<HttpResponse, Problem> {
    let code: String = path.get("code")?;
    let warranty = service(&request)?.run(move |app| verification::find(app, &code)).await?;
    reads_html(request.headers())?;
    let cover = warranty.cover.iter().map(|cover| {
        let km = cover.up_to_km.map(|km| format!(", or {km} km from the start, whichever comes first"));
        Cover {
            surface: cover.surface.to_string().replace('_', " "),
            state: match cover.state {
                State::InForce => "in force",
                State::NotBegun => "not begun",
                State::Suspended => "on hold",
                State::Ended => "ended",
            },
            until: format!("{} to {}{}", cover.from, cover.last_day, km.unwrap_or_default()),
            panels: cover.panels.iter().map(|panel| panel.replace('_', " ")).collect::<Vec<_>>().join(", "),
        }
    });
    let cover = cover.collect();
    let drill = service(&request)?.app.drill;
    let page = Shown { headline: headline(&warranty), warranty: &warranty, cover, drill };
    Ok(Page::of(&page)?.private())
}
