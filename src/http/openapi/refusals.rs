//! Which codes of 409 and 422 an operation can be refused with, besides those that any can.

/// Method, path, and codes of 409.
const STATES: &[(&str, &str, &str)] = &[
    ("POST", "/v1/products", "product_exists"),
    ("POST", "/v1/products/{code}/sheets", "edition_exists"),
    ("POST", "/v1/batches", "batch_exists"),
    ("PATCH", "/v1/batches/{id}", "batch_exists"),
    ("POST", "/v1/terms", "edition_exists"),
    ("PUT", "/v1/terms/{code}/editions/{n}", "edition_published"),
    ("POST", "/v1/terms/{code}/editions/{n}/publish", "edition_published"),
    ("POST", "/v1/vehicles", "vehicle_exists"),
    ("PATCH", "/v1/vehicles/{id}", "vehicle_exists"),
    ("GET", "/v1/eligibility", "several_vehicles"),
    ("PATCH", "/v1/jobs/{id}", "job_not_open, job_handed_over"),
    ("POST", "/v1/jobs/{id}/confirm", "job_not_open"),
    ("POST", "/v1/jobs/{id}/steps", "job_not_open"),
    ("PATCH", "/v1/jobs/{id}/steps/{row}", "job_not_open"),
    ("DELETE", "/v1/jobs/{id}/steps/{row}", "job_not_open"),
    ("POST", "/v1/jobs/{id}/climate", "job_not_open"),
    ("PATCH", "/v1/jobs/{id}/climate/{row}", "job_not_open"),
    ("DELETE", "/v1/jobs/{id}/climate/{row}", "job_not_open"),
    ("POST", "/v1/jobs/{id}/coats", "job_not_open"),
    ("PATCH", "/v1/jobs/{id}/coats/{row}", "job_not_open"),
    ("DELETE", "/v1/jobs/{id}/coats/{row}", "job_not_open"),
    ("POST", "/v1/jobs/{id}/marks", "job_not_open"),
    ("PATCH", "/v1/jobs/{id}/marks/{row}", "job_not_open"),
    ("DELETE", "/v1/jobs/{id}/marks/{row}", "job_not_open"),
    ("POST", "/v1/jobs/{id}/paint-readings", "job_not_open"),
    ("PATCH", "/v1/jobs/{id}/paint-readings/{row}", "job_not_open"),
    ("DELETE", "/v1/jobs/{id}/paint-readings/{row}", "job_not_open"),
    ("PATCH", "/v1/jobs/{id}/photos/{row}", "job_not_open"),
    ("DELETE", "/v1/jobs/{id}/photos/{row}", "job_not_open, photo_in_use"),
    ("POST", "/v1/jobs/{id}/signatures", "job_not_open, job_not_handed_over"),
    ("POST", "/v1/jobs/{id}/passes", "job_not_open"),
    ("POST", "/v1/jobs/{id}/sign-off", "job_not_open, job_has_stops"),
    ("POST", "/v1/jobs/{id}/cancel", "job_not_open"),
    ("POST", "/v1/jobs/{id}/addenda", "job_not_signed_off"),
    ("POST", "/v1/jobs/{id}/handover", "job_not_signed_off, job_handed_over, job_falls_short"),
    ("POST", "/v1/jobs/{id}/warranty", "job_not_signed_off, job_handed_over, job_falls_short"),
    ("GET", "/v1/warranties/{id}/assessment", "warranty_void"),
    ("GET", "/v1/warranties/{id}/certificate.jws", "warranty_void"),
    ("GET", "/v1/warranties/{id}/calendar.ics", "warranty_void"),
    ("GET", "/v1/warranties/{id}/cover.svg", "warranty_void"),
    ("POST", "/v1/warranties/{id}/waivers", "warranty_void"),
    ("POST", "/v1/warranties/{id}/extensions", "warranty_void"),
    ("POST", "/v1/warranties/{id}/void", "warranty_void"),
    ("POST", "/v1/warranties/{id}/answers", "warranty_void"),
    ("GET", "/v1/notices/{id}/preview", "notice_private"),
    ("POST", "/v1/notices/{id}/cancel", "notice_not_planned"),
    ("POST", "/v1/notices/{id}/resend", "notice_on_its_way"),
    ("POST", "/v1/tasks/{id}/confirm", "task_done, nothing_to_confirm"),
];

/// Method, path, and codes of 422.
const RULES: &[(&str, &str, &str)] = &[
    ("POST", "/v1/products", "sheet_faulty"),
    ("POST", "/v1/products/{code}/sheets", "sheet_faulty"),
    ("POST", "/v1/terms/{code}/editions/{n}/publish", "terms_faulty"),
    ("POST", "/v1/jobs", "odometer_implausible"),
    ("PATCH", "/v1/jobs/{id}", "odometer_implausible"),
    ("POST", "/v1/jobs/{id}/handover", "odometer_implausible"),
    ("POST", "/v1/visits", "odometer_implausible"),
    ("POST", "/v1/vehicles/{id}/readings", "odometer_implausible"),
    ("POST", "/v1/tasks/{id}/confirm", "odometer_implausible"),
    ("POST", "/v1/vehicles/{id}/readings/{event}/correct", "odometer_implausible"),
];

fn of(table: &[(&str, &str, &'static str)], method: &str, path: &str) -> Option<&'static str> {
    table.iter().find(|(known, at, _)| *known == method && *at == path).map(|(.., codes)| *codes)
}

/// The codes of 409 of an operation, as far as it has some of its own.
pub(super) fn states(method: &str, path: &str) -> Option<&'static str> {
    of(STATES, method, path)
}

/// The codes of 422 of an operation.
pub(super) fn rules(method: &str, path: &str) -> String {
    let reused = (method == "POST" && !path.starts_with("/v1/sessions")).then_some("idempotency_key_reused");
    let own = of(RULES, method, path);
    [Some("rule_broken"), own, reused].into_iter().flatten().collect::<Vec<_>>().join(", ")
}
