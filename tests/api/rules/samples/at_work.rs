//! Requests about jobs: from intake to handover.

use serde_json::json;

use super::{Scene, coat, handover};
use crate::api::rules::call::Call;
use crate::support::shop::id;

impl Scene {
    pub(super) fn at_work(&self, method: &'static str, path: &str) -> Option<Call> {
        Some(match (method, path) {
            ("POST", "/v1/jobs") => {
                let body = json!({"vehicle_id": self.vehicle(), "odometer": {"value": 412, "unit": "km"}});
                self.post(path, body)
            }
            ("GET", "/v1/jobs/{id}") => self.get(self.job()),
            ("PATCH", "/v1/jobs/{id}") => self.patch(self.job(), json!({"excluded_panels": ["roof"]})),
            ("POST", "/v1/jobs/{id}/confirm") => {
                let job = json!({"vehicle_id": self.vehicle(), "odometer": {"value": 412, "unit": "km"},
                                 "package": self.package()});
                let job = id(&self.shop.manager.post("/v1/jobs", &job).created());
                self.post(format!("/v1/jobs/{job}/confirm"), json!({"steps": [{"place": 0}]})).of(200)
            }
            ("GET", "/v1/jobs/{id}/addenda") => {
                let path = format!("{}/addenda", self.signed_off_on(&self.vehicle()));
                for _ in 0..2 {
                    self.shop.manager.post(&path, &json!({"note": "The owner called."})).created();
                }
                self.get(path)
            }
            ("POST", "/v1/jobs/{id}/addenda") => {
                let job = self.signed_off_on(&self.vehicle());
                self.post(format!("{job}/addenda"), json!({"note": "The owner called."}))
            }
            (
                "GET",
                "/v1/jobs/{id}/climate.svg"
                | "/v1/jobs/{id}/cure.svg"
                | "/v1/jobs/{id}/panels.svg"
                | "/v1/jobs/{id}/winter-card.pdf"
                | "/v1/jobs/{id}/sheet.pdf",
            ) => self.get(format!("{}/{}", self.job(), path.rsplit_once('/')?.1)),
            ("GET", "/v1/jobs/{id}/paint") => self.get(format!("{}/paint", self.job())),
            ("GET", "/v1/jobs/{id}/checks") => self.get(format!("{}/checks", self.job())),
            ("GET", "/v1/jobs/{id}/cure") => self.get(format!("{}/cure", self.job())),
            ("POST", "/v1/jobs/{id}/cure") => {
                let stage = json!({"from": "2026-03-10T08:00:00Z", "until": "2026-03-11T08:00:00Z", "c": 20, "rh_pct": 50});
                self.post(format!("{}/cure", self.job()), json!({"stages": [stage]})).of(200)
            }
            ("POST", "/v1/jobs/{id}/passes") => {
                let job = self.job();
                let coats = format!("{job}/coats");
                let unknown = self.shop.manager.post(&coats, &coat("base-30", "nobody knows")).created();
                let subject = format!("coat:{}", id(&unknown));
                let body =
                    json!({"code": "batch_unknown", "subject": subject, "reason": "The bottle was seen."});
                self.post(format!("{job}/passes"), body)
            }
            ("POST", "/v1/jobs/{id}/sign-off") => {
                self.post(format!("{}/sign-off", self.job()), json!({})).of(200)
            }
            ("POST", "/v1/jobs/{id}/cancel") => self
                .post(format!("{}/cancel", self.job()), json!({"reason": "The owner changed their mind."}))
                .of(200),
            ("POST", "/v1/jobs/{id}/handover") => {
                self.post(format!("{}/handover", self.signed_off_on(&self.vehicle())), handover())
            }
            ("POST", "/v1/jobs/{id}/warranty") => {
                let job = self.signed_off_on(&self.vehicle());
                let mut without = handover();
                without["without_warranty"] = json!(true);
                self.shop.manager.post(&format!("{job}/handover"), &without).created();
                self.post(format!("{job}/warranty"), json!({}))
            }
            _ => return None,
        })
    }
}
