//! Vehicles that were coated and handed over, for stories about what comes after.

use serde_json::{Value, json};

use super::shop::{TestShop, id};

impl TestShop {
    /// A coating for paint and glass, and its batch.
    pub(crate) fn stocks_one_coating(&self) {
        let sheet = json!({"surfaces": ["paint", "glass"],
                           "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
                                    "milestones": [{"name": "water-safe", "h": 12}]}});
        let product = json!({"code": "coat-1", "title": "Coat 1", "role": "coating", "sheet": sheet});
        self.manager.post("/v1/products", &product).created();
        self.manager.post("/v1/batches", &json!({"product": "coat-1", "number": "C1-1"})).created();
    }

    /// Publishes terms with these rules and whatever else is said; they cover paint for five years.
    pub(crate) fn publishes(&self, code: &str, upkeep: &Value, more: &Value) {
        let mut terms = json!({"terms": "lustrum-terms/1", "code": code, "edition": 1, "title": format!("Terms {code}"),
                               "cover": [{"surface": "paint", "lasts": {"years": 5}}], "upkeep": upkeep});
        terms.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        let draft = self.manager.post("/v1/terms", &terms).created();
        assert_eq!(draft["faults"], json!([]), "{code}");
        self.manager.post(&format!("/v1/terms/{code}/editions/1/publish"), &json!({})).ok();
    }

    /// Takes a vehicle in, coats its bonnet and hands it over today on these terms; answers the warranty.
    pub(crate) fn hands_over(&self, vehicle: &str, code: &str) -> Value {
        let odometer = json!({"value": 400, "unit": "km"});
        let job = json!({"vehicle_id": vehicle, "odometer": odometer, "terms": {"code": code}});
        let job = format!("/v1/jobs/{}", id(&self.technician.post("/v1/jobs", &job).created()));
        let now = self.app.now();
        let coat = json!({"surface": "paint", "panels": ["bonnet"], "product": "coat-1", "batch": "C1-1",
                          "started_at": now, "ended_at": now});
        self.technician.post(&format!("{job}/coats"), &coat).created();
        self.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
        let today = now.date_naive();
        let body = json!({"on": today, "odometer": odometer});
        self.desk.post(&format!("{job}/handover"), &body).created()["warranty"].clone()
    }

    /// Adds a vehicle that is known by its plate; answers its id.
    pub(crate) fn adds_vehicle(&self, plate: &str) -> String {
        id(&self.desk.post("/v1/vehicles", &json!({"plate": plate})).created())
    }
}
