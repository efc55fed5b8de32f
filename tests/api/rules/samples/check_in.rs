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
    /// Adds a photo to a job; answers its path.
    fn photo(&self, job: &str) -> String {
        let (path, kind) = (format!("{job}/photos"), [("Content-Type", "image/jpeg")]);
        let made = self.shop.manager.send("POST", &path, &kind, Some(picture())).created();
        format!("{path}/{}", id(&made))
    }

    /// A signature on what a vehicle came with.
    fn signature(&self, job: &str) -> Value {
        let shown = self.shop.manager.get(&format!("{job}/check-in")).ok();
        json!({"of": "check_in", "digest": shown["digest"], "name": "Ada Ferro", "strokes": [[[0, 0], [4, 2]]]})
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
