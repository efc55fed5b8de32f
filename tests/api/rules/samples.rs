//! A valid request for every route: each prepares what it needs, so that it can be asked for again and again.

mod at_work;
mod check_in;
mod returns;

use std::cell::Cell;

use lustrum::http::Route;
use serde_json::{Value, json};

use super::call::Call;
use crate::support::database::Backend;
use crate::support::shop::{PASSWORD, TestShop, id, sign_in};

/// A shop in which every request can be made: two of everything that lists show, and a neighbour.
pub(super) struct Scene {
    pub(super) shop: TestShop,
    made: Cell<u32>,
}

impl From<Backend> for Scene {
    fn from(backend: Backend) -> Self {
        let mut scene = Self { shop: TestShop::open(backend), made: Cell::new(0) };
        // Two who were expected yesterday and did not come.
        scene.shop.it_is("2026-03-09T08:00:00Z");
        for _ in 0..2 {
            let body = json!({"vehicle_id": scene.vehicle(), "at": "2026-03-09T15:00:00Z"});
            scene.shop.manager.post("/v1/appointments", &body).created();
        }
        scene.shop.it_is("2026-03-10T08:00:00Z");
        let manager = &scene.shop.manager;
        for code in ["base-30", "top-10"] {
            let sheet = json!({"surfaces": ["paint"], "cure": {
                "reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
                "milestones": [{"name": "wash-safe", "h": 168}]}});
            let product = json!({"code": code, "title": code, "role": "coating", "sheet": sheet});
            manager.post("/v1/products", &product).created();
            let next = json!({"edition": 2, "surfaces": ["paint", "trim"], "cure": {
                "reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
                "milestones": [{"name": "wash-safe", "h": 168}]}});
            manager.post(&format!("/v1/products/{code}/sheets"), &next).created();
            manager.post("/v1/batches", &json!({"product": code, "number": "B-0417"})).created();
        }
        manager.post("/v1/terms", &terms("two-coat-five")).created();
        manager.post("/v1/terms/two-coat-five/editions/1/publish", &json!({})).ok();
        for _ in 0..2 {
            scene.accreditation();
            scene.draft();
            scene.package();
            scene.customer();
            let (vehicle, ..) = scene.delivered();
            let visit =
                json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "inspection"}]});
            manager.post("/v1/visits", &visit).created();
        }
        // Plans what owners are told of their warranties, and tasks.
        scene.shop.ticks();
        scene
    }
}

fn terms(code: &str) -> Value {
    json!({
        "terms": "lustrum-terms/1", "code": code, "edition": 1, "title": "Five years",
        "cover": [{"surface": "paint", "lasts": {"years": 5}}],
        "upkeep": [{"key": "annual", "service": "inspection", "by": "shop", "counted_from": "start",
                    "every": {"years": 1}, "late": {"days": 30}, "if_missed": {"effect": "end"}}],
        "breaches": [{"key": "abrasive-wash", "surfaces": ["paint"], "effect": "note"}],
    })
}

impl Scene {
    fn number(&self) -> u32 {
        self.made.set(self.made.get() + 1);
        self.made.get()
    }

    fn code(&self) -> String {
        format!("made-{}", self.number())
    }

    fn customer(&self) -> String {
        self.shop.adds_customer(&format!("Owner {}", self.number()), "owner@example.org")
    }

    fn accreditation(&self) -> String {
        let body = json!({"issuer": self.code(), "from": "2026-01-01"});
        id(&self.shop.manager.post("/v1/accreditations", &body).created())
    }

    fn member(&self) -> String {
        let email = format!("member-{}@quayside.example", self.number());
        let body = json!({"name": "Rui (invented)", "email": email, "role": "desk", "password": PASSWORD});
        id(&self.shop.manager.post("/v1/members", &body).created())
    }

    fn batch(&self) -> String {
        id(&self
            .shop
            .manager
            .post("/v1/batches", &json!({"product": "base-30", "number": self.code()}))
            .created())
    }

    /// A draft of terms; answers its path.
    fn draft(&self) -> String {
        let code = self.code();
        self.shop.manager.post("/v1/terms", &terms(&code)).created();
        format!("/v1/terms/{code}/editions/1")
    }

    fn package(&self) -> String {
        let code = self.code();
        self.shop.manager.post("/v1/packages", &package(&code)).created();
        code
    }

    /// An appointment that is still to come; answers its path.
    fn appointment(&self) -> String {
        let body = json!({"vehicle_id": self.vehicle(), "at": "2026-03-12T15:00:00Z"});
        format!("/v1/appointments/{}", id(&self.shop.manager.post("/v1/appointments", &body).created()))
    }

    /// A task, done or not; answers its path.
    fn task(&self) -> String {
        let listed = |path| self.shop.manager.get(path).ok()["items"][0]["id"].as_str().map(str::to_owned);
        let task = listed("/v1/tasks").or_else(|| listed("/v1/tasks?done=true"));
        format!("/v1/tasks/{}", task.unwrap())
    }

    /// A repair that was noted at a vehicle; answers the path of the task that it became.
    fn note_at_a_door(&self) -> String {
        let door = self.shop.manager.get(&format!("/v1/vehicles/{}/door-link", self.vehicle())).ok();
        let path = door["url"].as_str().unwrap().split_once("/door/").unwrap().1.to_owned();
        let note = json!({"kind": "repair", "on": "2026-03-10", "surface": "paint", "panel": "bonnet"});
        self.shop.manager.anonymous().post(&format!("/door/{path}"), &note).ok();
        format!("/v1/tasks/{}", id(&self.shop.manager.get("/v1/tasks").ok()["items"][0]))
    }

    fn vehicle(&self) -> String {
        let plate = format!("QC {}", self.number());
        let body = json!({"plate": plate, "make": "Corvina", "customer_id": self.customer()});
        id(&self.shop.manager.post("/v1/vehicles", &body).created())
    }

    /// A job that can be worked on, with a coat; answers its path.
    fn job_on(&self, vehicle: &str) -> String {
        let manager = &self.shop.manager;
        let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"},
                         "terms": {"code": "two-coat-five"}, "panels": {"paint": ["bonnet"]}});
        let job = format!("/v1/jobs/{}", id(&manager.post("/v1/jobs", &job).created()));
        manager.post(&format!("{job}/coats"), &coat("base-30", "B-0417")).created();
        job
    }

    fn job(&self) -> String {
        self.job_on(&self.vehicle())
    }

    /// A row of a new job; answers its path.
    fn row(&self, sort: &str, body: &Value) -> String {
        self.row_of(&self.job(), sort, body)
    }

    /// A row of a job; answers its path.
    fn row_of(&self, job: &str, sort: &str, body: &Value) -> String {
        let path = format!("{job}/{sort}");
        format!("{path}/{}", id(&self.shop.manager.post(&path, body).created()))
    }

    fn signed_off_on(&self, vehicle: &str) -> String {
        let job = self.job_on(vehicle);
        self.shop.manager.post(&format!("{job}/sign-off"), &json!({})).ok();
        job
    }

    /// A vehicle that was handed over; answers its id, the path of the job and the path of the warranty.
    fn delivered(&self) -> (String, String, String) {
        let vehicle = self.vehicle();
        let job = self.signed_off_on(&vehicle);
        let answer = self.shop.manager.post(&format!("{job}/handover"), &handover()).created();
        (vehicle, job, format!("/v1/warranties/{}", id(&answer["warranty"])))
    }

    fn call(&self, method: &'static str, path: impl Into<String>, body: Option<Value>, status: u16) -> Call {
        Call {
            client: self.shop.manager.clone(),
            method,
            path: path.into(),
            body,
            picture: None,
            etag: None,
            status,
        }
    }

    fn get(&self, path: impl Into<String>) -> Call {
        self.call("GET", path, None, 200)
    }

    fn post(&self, path: impl Into<String>, body: Value) -> Call {
        self.call("POST", path, Some(body), 201)
    }

    /// A PATCH, PUT or DELETE with the present ETag.
    fn present(&self, method: &'static str, path: impl Into<String>, body: Option<Value>) -> Call {
        let mut call = self.call(method, path, body, if method == "DELETE" { 204 } else { 200 });
        call.etag = Some(self.shop.manager.etag(&call.path));
        call
    }

    fn patch(&self, path: impl Into<String>, body: Value) -> Call {
        self.present("PATCH", path, Some(body))
    }

    fn delete(&self, path: impl Into<String>) -> Call {
        self.present("DELETE", path, None)
    }

    /// A valid request for a route. A route without one fails the tests.
    pub(super) fn sample(&self, route: &Route) -> Call {
        let (method, path) = (route.method, route.path);
        self.of_the_shop(method, path)
            .or_else(|| self.of_the_catalogue(method, path))
            .or_else(|| self.of_check_in(method, path))
            .or_else(|| self.of_work(method, path))
            .or_else(|| self.after_handover(method, path))
            .unwrap_or_else(|| panic!("{method} {path} has no sample: give it one in {}", file!()))
    }

    fn of_the_shop(&self, method: &'static str, path: &str) -> Option<Call> {
        let url = &self.shop.server.url;
        let session = || json!({"email": "ines@quayside.example", "password": PASSWORD});
        Some(match (method, path) {
            (
                "GET",
                "/health/live"
                | "/.well-known/jwks.json"
                | "/health/ready"
                | "/openapi.json"
                | "/v1/shop"
                | "/v1/members"
                | "/v1/customers"
                | "/v1/accreditations",
            ) => self.get(path),
            ("POST", "/v1/sessions") => self.post(path, session()),
            ("POST", "/v1/sessions/refresh") => {
                let begun = self.shop.manager.anonymous().post("/v1/sessions", &session()).created();
                self.post(path, json!({"refresh_token": begun["refresh_token"]})).of(200)
            }
            ("DELETE", "/v1/sessions/current") => {
                let mut call = self.call(method, path, None, 204);
                call.client = sign_in(url, "ines@quayside.example");
                call
            }
            ("PATCH", "/v1/shop") => self.patch(path, json!({"phone": "+351 210 000 417"})),
            ("POST", "/v1/members") => {
                let email = format!("member-{}@quayside.example", self.number());
                let body =
                    json!({"name": "Rui (invented)", "email": email, "role": "desk", "password": PASSWORD});
                self.post(path, body)
            }
            ("GET", "/v1/members/{id}") => self.get(format!("/v1/members/{}", self.member())),
            ("PATCH", "/v1/members/{id}") => {
                self.patch(format!("/v1/members/{}", self.member()), json!({"role": "technician"}))
            }
            ("POST", "/v1/customers") => {
                self.post(path, json!({"name": "Ada Ferro", "email": "ada@example.org"}))
            }
            ("GET", "/v1/customers/{id}") => self.get(format!("/v1/customers/{}", self.customer())),
            ("PATCH", "/v1/customers/{id}") => {
                self.patch(format!("/v1/customers/{}", self.customer()), json!({"phone": "+351 210 000 417"}))
            }
            ("POST", "/v1/imports") => {
                let table = format!("ref,name\r\nK-{},Ada Ferro\r\n", self.number());
                self.post("/v1/imports?kind=customers", json!(table))
            }
            ("GET", "/v1/exports/{kind}") => self.get("/v1/exports/customers"),
            ("POST", "/v1/accreditations") => {
                self.post(path, json!({"issuer": self.code(), "from": "2026-01-01"}))
            }
            ("GET", "/v1/accreditations/{id}") => {
                self.get(format!("/v1/accreditations/{}", self.accreditation()))
            }
            ("PATCH", "/v1/accreditations/{id}") => self.patch(
                format!("/v1/accreditations/{}", self.accreditation()),
                json!({"until": "2027-01-01"}),
            ),
            ("DELETE", "/v1/accreditations/{id}") => {
                self.delete(format!("/v1/accreditations/{}", self.accreditation()))
            }
            _ => return None,
        })
    }

    fn of_the_catalogue(&self, method: &'static str, path: &str) -> Option<Call> {
        let preview = || json!({"facts": {"start": "2026-03-10", "surfaces": ["paint"], "events": []}});
        Some(match (method, path) {
            ("POST", "/v1/calc") => {
                let body = json!({"calc": "dew_point", "air_c": 20, "rh_pct": 60});
                self.post(path, body).of(200)
            }
            ("GET", "/v1/products" | "/v1/batches" | "/v1/terms" | "/v1/packages") => self.get(path),
            ("POST", "/v1/products") => {
                self.post(path, json!({"code": self.code(), "title": "A topper", "role": "topper"}))
            }
            ("GET", "/v1/products/{code}") => self.get("/v1/products/base-30"),
            ("PATCH", "/v1/products/{code}") => {
                self.patch("/v1/products/base-30", json!({"title": "Base 30"}))
            }
            ("GET", "/v1/products/{code}/sheets") => self.get("/v1/products/base-30/sheets"),
            ("POST", "/v1/products/{code}/sheets") => {
                let code = self.code();
                let product = json!({"code": code, "title": "A topper", "role": "topper"});
                self.shop.manager.post("/v1/products", &product).created();
                self.post(format!("/v1/products/{code}/sheets"), json!({"edition": 1, "surfaces": ["paint"]}))
            }
            ("GET", "/v1/products/{code}/sheets/{n}") => self.get("/v1/products/base-30/sheets/1"),
            ("POST", "/v1/packages") => self.post(path, package(&self.code())),
            ("GET", "/v1/packages/{code}") => self.get(format!("/v1/packages/{}", self.package())),
            ("PATCH", "/v1/packages/{code}") => {
                self.patch(format!("/v1/packages/{}", self.package()), json!({"title": "Summer"}))
            }
            ("DELETE", "/v1/packages/{code}") => self.delete(format!("/v1/packages/{}", self.package())),
            ("POST", "/v1/batches") => self.post(path, json!({"product": "base-30", "number": self.code()})),
            ("GET", "/v1/batches/{id}") => self.get(format!("/v1/batches/{}", self.batch())),
            ("PATCH", "/v1/batches/{id}") => {
                self.patch(format!("/v1/batches/{}", self.batch()), json!({"ml": 40}))
            }
            ("GET", "/v1/batches/{id}/vehicles") => {
                let all = self.shop.manager.get("/v1/batches?product=base-30&limit=200").ok();
                let used = all["items"].as_array()?.iter().find(|batch| batch["number"] == "B-0417")?;
                self.get(format!("/v1/batches/{}/vehicles", id(used)))
            }
            ("POST", "/v1/terms") => self.post(path, terms(&self.code())),
            ("GET", "/v1/terms/{code}/editions/{n}") => self.get("/v1/terms/two-coat-five/editions/1"),
            ("PUT", "/v1/terms/{code}/editions/{n}") => {
                let draft = self.draft();
                let code = draft.split('/').nth(3)?.to_owned();
                self.present(method, draft, Some(terms(&code)))
            }
            ("POST", "/v1/terms/{code}/editions/{n}/publish") => {
                self.post(format!("{}/publish", self.draft()), json!({})).of(200)
            }
            ("POST", "/v1/terms/{code}/editions/{n}/retire") => {
                let draft = self.draft();
                self.shop.manager.post(&format!("{draft}/publish"), &json!({})).ok();
                self.post(format!("{draft}/retire"), json!({})).of(200)
            }
            ("POST", "/v1/terms/{code}/editions/{n}/preview") => {
                self.post("/v1/terms/two-coat-five/editions/1/preview", preview()).of(200)
            }
            _ => return None,
        })
    }

    fn of_work(&self, method: &'static str, path: &str) -> Option<Call> {
        let step = || json!({"kind": "panel_wipe", "surfaces": ["paint"]});
        let climate = || json!({"at": "2026-03-09T08:55:00Z", "air_c": 20.5, "rh_pct": 48.0});
        let mark = || json!({"panel": "boot", "kind": "stone_chip", "size_mm": 2});
        let paint = || json!({"panel": "boot", "when": "before", "spots": [{"spot": "left", "um": 118.5}]});
        let row = |sort| match sort {
            "steps" => (step(), json!({"dilution": "1:5"})),
            "climate" => (climate(), json!({"surface_c": 19.0})),
            "marks" => (mark(), json!({"kind": "etching"})),
            "paint-readings" => (paint(), json!({"when": "after"})),
            _ => (coat("top-10", "B-0417"), json!({"ml": 12})),
        };
        let rest = path.strip_prefix("/v1/jobs/{id}/").unwrap_or_default();
        let (sort, one) = rest.split_once('/').map_or((rest, false), |(sort, row)| (sort, row == "{row}"));
        if matches!(sort, "steps" | "climate" | "coats" | "marks" | "paint-readings") {
            let (made, changed) = row(sort);
            let at = || self.row(sort, &made);
            return Some(match (method, one) {
                ("GET", false) => {
                    let path = at();
                    let list = path.rsplit_once('/')?.0;
                    self.shop.manager.post(list, &made).created();
                    self.get(list)
                }
                ("POST", false) => self.post(format!("{}/{sort}", self.job()), made),
                ("GET", true) => self.get(at()),
                ("PATCH", true) => self.patch(at(), changed),
                ("DELETE", true) => self.delete(at()),
                _ => return None,
            });
        }
        Some(match (method, path) {
            ("GET", "/v1/vehicles" | "/v1/jobs" | "/v1/appointments" | "/v1/tasks") => self.get(path),
            ("POST", "/v1/appointments") => {
                self.post(path, json!({"vehicle_id": self.vehicle(), "at": "2026-03-12T15:00:00Z"}))
            }
            ("GET", "/v1/appointments/{id}") => self.get(self.appointment()),
            ("PATCH", "/v1/appointments/{id}") => self.patch(self.appointment(), json!({"note": "By tram."})),
            ("GET", "/v1/tasks/{id}") => self.get(self.task()),
            ("POST", "/v1/tasks/{id}/done") => self.post(format!("{}/done", self.task()), json!({})).of(200),
            ("POST", "/v1/tasks/{id}/confirm") => {
                self.post(format!("{}/confirm", self.note_at_a_door()), json!({})).of(200)
            }
            ("GET", "/v1/tasks/{id}/photos/{row}/file" | "/v1/tasks/{id}/photos/{row}/thumbnail") => {
                let vehicle = self.vehicle();
                let owner =
                    self.shop.manager.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
                let task = self.shop.hears_of_a_problem(owner.as_str()?, &vehicle);
                let photo = id(&task["report"]["photos"][0]);
                self.get(format!("/v1/tasks/{}/photos/{photo}/{}", id(&task), path.rsplit_once('/')?.1))
            }
            ("POST", "/v1/customers/{id}/links") => {
                self.post(format!("/v1/customers/{}/links", self.customer()), json!({}))
            }
            ("POST", "/v1/customers/{id}/links/revoke") => {
                self.post(format!("/v1/customers/{}/links/revoke", self.customer()), json!({})).of(200)
            }
            ("GET", "/v1/vehicles/{id}/door-link") => {
                self.get(format!("/v1/vehicles/{}/door-link", self.vehicle()))
            }
            ("POST", "/v1/vehicles/{id}/door-link") => {
                self.post(format!("/v1/vehicles/{}/door-link", self.vehicle()), json!({}))
            }
            ("POST", "/v1/vehicles") => self.post(path, json!({"plate": format!("QC {}", self.number())})),
            ("GET", "/v1/vehicles/{id}") => self.get(format!("/v1/vehicles/{}", self.vehicle())),
            ("PATCH", "/v1/vehicles/{id}") => {
                self.patch(format!("/v1/vehicles/{}", self.vehicle()), json!({"colour": "harbour grey"}))
            }
            _ => return self.at_work(method, path),
        })
    }
}

fn package(code: &str) -> Value {
    json!({"code": code, "title": "Winter", "steps": [{"kind": "panel_wipe", "surfaces": ["paint"]}]})
}

fn handover() -> Value {
    json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}})
}

fn coat(product: &str, batch: &str) -> Value {
    json!({"surface": "paint", "panels": ["bonnet"], "product": product, "batch": batch,
           "started_at": "2026-03-09T09:00:00Z", "ended_at": "2026-03-09T09:40:00Z"})
}
