//! Requests about what a vehicle comes with.

use std::sync::OnceLock;

use serde_json::json;

use super::{Call, Scene};
use crate::support::pictures::jpeg;
use crate::support::shop::id;

fn picture() -> &'static [u8] {
    static PICTURE: OnceLock<Vec<u8>> = OnceLock::new();
    PICTURE.get_or_init(|| jpeg(16, 12))
}

impl Scene {
    /// Adds a photo to a job; answers its path.
    fn photo(&self, job: &str) -> String {
        let (path, kind) = (format!("{job}/photos"), [("Content-Type", "image/jpeg")]);
        let made = self.shop.manager.send("POST", &path, &kind, Some(picture())).created();
        format!("{path}/{}", id(&made))
    }

    pub(super) fn of_check_in(&self, method: &'static str, path: &str) -> Option<Call> {
        let rest = path.strip_prefix("/v1/jobs/{id}/")?;
        let photo = || self.photo(&self.job());
        Some(match (method, rest) {
            ("GET", "photos") => {
                let job = self.job();
                self.photo(&job);
                self.photo(&job);
                self.get(format!("{job}/photos"))
            }
            ("POST", "photos") => {
                let call = self.call(method, format!("{}/photos", self.job()), None, 201);
                Call { picture: Some(picture()), ..call }
            }
            ("GET", "photos/{row}") => self.get(photo()),
            ("PATCH", "photos/{row}") => self.patch(photo(), json!({"panel": "boot"})),
            ("DELETE", "photos/{row}") => self.delete(photo()),
            ("GET", "photos/{row}/file") => self.get(format!("{}/file", photo())),
            ("GET", "photos/{row}/thumbnail") => self.get(format!("{}/thumbnail", photo())),
            _ => return None,
        })
    }
}
