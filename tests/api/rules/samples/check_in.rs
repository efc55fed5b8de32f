//! Requests about what a vehicle comes with.

use std::sync::OnceLock;

use serde_json::{Value, json};

use super::{Call, Scene};
use crate::support::pictures::jpeg;
use crate::support::shop::id;

fn picture() -> &'static [u8] {
    static PICTURE: OnceLock<Vec<u8>> = OnceLock::new();
    PICTURE.get_or_init(|| jpeg(16, 12))
}

impl Scene {
    /// Adds a photo to a job or a visit; answers its path.
    fn photo(&self, of: &str) -> String {
        let (path, kind) = (format!("{of}/photos"), [("Content-Type", "image/jpeg")]);
        let made = self.shop.manager.send("POST", &path, &kind, Some(picture())).created();
        format!("{path}/{}", id(&made))
    }

    /// A signature on what a vehicle came with.
    fn signature(&self, job: &str) -> Value {
        let shown = self.shop.manager.get(&format!("{job}/check-in")).ok();
        json!({"of": "check_in", "digest": shown["digest"], "name": "Ada Ferro", "strokes": [[[0, 0], [4, 2]]]})
    }

    /// Requests about photos `of` a job or a visit.
    fn of_photos(&self, method: &'static str, of: &str, rest: &str) -> Option<Call> {
        let photo = || self.photo(of);
        Some(match (method, rest) {
            ("GET", "") => {
                photo();
                photo();
                self.get(format!("{of}/photos"))
            }
            ("POST", "") => {
                let call = self.call(method, format!("{of}/photos"), None, 201);
                Call { picture: Some(picture()), ..call }
            }
            ("GET", "/{row}") => self.get(photo()),
            ("PATCH", "/{row}") => self.patch(photo(), json!({"panel": "boot"})),
            ("DELETE", "/{row}") => self.delete(photo()),
            ("GET", "/{row}/file") => self.get(format!("{}/file", photo())),
            ("GET", "/{row}/thumbnail") => self.get(format!("{}/thumbnail", photo())),
            _ => return None,
        })
    }

    pub(super) fn of_check_in(&self, method: &'static str, path: &str) -> Option<Call> {
        if let Some(rest) = path.strip_prefix("/v1/visits/{id}/photos") {
            let vehicle = self.delivered().0;
            let visit =
                json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "inspection"}]});
            let visit = id(&self.shop.manager.post("/v1/visits", &visit).created());
            return self.of_photos(method, &format!("/v1/visits/{visit}"), rest);
        }
        let rest = path.strip_prefix("/v1/jobs/{id}/")?;
        if let Some(rest) = rest.strip_prefix("photos") {
            return self.of_photos(method, &self.job(), rest);
        }
        Some(match (method, rest) {
            ("GET", "check-in") => self.get(format!("{}/check-in", self.job())),
            ("GET", "handover") => self.get(format!("{}/handover", self.delivered().1)),
            ("GET", "signatures") => {
                let job = self.job();
                for _ in 0..2 {
                    self.shop.manager.post(&format!("{job}/signatures"), &self.signature(&job)).created();
                }
                self.get(format!("{job}/signatures"))
            }
            ("POST", "signatures") => {
                let job = self.job();
                self.post(format!("{job}/signatures"), self.signature(&job))
            }
            ("GET", "signatures/{row}") => {
                let job = self.job();
                self.get(self.row_of(&job, "signatures", &self.signature(&job)))
            }
            _ => return None,
        })
    }
}
