//! Requests about vehicles that were handed over: what happens to them, and what of it was entered wrong.

use serde_json::json;

use super::Scene;
use crate::api::rules::call::Call;
use crate::support::shop::id;

impl Scene {
    /// The notice that follows from the handover and is still planned.
    fn notice(&self) -> String {
        self.delivered();
        let planned = self.shop.manager.get("/v1/notices?state=planned").ok();
        format!("/v1/notices/{}", id(&planned["items"][0]))
    }

    pub(super) fn after_handover(&self, method: &'static str, path: &str) -> Option<Call> {
        let of_vehicle = |rest: &str| format!("/v1/vehicles/{}/{rest}", self.delivered().0);
        let of_warranty = |rest: &str| format!("{}/{rest}", self.delivered().2);
        let reading = || json!({"on": "2026-03-10", "odometer": {"value": 500, "unit": "km"}});
        Some(match (method, path) {
            ("GET", "/v1/warranties" | "/v1/visits" | "/v1/notices" | "/v1/appointments/calendar.ics") => {
                self.get(path)
            }
            ("GET", "/v1/dues") => self.get("/v1/dues?status=ahead&status=open&status=met"),
            ("GET", "/v1/vehicles/{id}/history") => self.get(of_vehicle("history")),
            ("GET", "/v1/vehicles/{id}/readings") => self.get(of_vehicle("readings")),
            ("POST", "/v1/vehicles/{id}/readings") => self.post(of_vehicle("readings"), reading()),
            ("GET", "/v1/vehicles/{id}/events") => self.get(of_vehicle("events")),
            ("POST", "/v1/vehicles/{id}/events") => {
                let body = json!({"kind": "breach", "on": "2026-03-10", "key": "abrasive-wash"});
                self.post(of_vehicle("events"), body)
            }
            ("GET", "/v1/vehicles/{id}/transfers") => self.get(of_vehicle("transfers")),
            ("POST", "/v1/vehicles/{id}/transfers") => self
                .post(of_vehicle("transfers"), json!({"on": "2026-03-10", "customer_id": self.customer()})),
            ("GET", "/v1/warranties/{id}") => self.get(self.delivered().2),
            ("GET", "/v1/warranties/{id}/certificate.jws") => self.get(of_warranty("certificate.jws")),
            ("GET", "/v1/warranties/{id}/certificate.pdf") => self.get(of_warranty("certificate.pdf")),
            ("GET", "/v1/warranties/{id}/history.pdf") => self.get(of_warranty("history.pdf")),
            ("GET", "/v1/vehicles/{id}/history.pdf") => self.get(of_vehicle("history.pdf")),
            ("GET", "/v1/vehicles/{id}/door-label.pdf") => self.get(of_vehicle("door-label.pdf")),
            ("GET", "/v1/vehicles/{id}/dispute-file.pdf") => self.get(of_vehicle("dispute-file.pdf")),
            ("GET", "/v1/warranties/{id}/assessment") => self.get(of_warranty("assessment")),
            ("GET", "/v1/warranties/{id}/dues") => self.get(of_warranty("dues")),
            ("GET", "/v1/warranties/{id}/cover.svg") => self.get(of_warranty("cover.svg")),
            ("POST", "/v1/warranties/{id}/waivers") => {
                let body =
                    json!({"upkeep": "annual", "number": 1, "on": "2026-03-10", "reason": "Goodwill."});
                self.post(of_warranty("waivers"), body)
            }
            ("POST", "/v1/warranties/{id}/extensions") => {
                let body =
                    json!({"upkeep": "annual", "number": 1, "to": "2027-06-01", "reason": "Goodwill."});
                self.post(of_warranty("extensions"), body)
            }
            ("GET", "/v1/warranties/{id}/answers") => self.get(of_warranty("answers")),
            ("POST", "/v1/warranties/{id}/answers") => self.post(
                of_warranty("answers"),
                json!({"upkeep": "annual", "number": 1, "answer": "will_come", "note": "In spring."}),
            ),
            ("POST", "/v1/warranties/{id}/void") => {
                self.post(of_warranty("void"), json!({"reason": "Issued in error."})).of(200)
            }
            ("POST", "/v1/visits") => {
                let vehicle = self.delivered().0;
                self.post(path, json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "inspection"}]}))
            }
            ("GET", "/v1/warranties/{id}/calendar.ics") => self.get(of_warranty("calendar.ics")),
            ("POST", "/v1/appointments/calendar-link") => self.post(path, json!({})),
            ("POST", "/v1/appointments/calendar-link/revoke") => self.post(path, json!({})).of(204),
            ("GET", "/v1/notices/{id}") => self.get(self.notice()),
            ("GET", "/v1/notices/{id}/preview") => self.get(format!("{}/preview", self.notice())),
            ("POST", "/v1/notices/{id}/cancel") => {
                self.post(format!("{}/cancel", self.notice()), json!({})).of(200)
            }
            ("POST", "/v1/notices/{id}/resend") => {
                let notice = self.notice();
                self.shop.desk.post(&format!("{notice}/cancel"), &json!({})).ok();
                self.post(format!("{notice}/resend"), json!({}))
            }
            ("POST", "/v1/notices/bounces") => {
                self.delivered();
                lustrum::app::ticks::tick(&self.shop.app, "2026-03-10T09:00:00Z".parse().unwrap()).unwrap();
                self.shop.delivers_mails();
                let mail = self.shop.app.mailer.kept().pop().expect("the mail of a handover");
                let report =
                    crate::support::smtp::report(&mail, "failed", "5.1.1", "550 5.1.1 no such mailbox");
                self.post(path, json!({"report": report})).of(200)
            }
            ("GET", "/v1/visits/{id}") => {
                let all = self.shop.manager.get("/v1/visits").ok();
                self.get(format!("/v1/visits/{}", id(&all["items"][0])))
            }
            ("POST", "/v1/visits/{id}/countersign") => {
                let visit = json!({"vehicle_id": self.delivered().0, "on": "2026-03-10", "services": [{"service": "inspection"}]});
                let visit = id(&self.shop.manager.post("/v1/visits", &visit).created());
                self.post(
                    format!("/v1/visits/{visit}/countersign"),
                    json!({"reason": "The sheet was found."}),
                )
                .of(200)
            }
            ("POST", "/v1/vehicles/{id}/transfers/{event}/told") => {
                let transfers = of_vehicle("transfers");
                let sale = json!({"on": "2026-03-10", "told": null, "customer_id": self.customer()});
                let sale = id(&self.shop.manager.post(&transfers, &sale).created());
                self.post(format!("{transfers}/{sale}/told"), json!({"on": "2026-03-10"}))
            }
            ("POST", "/v1/vehicles/{id}/readings/{event}/correct") => {
                let readings = of_vehicle("readings");
                let slip = id(&self.shop.manager.post(&readings, &reading()).created());
                let right = json!({"odometer": {"value": 510, "unit": "km"}, "reason": "A slip."});
                self.post(format!("{readings}/{slip}/correct"), right)
            }
            ("GET", "/v1/eligibility") => {
                let vehicle = format!("/v1/vehicles/{}", self.delivered().0);
                let plate = self.shop.manager.get(&vehicle).ok()["plate"].as_str()?.replace(' ', "%20");
                self.get(format!("/v1/eligibility?plate={plate}"))
            }
            _ => return None,
        })
    }
}
