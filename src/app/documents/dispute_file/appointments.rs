//! Days that were booked.

use super::Clerk;
use crate::app::Error;
use crate::db::Conn;
use crate::db::appointments::{self, Filter};
use crate::documents::dispute_file::appointments::AppointmentOnPaper;

impl Clerk<'_> {
    /// Days that were booked, the earliest first.
    pub(super) fn appointments(&self, conn: &mut Conn) -> Result<Vec<AppointmentOnPaper>, Error> {
        let shop = &self.office.shop;
        let filter = Filter { vehicle: Some(self.vehicle), ..Filter::default() };
        let mut told = Vec::new();
        for row in appointments::list(conn, shop, &filter, None, i64::MAX)?.into_iter().rev() {
            let dues = appointments::dues(conn, shop, row.id)?;
            told.push(AppointmentOnPaper {
                at: self.office.local(row.at),
                dues: dues.iter().map(|due| self.due(due.warranty, &due.upkeep, due.number)).collect(),
                state: row.state,
                note: row.note,
                entered: self.entry(row.created_at, row.created_by),
            });
        }
        told.sort_by_key(|appointment| appointment.at);
        Ok(told)
    }
}
