//! The owner's page, behind the link that mails carry: `GET` shows, each form posts to a path of its own. It works without
//! scripts: a form that breaks a rule comes back with what was entered, and says at each field what is wrong.

mod view;

pub(super) use self::view::in_words;

use actix_web::http::{StatusCode, header};
use actix_web::{HttpRequest, HttpResponse, web};
use serde::Deserialize;
use serde_json::{Value, json};

use self::view::Entered;
use super::Page;
use super::forms::{self, Form, LONGEST, LONGEST_WITH_PHOTOS, Sent, fault, refused, typed};
use crate::app::owner_page::{self, OwnerPage};
use crate::app::owner_reports::{self, BookingWish, OwnWash, OwnersChoices, SoldWish, WashCounts};
use crate::app::{App, Error};
use crate::core::ids::VehicleId;
use crate::core::pictures::{LONGEST as LONGEST_PHOTO, Picture};
use crate::core::reports::MOST_PHOTOS;
use crate::core::words::OdometerUnit;
use crate::http::auth::Path;
use crate::http::body::Body;
use crate::http::error::Problem;
use crate::http::{accept, service};
use crate::language::Language;

/// What the page says once a form was taken: the word in its address.
const SAID: [&str; 6] = ["booking", "wash-counts", "wash-noted", "problem", "sold", "choices"];

/// A form of a vehicle, as its path names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Booking,
    Wash,
    Problem,
    Sold,
}

impl Of {
    const fn name(self) -> &'static str {
        match self {
            Self::Booking => "booking",
            Self::Wash => "wash",
            Self::Problem => "problem",
            Self::Sold => "sold",
        }
    }
}

/// Who follows a link, and about which vehicle.
#[derive(Clone)]
struct At {
    token: String,
    vehicle: Option<VehicleId>,
}

impl At {
    fn of(path: &Path) -> Result<Self, Problem> {
        Ok(Self { token: path.get("token")?, vehicle: None })
    }

    fn of_vehicle(path: &Path) -> Result<(Self, VehicleId), Problem> {
        let vehicle: VehicleId = path.get("vehicle")?;
        Ok((Self { token: path.get("token")?, vehicle: Some(vehicle) }, vehicle))
    }
}

async fn found(request: &HttpRequest, token: &str) -> Result<OwnerPage, Problem> {
    let token = token.to_owned();
    service(request)?.run(move |app| owner_page::find(app, &token)).await
}

/// The page in the owner's language, or the shop's.
fn shown(
    request: &HttpRequest,
    at: &At,
    page: &OwnerPage,
    said: Option<&str>,
    entered: Option<&Entered>,
) -> Result<HttpResponse, Problem> {
    let l = Language::best([page.language.as_str(), page.shop.language.as_str()]);
    let drill = service(request)?.app.drill;
    Ok(Page::of(&view::sheet(l, drill, &at.token, page, said, entered))?.private())
}

/// The page behind an owner's link; JSON for whoever would rather have that. Nothing is changed but when the link was
/// last followed.
pub async fn page(request: HttpRequest, path: Path) -> Result<HttpResponse, Problem> {
    if !accept::takes(request.headers(), &[super::HTML, "application/json"]) {
        return Err(Problem::of_status(StatusCode::NOT_ACCEPTABLE));
    }
    let at = At::of(&path)?;
    let page = found(&request, &at.token).await?;
    let mut response = if forms::wants_json(request.headers()) {
        HttpResponse::Ok().insert_header((header::CACHE_CONTROL, "no-store")).json(&page)
    } else {
        let said = SAID.iter().copied().find(|said| request.query_string() == format!("said={said}"));
        shown(&request, &at, &page, said, None)?
    };
    response.headers_mut().insert(header::VARY, header::HeaderValue::from_static("accept"));
    Ok(response)
}

/// How a form is answered: what went well is said on the page, to which the browser goes; what broke a rule comes back
/// with what was entered. Programs are answered as everywhere.
async fn answer(
    request: &HttpRequest,
    at: At,
    sent: Sent,
    of: Option<Of>,
    done: Result<&'static str, Problem>,
) -> Result<HttpResponse, Problem> {
    let form = match sent {
        Sent::Json(_) => {
            let said = done?;
            return Ok(HttpResponse::Ok()
                .insert_header((header::CACHE_CONTROL, "no-store"))
                .json(json!({ "said": said })));
        }
        Sent::Form(form) => form,
    };
    match done {
        Ok(said) => {
            let to = format!("/my/{}?said={said}", at.token);
            Ok(HttpResponse::SeeOther()
                .insert_header((header::LOCATION, to))
                .insert_header((header::CACHE_CONTROL, "no-store"))
                .insert_header((header::REFERRER_POLICY, "no-referrer"))
                .finish())
        }
        Err(problem) if problem.status == StatusCode::UNPROCESSABLE_ENTITY => {
            let page = found(request, &at.token).await?;
            let entered = Entered::of(at.vehicle, of.map(Of::name), form, &problem);
            let mut response = shown(request, &at, &page, None, Some(&entered))?;
            *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            Ok(response)
        }
        Err(problem) => Err(problem),
    }
}

/// What a form says, or the rules that it breaks by itself.
fn read<T>(faults: Vec<Value>, input: Option<T>) -> Result<T, Problem> {
    match input {
        Some(input) if faults.is_empty() => Ok(input),
        _ => Err(refused(faults)),
    }
}

/// Does what a form asks for, if it could be read.
async fn taken<I: Send + 'static, T: Send + 'static>(
    request: &HttpRequest,
    at: &At,
    input: Result<I, Problem>,
    does: impl FnOnce(&App, &str, I) -> Result<T, Error> + Send + 'static,
) -> Result<T, Problem> {
    let (input, token) = (input?, at.token.clone());
    service(request)?.run(move |app| does(app, &token, input)).await
}

/// Keeps which language and which mails the owner wants.
pub async fn choose(request: HttpRequest, path: Path, body: Body) -> Result<HttpResponse, Problem> {
    let at = At::of(&path)?;
    found(&request, &at.token).await?;
    let sent = Sent::receive(body, LONGEST).await?;
    let input = match &sent {
        Sent::Json(value) => typed(value.clone()),
        Sent::Form(form) => {
            let language = form.text("language").filter(|tag| Language::of(tag).is_some());
            let input = language.map(|language| OwnersChoices {
                language,
                upkeep: form.ticked("upkeep"),
                history: form.ticked("history"),
            });
            let missing = fault("/language", "required", "a language is needed");
            read(if input.is_none() { vec![missing] } else { vec![] }, input)
        }
    };
    let done = taken(&request, &at, input, owner_reports::choose).await;
    answer(&request, at, sent, None, done.map(|()| "choices")).await
}

/// Takes a wish to come.
pub async fn wish_booking(request: HttpRequest, path: Path, body: Body) -> Result<HttpResponse, Problem> {
    let (at, vehicle) = At::of_vehicle(&path)?;
    found(&request, &at.token).await?;
    let sent = Sent::receive(body, LONGEST).await?;
    let input = match &sent {
        Sent::Json(value) => typed(value.clone()),
        Sent::Form(form) => {
            let mut faults = Vec::new();
            let mut days = Vec::new();
            for (i, name) in ["day1", "day2", "day3"].into_iter().enumerate() {
                if i == 0 || form.text(name).is_some() {
                    days.extend(form.day(name, &format!("/days/{i}"), &mut faults));
                }
            }
            let (services, text) = (form.all("service"), form.text("text"));
            read(faults, Some(BookingWish { days, services, text }))
        }
    };
    let wish = move |app: &_, token: &_, input| owner_reports::wish_booking(app, token, vehicle, input);
    let done = taken(&request, &at, input, wish).await;
    answer(&request, at, sent, Some(Of::Booking), done.map(|()| "booking")).await
}

fn own_wash(form: &Form, unit: OdometerUnit) -> Result<OwnWash, Problem> {
    let mut faults = Vec::new();
    let on = form.day("on", "/on", &mut faults);
    let odometer = form.odometer(unit, &mut faults);
    read(faults, on.map(|on| OwnWash { on, service: form.text("service"), odometer }))
}

/// Takes what the owner did themselves.
pub async fn wash(request: HttpRequest, path: Path, body: Body) -> Result<HttpResponse, Problem> {
    let (at, vehicle) = At::of_vehicle(&path)?;
    let page = found(&request, &at.token).await?;
    let theirs = page.vehicles.iter().find(|one| one.id == vehicle).ok_or_else(Problem::not_found)?;
    let sent = Sent::receive(body, LONGEST).await?;
    let input = match &sent {
        Sent::Json(value) => typed(value.clone()),
        Sent::Form(form) => own_wash(form, theirs.odometer_unit),
    };
    let wash = move |app: &_, token: &_, input| owner_reports::wash(app, token, vehicle, input);
    let said = taken(&request, &at, input, wash).await.map(|counts| match counts {
        WashCounts::Counts => "wash-counts",
        WashCounts::Noted => "wash-noted",
    });
    answer(&request, at, sent, Some(Of::Wash), said).await
}

/// What a program says is wrong; photos come by the form alone.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProblemSaid {
    text: String,
}

/// Reads the photos of a form, one after the other: each is taken to its pixels, or at fault.
async fn photos(request: &HttpRequest, form: &mut Form) -> Result<Vec<Picture>, Problem> {
    let files = std::mem::take(&mut form.files);
    if files.len() > MOST_PHOTOS {
        let detail = format!("{} photos; allowed are up to {MOST_PHOTOS}", files.len());
        return Err(refused(vec![fault("/photos", "too_many", &detail)]));
    }
    let (mut pictures, mut faults) = (Vec::new(), Vec::new());
    for (said, bytes) in files {
        let Some(kind) = forms::picture_kind(&said) else {
            let code = if said.contains("hei") { "heic" } else { "not_a_picture" };
            faults.push(fault("/photos", code, "photos are JPEG or PNG"));
            continue;
        };
        if bytes.len() > LONGEST_PHOTO {
            faults.push(fault("/photos", "too_large", "a photo has at most 15 MiB"));
            continue;
        }
        let turn = service(request)?.pictures.turn().await?;
        let read = web::block(move || {
            let _turn = turn;
            Picture::read(kind, &bytes)
        });
        match read.await.map_err(|e| Problem::internal(e.to_string()))? {
            Ok(picture) => pictures.push(picture),
            Err(wrong) => faults.push(fault("/photos", wrong.code, &wrong.detail)),
        }
    }
    if faults.is_empty() { Ok(pictures) } else { Err(refused(faults)) }
}

/// Takes that something is wrong, with photos.
pub async fn report_problem(request: HttpRequest, path: Path, body: Body) -> Result<HttpResponse, Problem> {
    let (at, vehicle) = At::of_vehicle(&path)?;
    found(&request, &at.token).await?;
    // Photos take much memory: few at a time are received.
    let _place = service(&request)?.pictures.form_place().await?;
    let mut sent = Sent::receive(body, LONGEST_WITH_PHOTOS).await?;
    let input = match &mut sent {
        Sent::Json(value) => typed::<ProblemSaid>(value.clone()).map(|said| (said.text, Vec::new())),
        Sent::Form(form) => match (form.text("text"), photos(&request, form).await) {
            (Some(text), Ok(pictures)) => Ok((text, pictures)),
            (text, read) => {
                let mut faults = read.err().map(|problem| problem.errors).unwrap_or_default();
                if text.is_none() {
                    faults.insert(0, fault("/text", "required", "say what is wrong"));
                }
                Err(refused(faults))
            }
        },
    };
    let report = move |app: &_, token: &_, (text, pictures): (String, Vec<Picture>)| {
        owner_reports::report_problem(app, token, vehicle, text, &pictures)
    };
    let done = taken(&request, &at, input, report).await;
    answer(&request, at, sent, Some(Of::Problem), done.map(|()| "problem")).await
}

/// Takes that the vehicle is sold: a link goes to the owner's own address.
pub async fn say_sold(request: HttpRequest, path: Path, body: Body) -> Result<HttpResponse, Problem> {
    let (at, vehicle) = At::of_vehicle(&path)?;
    found(&request, &at.token).await?;
    let sent = Sent::receive(body, LONGEST).await?;
    let input = match &sent {
        Sent::Json(value) => typed(value.clone()),
        Sent::Form(form) => {
            let mut faults = Vec::new();
            let on = form.day("on", "/on", &mut faults);
            let (buyer, buyer_email) = (form.text("buyer"), form.text("buyer_email"));
            read(faults, on.map(|on| SoldWish { on, buyer, buyer_email }))
        }
    };
    let sold = move |app: &_, token: &_, input| owner_reports::say_sold(app, token, vehicle, input);
    let done = taken(&request, &at, input, sold).await;
    answer(&request, at, sent, Some(Of::Sold), done.map(|()| "sold")).await
}
