//! Marks that a vehicle came with: what is particular to them among a job's parts.

use chrono::{DateTime, Utc};

use super::jobs::time_fault;
use super::parts::Kind;
use super::{Error, wanted_text};
use crate::core::error::Fault;
use crate::core::marks::{LARGEST_MM, Mark};
use crate::db::{Conn, Shop};

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

    fn kept(_: &mut Conn, _: &Shop, mark: Self, _: Option<Self>) -> Result<Self, Error> {
        Ok(mark)
    }
}
