//! Marks that a vehicle came with: what is particular to them among a job's parts.

use chrono::{DateTime, Utc};

use super::jobs::time_fault;
use super::parts::Kind;
use super::{Error, wanted_text};
use crate::core::error::Fault;
use crate::core::ids::JobId;
use crate::core::marks::{LARGEST_MM, Mark};
use crate::core::photos::Photo;
use crate::db::parts::Part as _;
use crate::db::{self, Conn, Shop};

impl Kind for Mark {
    const NAME: &'static str = "marks";

    type Input = Self;

    fn input(&self) -> &Self {
        self
    }

    fn faults(mark: &Self, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults = Vec::new();
        if let Some(mm) = mark.size_mm.filter(|mm| !(*mm > 0.0 && *mm <= LARGEST_MM)) {
            let detail = format!("{mm} mm; allowed are above 0 to {LARGEST_MM} mm");
            faults.push(Fault::new("/size_mm", "out_of_range", detail));
        }
        faults.extend(mark.note.as_deref().and_then(|text| wanted_text("/note", text, 500)));
        faults.extend(mark.seen_at.and_then(|at| time_fault("/seen_at", at, now)));
        faults
    }

    fn unknown(conn: &mut Conn, shop: &Shop, job: JobId, mark: &Self) -> Result<Vec<Fault>, Error> {
        let Some(photo) = mark.photo else { return Ok(Vec::new()) };
        match Photo::find(conn, shop, job, photo) {
            Ok(_) => Ok(Vec::new()),
            Err(db::Error::NotFound) => {
                Ok(vec![Fault::new("/photo", "unknown_photo", format!("{photo} is no photo of this job"))])
            }
            Err(other) => Err(other.into()),
        }
    }

    fn kept(_: &mut Conn, _: &Shop, mark: Self, _: Option<Self>) -> Result<Self, Error> {
        Ok(mark)
    }
}
