//! HTTP: the whole route table on one screen. A request goes route → who asks → handler → `app` → one transaction.

pub mod accept;
pub mod answer;
pub mod api;
pub mod auth;
pub mod body;
pub mod error;
mod limits;
mod middleware;
mod once;
pub mod openapi;
pub mod pages;
mod pictures;
pub mod query;

use std::future::{Ready, ready};
use std::net::TcpListener;
use std::sync::{Arc, OnceLock};
use std::time::Duration;

use actix_web::dev::Server;
use actix_web::http::Method;
use actix_web::http::StatusCode;
use actix_web::{App as Actix, HttpRequest, HttpServer, guard, web};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use self::api::{
    accreditations, addenda, answers, appointments, batches, bounces, calc, calendars, certificates, checks,
    climate, coats, corrections, cure, customers, documents, drawings, dues, eligibility, events, exports,
    health, imports, jobs, links, marks, members, notices, packages, paint_readings, passes, photos,
    products, sessions, shop, signatures, steps, tasks, terms, vehicles, visit_photos, visits, warranties,
};
use self::auth::Access;
use self::error::Problem;
use self::limits::Limits;
use self::pictures::Places;
use crate::app::{App, Error};
use crate::core::access::Action::{
    AddBatch, AddCustomer, AddVehicle, CancelJob, ChangeCustomer, ChangeVehicle, Countersign, Export, Extend,
    GiveLinks, HandOver, Import, LogReading, LogVisit, LogWork, ManageAccreditations, ManageAppointments,
    ManageMembers, ManageNotices, ManagePackages, ManageProducts, ManageShop, ManageTerms, Pass, Read,
    Retract, SignOff, Transfer, VoidWarranty, Waive,
};

/// One line of the route table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Route {
    /// As the router and the OpenAPI document write it.
    pub path: &'static str,
    /// HTTP method; where there is GET, there is HEAD.
    pub method: &'static str,
    /// What it asks of the caller.
    pub access: Access,
}

macro_rules! access {
    (public) => {
        Access::Public
    };
    ($action:ident) => {
        Access::Member($action)
    };
}

/// Turns the table into the router, and into a list that tests and the OpenAPI document are held against.
macro_rules! routes {
    ($($path:literal { $($method:ident $handler:path, $who:ident;)+ })+) => {
        /// Every route of the service.
        pub const ROUTES: &[Route] = &[$($(
            Route { path: $path, method: stringify!($method), access: access!($who) },
        )+)+];

        fn configure(config: &mut web::ServiceConfig) {
            $(config.service(
                web::resource($path)
                    $(.route(route(Method::$method, access!($who)).to($handler)))+
                    .default_service(web::to(|| not_allowed(concat!($(stringify!($method), " "),+)))),
            );)+
        }
    };
}

routes! {
    "/health/live" { GET health::live, public; }
    "/health/ready" { GET health::ready, public; }
    "/openapi.json" { GET openapi::document, public; }
    "/v1/sessions" { POST sessions::sign_in, public; }
    "/v1/sessions/refresh" { POST sessions::refresh, public; }
    "/v1/sessions/current" { DELETE sessions::sign_out, public; }
    "/v1/shop" { GET shop::find, Read; PATCH shop::change, ManageShop; }
    "/v1/members" { GET members::list, Read; POST members::add, ManageMembers; }
    "/v1/members/{id}" { GET members::find, Read; PATCH members::change, ManageMembers; }
    "/v1/customers" { GET customers::list, Read; POST customers::add, AddCustomer; }
    "/v1/products" { GET products::list, Read; POST products::add, ManageProducts; }
    "/v1/products/{code}" { GET products::find, Read; PATCH products::change, ManageProducts; }
    "/v1/products/{code}/sheets" { GET products::sheets, Read; POST products::add_sheet, ManageProducts; }
    "/v1/products/{code}/sheets/{n}" { GET products::sheet, Read; }
    "/v1/batches" { GET batches::list, Read; POST batches::add, AddBatch; }
    "/v1/batches/{id}" { GET batches::find, Read; PATCH batches::change, AddBatch; }
    "/v1/batches/{id}/vehicles" { GET batches::vehicles, Read; }
    "/v1/terms" { GET terms::list, Read; POST terms::add, ManageTerms; }
    "/v1/terms/{code}/editions/{n}" { GET terms::find, Read; PUT terms::replace, ManageTerms; }
    "/v1/terms/{code}/editions/{n}/publish" { POST terms::publish, ManageTerms; }
    "/v1/terms/{code}/editions/{n}/retire" { POST terms::retire, ManageTerms; }
    "/v1/terms/{code}/editions/{n}/preview" { POST terms::preview, Read; }
    "/v1/accreditations" { GET accreditations::list, Read; POST accreditations::add, ManageAccreditations; }
    "/v1/accreditations/{id}" {
        GET accreditations::find, Read;
        PATCH accreditations::change, ManageAccreditations;
        DELETE accreditations::remove, ManageAccreditations;
    }
    "/v1/vehicles" { GET vehicles::list, Read; POST vehicles::add, AddVehicle; }
    "/v1/vehicles/{id}" { GET vehicles::find, Read; PATCH vehicles::change, ChangeVehicle; }
    "/v1/vehicles/{id}/door-link" { GET links::door, Read; POST links::renew_door, ChangeVehicle; }
    "/v1/vehicles/{id}/door-label.pdf" { GET documents::door_label, Read; }
    "/v1/vehicles/{id}/history" { GET events::history, Read; }
    "/v1/vehicles/{id}/history.pdf" { GET documents::vehicle_history, Read; }
    "/v1/vehicles/{id}/dispute-file.pdf" { GET documents::dispute_file, Read; }
    "/v1/vehicles/{id}/readings" { GET events::readings, Read; POST events::read, LogReading; }
    "/v1/vehicles/{id}/events" { GET events::list, Read; POST events::add, Read; }
    "/v1/vehicles/{id}/transfers" { GET events::transfers, Read; POST events::transfer, Transfer; }
    "/v1/vehicles/{id}/transfers/{event}/told" { POST corrections::told, Transfer; }
    "/v1/vehicles/{id}/readings/{event}/correct" { POST corrections::correct_reading, Retract; }
    "/v1/jobs" { GET jobs::list, Read; POST jobs::add, LogWork; }
    "/v1/jobs/{id}" { GET jobs::find, Read; PATCH jobs::change, LogWork; }
    "/v1/jobs/{id}/steps" { GET steps::list, Read; POST steps::add, LogWork; }
    "/v1/jobs/{id}/steps/{row}" { GET steps::find, Read; PATCH steps::change, LogWork; DELETE steps::remove, LogWork; }
    "/v1/jobs/{id}/climate" { GET climate::list, Read; POST climate::add, LogWork; }
    "/v1/jobs/{id}/climate/{row}" { GET climate::find, Read; PATCH climate::change, LogWork; DELETE climate::remove, LogWork; }
    "/v1/jobs/{id}/coats" { GET coats::list, Read; POST coats::add, LogWork; }
    "/v1/jobs/{id}/coats/{row}" { GET coats::find, Read; PATCH coats::change, LogWork; DELETE coats::remove, LogWork; }
    "/v1/jobs/{id}/marks" { GET marks::list, Read; POST marks::add, LogWork; }
    "/v1/jobs/{id}/marks/{row}" { GET marks::find, Read; PATCH marks::change, LogWork; DELETE marks::remove, LogWork; }
    "/v1/jobs/{id}/climate.svg" { GET drawings::climate, Read; }
    "/v1/jobs/{id}/cure.svg" { GET drawings::cure, Read; }
    "/v1/jobs/{id}/panels.svg" { GET drawings::panels, Read; }
    "/v1/jobs/{id}/winter-card.pdf" { GET documents::winter_card, Read; }
    "/v1/jobs/{id}/sheet.pdf" { GET documents::job_sheet, Read; }
    "/v1/jobs/{id}/paint" { GET paint_readings::of, Read; }
    "/v1/jobs/{id}/paint-readings" { GET paint_readings::list, Read; POST paint_readings::add, LogWork; }
    "/v1/jobs/{id}/paint-readings/{row}" {
        GET paint_readings::find, Read;
        PATCH paint_readings::change, LogWork;
        DELETE paint_readings::remove, LogWork;
    }
    "/v1/jobs/{id}/photos" { GET photos::list, Read; POST photos::add, LogWork; }
    "/v1/jobs/{id}/photos/{row}" { GET photos::find, Read; PATCH photos::change, LogWork; DELETE photos::remove, LogWork; }
    "/v1/jobs/{id}/photos/{row}/file" { GET photos::file, Read; }
    "/v1/jobs/{id}/photos/{row}/thumbnail" { GET photos::thumbnail, Read; }
    "/v1/jobs/{id}/confirm" { POST jobs::confirm, LogWork; }
    "/v1/jobs/{id}/addenda" { GET addenda::list, Read; POST addenda::add, LogWork; }
    "/v1/packages" { GET packages::list, Read; POST packages::add, ManagePackages; }
    "/v1/packages/{code}" { GET packages::find, Read; PATCH packages::change, ManagePackages; DELETE packages::remove, ManagePackages; }
    "/v1/jobs/{id}/checks" { GET checks::list, Read; }
    "/v1/jobs/{id}/cure" { GET cure::find, Read; POST cure::what_if, Read; }
    "/v1/jobs/{id}/passes" { POST passes::add, Pass; }
    "/v1/jobs/{id}/sign-off" { POST jobs::sign_off, SignOff; }
    "/v1/jobs/{id}/cancel" { POST jobs::cancel, CancelJob; }
    "/v1/jobs/{id}/check-in" { GET signatures::check_in, Read; }
    "/v1/jobs/{id}/signatures" { GET signatures::list, Read; POST signatures::add, LogWork; }
    "/v1/jobs/{id}/signatures/{row}" { GET signatures::find, Read; }
    "/v1/jobs/{id}/handover" { GET signatures::handover, Read; POST jobs::hand_over, HandOver; }
    "/v1/jobs/{id}/warranty" { POST jobs::later, HandOver; }
    "/v1/warranties" { GET warranties::list, Read; }
    "/v1/warranties/{id}" { GET warranties::find, Read; }
    "/.well-known/jwks.json" { GET certificates::keys, public; }
    "/v1/warranties/{id}/certificate.jws" { GET certificates::signed, Read; }
    "/v1/warranties/{id}/certificate.pdf" { GET documents::certificate, Read; }
    "/v1/warranties/{id}/history.pdf" { GET documents::warranty_history, Read; }
    "/v1/warranties/{id}/assessment" { GET warranties::assessment, Read; }
    "/v1/warranties/{id}/dues" { GET warranties::dues, Read; }
    "/v1/warranties/{id}/calendar.ics" { GET calendars::of_warranty, Read; }
    "/v1/warranties/{id}/cover.svg" { GET drawings::cover, Read; }
    "/v1/warranties/{id}/waivers" { POST warranties::waive, Waive; }
    "/v1/warranties/{id}/extensions" { POST warranties::extend, Extend; }
    "/v1/warranties/{id}/answers" { GET answers::list, Read; POST answers::add, ManageAppointments; }
    "/v1/warranties/{id}/void" { POST warranties::void, VoidWarranty; }
    "/v1/visits" { GET visits::list, Read; POST visits::add, LogVisit; }
    "/v1/visits/{id}" { GET visits::find, Read; }
    "/v1/visits/{id}/photos" { GET visit_photos::list, Read; POST visit_photos::add, LogVisit; }
    "/v1/visits/{id}/photos/{row}" { GET visit_photos::find, Read; DELETE visit_photos::remove, Retract; }
    "/v1/visits/{id}/photos/{row}/file" { GET visit_photos::file, Read; }
    "/v1/visits/{id}/photos/{row}/thumbnail" { GET visit_photos::thumbnail, Read; }
    "/v1/visits/{id}/countersign" { POST corrections::countersign, Countersign; }
    "/v1/eligibility" { GET eligibility::look_up, Read; }
    "/v1/dues" { GET dues::list, Read; }
    "/v1/calc" { POST calc::work_out, Read; }
    "/v1/notices" { GET notices::list, Read; }
    "/v1/notices/bounces" { POST bounces::take, ManageNotices; }
    "/v1/notices/{id}" { GET notices::find, Read; }
    "/v1/notices/{id}/preview" { GET notices::preview, Read; }
    "/v1/notices/{id}/cancel" { POST notices::cancel, ManageNotices; }
    "/v1/notices/{id}/resend" { POST notices::resend, ManageNotices; }
    "/v1/imports" { POST imports::take, Import; }
    "/v1/exports/{kind}" { GET exports::write, Export; }
    "/v1/appointments" { GET appointments::list, Read; POST appointments::add, ManageAppointments; }
    "/v1/appointments/calendar.ics" { GET calendars::of_shop, Read; }
    "/v1/appointments/calendar-link" { POST calendars::link, ManageAppointments; }
    "/v1/appointments/calendar-link/revoke" { POST calendars::unlink, ManageAppointments; }
    "/v1/appointments/{id}" { GET appointments::find, Read; PATCH appointments::change, ManageAppointments; }
    "/v1/tasks" { GET tasks::list, Read; }
    "/v1/tasks/{id}" { GET tasks::find, Read; }
    "/v1/tasks/{id}/done" { POST tasks::done, ManageNotices; }
    "/v1/tasks/{id}/confirm" { POST tasks::confirm, ManageNotices; }
    "/v1/tasks/{id}/photos/{row}/file" { GET tasks::photo, Read; }
    "/v1/tasks/{id}/photos/{row}/thumbnail" { GET tasks::photo_thumbnail, Read; }
    "/v1/customers/{id}/links" { POST links::give, GiveLinks; }
    "/v1/customers/{id}/links/revoke" { POST links::revoke, GiveLinks; }
    "/v1/customers/{id}" { GET customers::find, Read; PATCH customers::change, ChangeCustomer; }
}

/// Pages for people, which are no part of the described interface: each is read by anybody who has its address.
macro_rules! pages {
    ($($path:literal { $($method:ident $handler:path;)+ })+) => {
        /// The path of every page.
        pub const PAGES: &[&str] = &[$($path),+];

        fn configure_pages(config: &mut web::ServiceConfig) {
            $(config.service(
                web::resource($path)
                    $(.route(route(Method::$method, Access::Public).to($handler)))+
                    .default_service(web::to(|| not_allowed(concat!($(stringify!($method), " "),+)))),
            );)+
        }
    };
}

pages! {
    "/" { GET pages::home::page; }
    "/docs" { GET pages::docs::contents; }
    "/docs/{name}" { GET pages::docs::page; }
    "/docs/assets/{name}" { GET pages::asset; }
    "/my/{token}" { GET pages::owner::page; }
    "/my/{token}/calendar.ics" { GET api::calendars::of_owner; }
    "/my/{token}/vehicles/{vehicle}/history.pdf" { GET api::documents::owners_history; }
    "/my/{token}/warranties/{warranty}/certificate.pdf" { GET api::documents::owners_certificate; }
    "/my/{token}/choices" { POST pages::owner::choose; }
    "/my/{token}/vehicles/{vehicle}/booking" { POST pages::owner::wish_booking; }
    "/my/{token}/vehicles/{vehicle}/wash" { POST pages::owner::wash; }
    "/my/{token}/vehicles/{vehicle}/problem" { POST pages::owner::report_problem; }
    "/my/{token}/vehicles/{vehicle}/sold" { POST pages::owner::say_sold; }
    "/confirm/{token}" { GET pages::confirm::page; POST pages::confirm::bind; }
    "/door/{token}" { GET pages::door::page; POST pages::door::note; }
    "/unsubscribe/{token}" { GET pages::mail_choices::page; POST pages::mail_choices::choose; }
    "/calendar/{token}" { GET api::calendars::feed; }
    "/verify/{code}" { GET pages::verification::page; }
}

/// A route for one method (HEAD goes with GET) that leaves in the request what it asks of the caller.
fn route(method: Method, access: Access) -> actix_web::Route {
    web::route().guard(guard::fn_guard(move |context| {
        let given = &context.head().method;
        let fits = *given == method || (*given == Method::HEAD && method == Method::GET);
        if fits {
            context.req_data_mut().insert(access);
        }
        fits
    }))
}

/// 405 with the methods that there are; `methods` has a blank after each.
fn not_allowed(methods: &'static str) -> Ready<Result<String, Problem>> {
    let mut problem = Problem::of_status(StatusCode::METHOD_NOT_ALLOWED);
    let mut allow: Vec<&str> = methods.split_whitespace().collect();
    if allow.contains(&"GET") {
        allow.push("HEAD");
    }
    problem.allow = Some(allow.join(", "));
    ready(Err(problem))
}

fn not_found() -> Ready<Result<String, Problem>> {
    ready(Err(Problem::not_found()))
}

/// What every handler shares: the app, and as many places as the database has connections.
pub struct Service {
    app: App,
    places: Arc<Semaphore>,
    /// Whose turn it is to have a whole file in memory.
    file_turns: Arc<Semaphore>,
    limits: Limits,
    pictures: Places,
    /// The documentation, written when it is first read.
    docs: OnceLock<pages::docs::Docs>,
}

impl Service {
    fn new(app: App) -> Self {
        let places = Arc::new(Semaphore::new(app.db.connections() as usize));
        let limits = Limits::of(&app.config);
        let file_turns = Arc::new(Semaphore::new(1));
        Self { app, places, file_turns, limits, pictures: Places::default(), docs: OnceLock::new() }
    }

    /// Waits until nobody else has a whole file in memory.
    pub(crate) async fn file_turn(&self) -> Result<OwnedSemaphorePermit, Problem> {
        self.file_turns.clone().acquire_owned().await.map_err(|e| Problem::internal(e.to_string()))
    }

    /// Calls a function of `app` on a thread of its own, as soon as one of the places is free.
    pub(crate) async fn run<T: Send + 'static>(
        &self,
        f: impl FnOnce(&App) -> Result<T, Error> + Send + 'static,
    ) -> Result<T, Problem> {
        let app = self.app.clone();
        let place =
            self.places.clone().acquire_owned().await.map_err(|e| Problem::internal(e.to_string()))?;
        let span = tracing::Span::current();
        let done = web::block(move || {
            let _place = place;
            span.in_scope(|| f(&app))
        })
        .await;
        Ok(done.map_err(|e| Problem::internal(e.to_string()))??)
    }
}

/// The shared part of the service, from any request.
pub(crate) fn service(request: &HttpRequest) -> Result<web::Data<Service>, Problem> {
    request.app_data::<web::Data<Service>>().cloned().ok_or_else(|| Problem::internal("no service"))
}

/// Serves on a listener that is already bound; stops gracefully on SIGTERM and SIGINT, within 15 seconds.
pub fn serve(app: App, listener: TcpListener, workers: usize) -> std::io::Result<Server> {
    let service = web::Data::new(Service::new(app));
    let server = HttpServer::new(move || {
        Actix::new()
            .app_data(service.clone())
            .wrap(actix_web::middleware::Compress::default())
            .wrap(actix_web::middleware::from_fn(middleware::around))
            .configure(configure)
            .configure(configure_pages)
            .default_service(web::to(not_found))
    })
    .workers(workers)
    .keep_alive(Duration::from_secs(30))
    .client_request_timeout(Duration::from_secs(10))
    .shutdown_timeout(15)
    .listen(listener)?
    .run();
    Ok(server)
}
