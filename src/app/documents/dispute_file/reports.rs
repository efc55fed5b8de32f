//! What was told, and what the desk made of it.

use super::Clerk;
use crate::app::Error;
use crate::app::documents::photos::photograph;
use crate::core::photos::PhotoInput;
use crate::db::{Conn, reports, tasks};
use crate::documents::dispute_file::reports::ReportOnPaper;

impl Clerk<'_> {
    /// What was told, oldest first, with what the desk made of it.
    pub(super) fn reports(&mut self, conn: &mut Conn) -> Result<Vec<ReportOnPaper>, Error> {
        let (shop, mut told) = (self.office.shop, Vec::new());
        for row in reports::of_vehicle(conn, &shop, self.vehicle)? {
            let task = tasks::find(conn, &shop, row.task)?;
            let photos = reports::photos(conn, &shop, row.id)?.into_iter().map(|photo| {
                let said = PhotoInput::default();
                photograph(self.app, &self.office, said, photo.digest, row.reported_at)
            });
            let photos = photos.collect();
            told.push(ReportOnPaper {
                at: self.office.local(row.reported_at),
                by: row.customer.map(|id| self.customer(conn, id)).transpose()?,
                told: row.told,
                photos,
                seq: row.record_seq,
                settled: task.done.map(|(at, by)| self.entry(at, by)),
            });
        }
        Ok(told)
    }
}
