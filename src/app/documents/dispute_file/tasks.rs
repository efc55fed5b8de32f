//! What the desk had to do, beside what was reported.

use std::collections::HashSet;

use super::Clerk;
use crate::app::Error;
use crate::core::ids::TaskId;
use crate::db::{Conn, reports, tasks};
use crate::documents::dispute_file::tasks::TaskOnPaper;

impl Clerk<'_> {
    /// What the desk had to do of its own accord, oldest first.
    pub(super) fn tasks(&self, conn: &mut Conn) -> Result<Vec<TaskOnPaper>, Error> {
        let shop = &self.office.shop;
        let reported: HashSet<TaskId> =
            reports::of_vehicle(conn, shop, self.vehicle)?.into_iter().map(|row| row.task).collect();
        let rows = tasks::of_vehicle(conn, shop, self.vehicle)?.into_iter();
        let told = rows.filter(|row| !reported.contains(&row.id)).map(|row| TaskOnPaper {
            kind: row.kind,
            text: row.text,
            at: self.office.local(row.created_at),
            settled: row.done.map(|(at, by)| self.entry(at, by)),
        });
        Ok(told.collect())
    }
}
