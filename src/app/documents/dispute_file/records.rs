//! The records about a vehicle, its jobs, visits and warranties and their terms, and the log that they stand in.

use serde_json::Value;

use super::Clerk;
use crate::app::documents::history::jobs_of;
use crate::app::{Database, Error};
use crate::core::record::merkle_root;
use crate::core::words::RecordKind;
use crate::db::{Conn, records, terms, vehicles, visits, warranties};
use crate::documents::dispute_file::records::{LogOnPaper, RecordOnPaper};

impl Clerk<'_> {
    /// The records, in the order of the log.
    pub(super) fn records(&self, conn: &mut Conn) -> Result<Vec<RecordOnPaper>, Error> {
        let (shop, id) = (&self.office.shop, self.vehicle);
        let plate = vehicles::find(conn, shop, id)?;
        let called = plate.plate.or(plate.vin).unwrap_or_default();
        let mut subjects = vec![(format!("vehicle:{id}"), called.clone())];
        // Before its VIN was known to be another shop's, too, the vehicle had an id of its own; records keep what they say.
        for row in records::about(conn, shop, &format!("vehicle:{id}"))? {
            if row.kind == RecordKind::Identification.as_str() {
                let body: Value =
                    serde_json::from_str(&row.body).map_err(|e| Database::Other(e.to_string()))?;
                subjects.extend(body["was"].as_str().map(|was| (format!("vehicle:{was}"), called.clone())));
            }
        }
        for row in jobs_of(conn, &self.office, id)? {
            subjects.push((format!("job:{}", row.id), row.number.to_string()));
        }
        for row in visits::list(conn, shop, Some(id), None, i64::MAX)? {
            subjects.push((format!("visit:{}", row.id), row.on.to_string()));
        }
        for row in warranties::of_vehicle(conn, shop, id)? {
            subjects.push((format!("warranty:{}", row.id), row.number.to_string()));
            let edition = terms::by_id(conn, shop, row.terms)?;
            let subject = (format!("terms:{}", row.terms), format!("{} {}", edition.code, edition.edition));
            // Several warranties can stand on one edition.
            if !subjects.contains(&subject) {
                subjects.push(subject);
            }
        }
        let mut told = Vec::new();
        for (subject, about) in subjects {
            for row in records::about(conn, shop, &subject)? {
                told.push(RecordOnPaper {
                    seq: row.seq,
                    kind: row.kind,
                    about: about.clone(),
                    at: self.office.local(row.recorded_at),
                    digest: row.digest,
                });
            }
        }
        told.sort_by_key(|record| record.seq);
        Ok(told)
    }

    /// The shop's log as it stands.
    pub(super) fn log(&self, conn: &mut Conn) -> Result<LogOnPaper, Error> {
        let leaves = records::leaves(conn, &self.office.shop)?;
        Ok(LogOnPaper { records: leaves.len(), head: merkle_root(&leaves) })
    }
}
