//! The OpenAPI document: gathered from the handlers, then given what every operation shares.

mod finish;
mod refusals;

use utoipa::openapi::path::Operation;
use utoipa::openapi::security::{HttpAuthScheme, HttpBuilder, SecurityScheme};
use utoipa::openapi::{Content, OpenApi as Document, Ref, RefOr, ResponseBuilder};
use utoipa::{Modify, OpenApi, ToSchema};

use super::answer::{self, Answer};
use super::api::{
    accreditations, addenda, answers, appointments, batches, bounces, calc, calendars, certificates, checks,
    climate, coats, corrections, cure, customers, documents, drawings, dues, eligibility, events, exports,
    health, imports, jobs, links, marks, members, notices, packages, paint_readings, passes, photos,
    products, sessions, shop, signatures, steps, tasks, terms, vehicles, visit_photos, visits, warranties,
};
use super::auth::Access;
use super::error::Problem;
use super::{ROUTES, Route};
use crate::language::Language;

/// What went wrong (RFC 9457).
#[derive(serde::Serialize, ToSchema)]
#[schema(as = Problem)]
struct ProblemDocument {
    /// `urn:lustrum:problem:` and the code.
    r#type: String,
    /// One fixed sentence for each code.
    title: String,
    /// HTTP status.
    status: u16,
    /// A sentence about this case.
    detail: String,
    /// Stable word for programs.
    code: String,
    /// Under which the log tells of the request.
    request_id: String,
    /// Each single fault.
    #[serde(skip_serializing_if = "Option::is_none")]
    errors: Option<Vec<ProblemFault>>,
}

/// One fault.
#[derive(serde::Serialize, ToSchema)]
struct ProblemFault {
    /// JSON pointer into the body.
    #[serde(skip_serializing_if = "Option::is_none")]
    pointer: Option<String>,
    /// Name of the faulty query parameter.
    #[serde(skip_serializing_if = "Option::is_none")]
    parameter: Option<String>,
    /// Stable word for programs.
    code: String,
    /// A sentence for people.
    detail: String,
    /// The line of a file, from 1 on.
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<u64>,
    /// The header of the column, as the file has it.
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<String>,
    /// What stands in that cell.
    #[serde(skip_serializing_if = "Option::is_none")]
    value: Option<String>,
}

#[derive(OpenApi)]
#[openapi(
    info(title = "Lustrum", description = "The record of paint-protection work on vehicles, and the warranty that comes with it.", license(name = "MIT OR Apache-2.0")),
    paths(
        health::live, health::ready, document,
        sessions::sign_in, sessions::refresh, sessions::sign_out,
        shop::find, shop::change,
        members::list, members::add, members::find, members::change,
        products::list, products::add, products::find, products::change, products::sheets, products::add_sheet, products::sheet,
        batches::list, batches::add, batches::find, batches::change, batches::vehicles,
        terms::list, terms::add, terms::find, terms::replace, terms::publish, terms::retire, terms::preview,
        accreditations::list, accreditations::add, accreditations::find, accreditations::change, accreditations::remove,
        vehicles::list, vehicles::add, vehicles::find, vehicles::change,
        jobs::list, jobs::add, jobs::find, jobs::change, jobs::sign_off, jobs::cancel, jobs::hand_over, jobs::later,
        steps::list, steps::add, steps::find, steps::change, steps::remove,
        climate::list, climate::add, climate::find, climate::change, climate::remove,
        coats::list, coats::add, coats::find, coats::change, coats::remove,
        photos::list, photos::add, photos::find, photos::change, photos::remove, photos::file, photos::thumbnail,
        signatures::check_in, signatures::handover, signatures::list, signatures::add, signatures::find,
        marks::list, marks::add, marks::find, marks::change, marks::remove,
        paint_readings::of, paint_readings::list, paint_readings::add, paint_readings::find, paint_readings::change,
        paint_readings::remove,
        checks::list, cure::find, cure::what_if, passes::add, jobs::confirm, addenda::list, addenda::add,
        packages::list, packages::add, packages::find, packages::change, packages::remove,
        events::history, events::list, events::add, events::readings, events::read, events::transfers, events::transfer,
        warranties::list, warranties::find, warranties::assessment, warranties::dues, warranties::waive, warranties::extend, warranties::void,
        visits::list, visits::add, visits::find, visit_photos::list, visit_photos::add, visit_photos::find,
        visit_photos::remove, visit_photos::file, visit_photos::thumbnail, corrections::countersign, corrections::told,
        corrections::correct_reading, answers::list, answers::add, eligibility::look_up, dues::list, notices::list,
        calendars::of_warranty, calendars::of_shop, calendars::link, calendars::unlink,
        notices::find, notices::preview, notices::cancel, notices::resend,
        bounces::take, certificates::signed, certificates::keys, calc::work_out,
        appointments::list, appointments::add, appointments::find, appointments::change, tasks::list, tasks::find, tasks::done,
        tasks::confirm, tasks::photo, tasks::photo_thumbnail,
        customers::list, customers::add, customers::find, customers::change,
        links::give, links::revoke, links::door, links::renew_door,
        imports::take, exports::write, drawings::climate, drawings::cure, drawings::panels, drawings::cover,
        documents::certificate, documents::winter_card, documents::job_sheet, documents::warranty_history,
        documents::vehicle_history, documents::dispute_file, documents::door_label,
    ),
    components(schemas(ProblemDocument, ProblemFault, Language)),
    modifiers(&Shared)
)]
struct Api;

/// Adds what follows from the route table: who may call, and which problems can be answered.
struct Shared;

impl Modify for Shared {
    fn modify(&self, document: &mut Document) {
        if let Some(components) = &mut document.components {
            let bearer = HttpBuilder::new().scheme(HttpAuthScheme::Bearer).bearer_format("JWT").build();
            components.add_security_scheme("bearer", SecurityScheme::Http(bearer));
        }
        for (path, item) in &mut document.paths.paths {
            for (method, operation) in [
                ("GET", &mut item.get),
                ("POST", &mut item.post),
                ("PUT", &mut item.put),
                ("PATCH", &mut item.patch),
                ("DELETE", &mut item.delete),
            ] {
                let route = ROUTES.iter().find(|route| route.path == path && route.method == method);
                if let (Some(operation), Some(route)) = (operation.as_mut(), route) {
                    share(operation, route);
                }
            }
        }
    }
}

fn share(operation: &mut Operation, route: &Route) {
    operation.operation_id = Some(operation_id(route));
    let states = refusals::states(route.method, route.path);
    let rules = refusals::rules(route.method, route.path);
    let mut can_be: Vec<(u16, &str)> = vec![
        (400, "malformed"),
        (406, "not_acceptable"),
        (429, "too_many_requests"),
        (500, "internal"),
        (503, "unavailable, outcome_unknown"),
    ];
    let public = matches!(route.access, Access::Public);
    if !public {
        operation.security = Some(vec![utoipa::openapi::security::SecurityRequirement::new::<
            _,
            [&str; 0],
            &str,
        >("bearer", [])]);
        can_be.push((403, "forbidden"));
    }
    if !public || route.path == "/v1/sessions/current" {
        can_be.push((401, "not_signed_in"));
    } else if route.path.starts_with("/v1/sessions") {
        can_be.push((401, "sign_in_failed"));
    }
    if route.path.contains('{') || route.path.contains("eligibility") {
        can_be.push((404, "not_found"));
    }
    if route.method != "GET" {
        can_be.extend([
            (408, "timeout"),
            (409, states.unwrap_or("not in this state")),
            (413, "too_large"),
            (415, "unsupported_media_type"),
            (422, &rules),
        ]);
    } else if let Some(states) = states {
        can_be.push((409, states));
    }
    if route.path == "/v1/eligibility" {
        can_be.push((422, &rules));
    }
    if matches!(route.method, "PATCH" | "DELETE" | "PUT") {
        can_be.extend([(412, "precondition_failed"), (428, "precondition_required")]);
    }
    for (status, codes) in can_be {
        operation.responses.responses.entry(status.to_string()).or_insert_with(|| {
            let schema = Ref::from_schema_name("Problem");
            RefOr::T(
                ResponseBuilder::new()
                    .description(format!("Problem: {codes}"))
                    .content("application/problem+json", Content::new(Some(RefOr::Ref(schema))))
                    .build(),
            )
        });
    }
}

/// Unique, and the same as long as the route is: `get_v1_customers_id`.
pub(super) fn operation_id(route: &Route) -> String {
    let path: String = route
        .path
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '_' })
        .collect::<String>()
        .split('_')
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("_");
    format!("{}_{path}", route.method.to_lowercase())
}

/// The document as text, the same each time.
pub fn text() -> Result<String, serde_json::Error> {
    let mut document = serde_json::to_value(Api::openapi())?;
    finish::finish(&mut document);
    Ok(format!("{}\n", serde_json::to_string_pretty(&document)?))
}

/// The OpenAPI document of this interface.
///
/// OpenAPI 3.1, the same that these pages are made from; clients can be generated from it.
#[utoipa::path(get, path = "/openapi.json", tag = "operations", responses((status = 200, description = "OpenAPI 3.1.", body = serde_json::Value)))]
pub async fn document() -> Answer {
    answer::text(text().map_err(|e| Problem::internal(e.to_string()))?)
}
