//! Photos of visits.

use super::Clerk;
use crate::app::Error;
use crate::app::documents::photos::photograph;
use crate::core::vehicle_events::Happened;
use crate::db::{Conn, vehicle_events, visit_photos, visits};
use crate::documents::dispute_file::visits::VisitOnPaper;

impl Clerk<'_> {
    /// Visits of which there are photos, oldest first.
    pub(super) fn visits(&self, conn: &mut Conn) -> Result<Vec<VisitOnPaper>, Error> {
        let (shop, mut told) = (&self.office.shop, Vec::new());
        for visit in visits::list(conn, shop, Some(self.vehicle), None, i64::MAX)?.into_iter().rev() {
            let photos = visit_photos::list(conn, shop, visit.id, None, i64::MAX)?;
            if photos.is_empty() {
                continue;
            }
            let events = vehicle_events::of_visit(conn, shop, visit.id)?.into_iter();
            let services = events.filter_map(|row| match row.event.happened {
                Happened::Service { service, .. } => Some(service),
                _ => None,
            });
            let mut services: Vec<String> = services.collect();
            // What was entered again in its own place is there twice.
            services.sort_unstable();
            services.dedup();
            let photos = photos.into_iter().rev().map(|row| {
                photograph(self.app, &self.office, row.photo.said, row.photo.digest, row.entered_at)
            });
            told.push(VisitOnPaper {
                on: visit.on,
                services,
                entered: (self.office.local(visit.entered_at), visit.entered_by.map(|by| self.member(by))),
                photos: photos.collect(),
            });
        }
        told.sort_by_key(|visit| visit.on);
        Ok(told)
    }
}
