//! The page behind a link that binds: it says what it would do, and does it once, by its button.

use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::{Page, reads_html};
use crate::app::owner_reports::{self, Binding};
use crate::http::auth::Path;
use crate::http::body::Body;
use crate::http::error::Problem;
use crate::http::pages::forms::LONGEST;
use crate::http::service;
use crate::language::{Language, said};

#[derive(Template)]
#[template(path = "confirm.html", config = "src/http/pages/askama.toml")]
struct Shown {
    l: Language,
    drill: bool,
    shop: String,
    title: String,
    lead: String,
    buyer: Option<String>,
    done: bool,
}

fn shown(request: &HttpRequest, binding: &Binding, done: bool) -> Result<HttpResponse, Problem> {
    let l = Language::best(binding.languages.iter().map(String::as_str));
    let known =
        [Some(binding.vehicle.as_str()), binding.plate.as_deref().filter(|plate| *plate != binding.vehicle)];
    let vehicle = known.into_iter().flatten().collect::<Vec<_>>().join(", ");
    let on = l.date(binding.on);
    let buyer = [binding.buyer.as_deref(), binding.buyer_email.as_deref()];
    let buyer = buyer.into_iter().flatten().collect::<Vec<_>>().join(", ");
    let (title, lead) = if done { ("done-title", "done") } else { ("title", "lead") };
    let values = said!["vehicle" => vehicle, "day" => on, "shop" => &binding.shop];
    let page = Shown {
        title: l.word(&format!("page-confirm-{title}")),
        lead: l.say(&format!("page-confirm-{lead}"), &values),
        buyer: (!buyer.is_empty() && !done).then(|| l.say("page-confirm-buyer", &said!["buyer" => buyer])),
        drill: service(request)?.app.drill,
        shop: binding.shop.clone(),
        l,
        done,
    };
    Ok(Page::of(&page)?.private())
}

/// What the link would do. Nothing is done by looking: mail scanners follow links.
pub async fn page(request: HttpRequest, path: Path) -> Result<HttpResponse, Problem> {
    let token: String = path.get("token")?;
    let binding = service(&request)?.run(move |app| owner_reports::find_binding(app, &token)).await?;
    reads_html(request.headers())?;
    shown(&request, &binding, false)
}

/// Does it, once.
pub async fn bind(request: HttpRequest, path: Path, body: Body) -> Result<HttpResponse, Problem> {
    let token: String = path.get("token")?;
    body.bytes(LONGEST, std::time::Duration::from_secs(10)).await?;
    let binding = service(&request)?.run(move |app| owner_reports::bind(app, &token)).await?;
    shown(&request, &binding, true)
}
