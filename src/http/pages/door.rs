//! The page behind the label in a vehicle's door frame: what is on which panel, how to wash it, and a form to note a wash
//! or a repair. Nothing about any person stands there, and nothing that is noted counts before the shop has looked.

use std::collections::BTreeMap;

use actix_web::http::{StatusCode, header};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;
use serde_json::{Value, json};

use super::forms::{self, Form, LONGEST, Sent, fault, refused, typed};
use super::owner::in_words;
use super::{HTML, Page};
use crate::app::door_page::{self, DoorNote, DoorPage, WashSafe};
use crate::core::words::{NamedPanel, OdometerUnit, Panel, Surface};
use crate::http::auth::Path;
use crate::http::body::Body;
use crate::http::error::Problem;
use crate::http::{accept, service};
use crate::language::{Language, said};

#[derive(Template)]
#[template(path = "door.html", config = "src/http/pages/askama.toml")]
struct Shown {
    l: Language,
    drill: bool,
    base: String,
    shop: String,
    phone: Option<(String, String)>,
    title: String,
    vin: Option<String>,
    said: Option<String>,
    surfaces: Vec<(String, Vec<Laid>)>,
    repaired: Option<String>,
    wash_class: &'static str,
    wash: String,
    care: Vec<String>,
    note_about: String,
    practice: Vec<String>,
    unit: String,
    panels: Vec<(&'static str, String)>,
    kinds: Vec<(&'static str, String)>,
    today: String,
    entered: Form,
    faults: BTreeMap<String, String>,
    open: Option<&'static str>,
}

struct Laid {
    product: String,
    panels: String,
}

impl Shown {
    fn is_open(&self, of: &str) -> bool {
        self.open == Some(of)
    }

    fn value(&self, of: &str, name: &str) -> String {
        if self.open == Some(of) { self.entered.text(name).unwrap_or_default() } else { String::new() }
    }

    fn value_or(&self, of: &str, name: &str, usual: &str) -> String {
        let value = self.value(of, name);
        if value.is_empty() { usual.to_owned() } else { value }
    }

    fn fault(&self, of: &str, pointer: &str) -> Option<&str> {
        if self.open == Some(of) { self.faults.get(pointer).map(String::as_str) } else { None }
    }
}

/// How it is washed by common practice, where nobody says otherwise.
const PRACTICE: [&str; 5] = ["rinse", "shampoo", "mitt", "brushes", "dry"];

fn sheet(
    l: Language,
    drill: bool,
    token: &str,
    page: &DoorPage,
    said: bool,
    back: Option<(&'static str, Form, &Problem)>,
) -> Shown {
    let mut surfaces: Vec<(String, Vec<Laid>)> = Vec::new();
    for one in &page.coats {
        let name = l.capital(&l.surface(&one.surface));
        let coat = said!["product" => &one.product, "day" => l.date(one.on)];
        let laid =
            Laid { product: l.say("page-door-coat", &coat), panels: l.capital(&l.panels(&one.panels)) };
        match surfaces.iter_mut().find(|(known, _)| *known == name) {
            Some((_, all)) => all.push(laid),
            None => surfaces.push((name, vec![laid])),
        }
    }
    let repaired: Vec<String> = page.repaired.iter().map(|(_, panel)| l.panel(panel)).collect();
    let (wash_class, wash) = match page.wash {
        WashSafe::Now => ("good", l.word("page-door-wash-now")),
        WashSafe::From { at } => ("hold", l.say("page-door-wash-from", &said!["when" => l.moment(at)])),
        WashSafe::Unknown => ("wait", l.word("page-door-wash-unknown")),
    };
    let vehicle = if page.vehicle.is_empty() { l.word("page-door-a-vehicle") } else { page.vehicle.clone() };
    let faults = back.as_ref().map(|(.., problem)| {
        let told = |error: &Value| {
            let pointer = error["pointer"].as_str().unwrap_or_default();
            let pointer = pointer.strip_suffix("/value").unwrap_or(pointer);
            (pointer.to_owned(), in_words(l, error, None))
        };
        problem.errors.iter().map(told).collect()
    });
    let (open, entered) = match back {
        Some((of, form, _)) => (Some(of), form),
        None => (None, Form::default()),
    };
    let named =
        NamedPanel::ALL.iter().map(|panel| (panel.as_str(), l.capital(&l.panel(&Panel::Named(*panel)))));
    let kinds = Surface::ALL.iter().map(|surface| (surface.as_str(), l.capital(&l.surface(surface))));
    let telephone = |number: &String| {
        let digits: String = number.chars().filter(|sign| sign.is_ascii_digit() || *sign == '+').collect();
        (number.clone(), format!("tel:{digits}"))
    };
    Shown {
        base: format!("/door/{token}"),
        title: vehicle,
        vin: page.vin_ends.as_ref().map(|end| l.say("page-door-vin", &said!["end" => end])),
        said: said.then(|| l.say("page-door-said", &said!["shop" => &page.shop])),
        repaired: (!repaired.is_empty())
            .then(|| l.say("page-door-repaired", &said!["panels" => l.all_of(&repaired)])),
        care: page.care.iter().flat_map(|care| in_language(l, care)).collect(),
        note_about: l.say("page-door-note-about", &said!["shop" => &page.shop]),
        practice: PRACTICE.iter().map(|one| l.word(&format!("page-door-practice-{one}"))).collect(),
        unit: match page.odometer_unit {
            OdometerUnit::Km => l.word("page-field-odometer-km"),
            OdometerUnit::Mi => l.word("page-field-odometer-mi"),
        },
        shop: page.shop.clone(),
        phone: page.phone.as_ref().map(telephone),
        panels: named.collect(),
        kinds: kinds.collect(),
        today: page.today.to_string(),
        faults: faults.unwrap_or_default(),
        l,
        drill,
        surfaces,
        wash_class,
        wash,
        entered,
        open,
    }
}

/// What terms say of care: in this language, else in any.
fn in_language(l: Language, care: &Value) -> Vec<String> {
    let list = match care {
        Value::Object(languages) => {
            let own = languages.iter().find(|(tag, _)| Language::of(tag) == Some(l));
            own.or_else(|| languages.iter().next()).map(|(_, texts)| texts)
        }
        other => Some(other),
    };
    match list {
        Some(Value::Array(texts)) => texts.iter().filter_map(Value::as_str).map(str::to_owned).collect(),
        Some(Value::String(text)) => vec![text.clone()],
        _ => Vec::new(),
    }
}

async fn found(request: &HttpRequest, token: &str) -> Result<DoorPage, Problem> {
    let token = token.to_owned();
    service(request)?.run(move |app| door_page::find(app, &token)).await
}

/// Whoever stands there reads in the language of their browser; else in the shop's.
fn language(request: &HttpRequest, page: &DoorPage) -> Language {
    let wanted = forms::languages(request.headers());
    Language::best(wanted.iter().map(String::as_str).chain([page.language.as_str()]))
}

/// The page; JSON for whoever would rather have that. Nothing is changed by reading.
pub async fn page(request: HttpRequest, path: Path) -> Result<HttpResponse, Problem> {
    if !accept::takes(request.headers(), &[HTML, "application/json"]) {
        return Err(Problem::of_status(StatusCode::NOT_ACCEPTABLE));
    }
    let token: String = path.get("token")?;
    let page = found(&request, &token).await?;
    let mut response = if forms::wants_json(request.headers()) {
        HttpResponse::Ok().insert_header((header::CACHE_CONTROL, "no-store")).json(&page)
    } else {
        let (l, drill) = (language(&request, &page), service(&request)?.app.drill);
        let said = request.query_string() == "said=note";
        Page::of(&sheet(l, drill, &token, &page, said, None))?.private()
    };
    let vary = header::HeaderValue::from_static("accept, accept-language");
    response.headers_mut().insert(header::VARY, vary);
    Ok(response)
}

/// The note that a form says, or the rules that it breaks by itself; with which of the two forms it is.
fn noted(form: &Form, unit: OdometerUnit) -> (&'static str, Result<DoorNote, Problem>) {
    let mut faults = Vec::new();
    let on = form.day("on", "/on", &mut faults);
    let text = form.text("text");
    let (of, note) = if form.text("kind").as_deref() == Some("repair") {
        let panel = form.text("panel").and_then(|panel| panel.parse::<Panel>().ok());
        if panel.is_none() {
            faults.push(fault("/panel", "required", "a panel is needed"));
        }
        let surface = form.text("surface").and_then(|word| word.parse().ok()).unwrap_or(Surface::Paint);
        let repair = on.zip(panel).map(|(on, panel)| DoorNote::Repair { on, surface, panel, text });
        ("repair", repair)
    } else {
        let odometer = form.odometer(unit, &mut faults);
        ("wash", on.map(|on| DoorNote::Wash { on, odometer, text }))
    };
    match note {
        Some(note) if faults.is_empty() => (of, Ok(note)),
        _ => (of, Err(refused(faults))),
    }
}

/// Takes a note: a task for the shop.
pub async fn note(request: HttpRequest, path: Path, body: Body) -> Result<HttpResponse, Problem> {
    let token: String = path.get("token")?;
    let page = found(&request, &token).await?;
    let sent = Sent::receive(body, LONGEST).await?;
    let (of, input) = match &sent {
        Sent::Json(value) => ("wash", typed(value.clone())),
        Sent::Form(form) => noted(form, page.odometer_unit),
    };
    let done = match input {
        Ok(note) => {
            let token = token.clone();
            service(&request)?.run(move |app| door_page::note(app, &token, note)).await
        }
        Err(problem) => Err(problem),
    };
    match (sent, done) {
        (Sent::Json(_), Ok(())) => Ok(HttpResponse::Ok()
            .insert_header((header::CACHE_CONTROL, "no-store"))
            .json(json!({ "said": "note" }))),
        (Sent::Form(_), Ok(())) => Ok(HttpResponse::SeeOther()
            .insert_header((header::LOCATION, format!("/door/{token}?said=note")))
            .insert_header((header::CACHE_CONTROL, "no-store"))
            .insert_header((header::REFERRER_POLICY, "no-referrer"))
            .finish()),
        (Sent::Form(form), Err(problem)) if problem.status == StatusCode::UNPROCESSABLE_ENTITY => {
            let (l, drill) = (language(&request, &page), service(&request)?.app.drill);
            let shown = sheet(l, drill, &token, &page, false, Some((of, form, &problem)));
            let mut response = Page::of(&shown)?.private();
            *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            Ok(response)
        }
        (_, Err(problem)) => Err(problem),
    }
}
