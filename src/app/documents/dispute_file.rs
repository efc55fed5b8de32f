//! The dispute file: everything about a vehicle that is on record, with the proofs.

mod answers;
mod appointments;
mod jobs;
mod notices;
mod owners;
mod records;
mod reports;
mod tasks;
mod visits;

use std::collections::HashMap;

use chrono::{DateTime, NaiveDateTime, Utc};

use super::job::{self, Names};
use super::{Asked, Document, Office, history, made};
use crate::app::{App, Error, Who};
use crate::core::ids::{CustomerId, MemberId, VehicleId, WarrantyId};
use crate::db::{Conn, customers, warranties};
use crate::documents::dispute_file::DisputeFile;
use crate::documents::history::History;
use crate::documents::press::Template;

/// Everything about a vehicle of the shop, with the proofs.
pub fn dispute_file_of(app: &App, who: &Who, id: VehicleId, asked: Asked) -> Result<Document, Error> {
    let now = app.now();
    made(app, Template::Pages, |conn| {
        let office = Office::from(who);
        let History { setting, vehicle, unit, warranties, jobs, mut happened, .. } =
            history::whole(conn, app, &office, id, asked, now)?;
        happened.sort_by_key(|event| (event.entered.at, event.entered.seq));
        let mut clerk = Clerk::of(conn, app, office, id)?;
        let (notices, mails) = clerk.notices(conn)?;
        let file = DisputeFile {
            setting,
            vehicle,
            unit,
            made: office.local(now),
            zone: who.zone.name().to_owned(),
            owners: clerk.owners(conn)?,
            warranties,
            jobs: clerk.jobs(conn, jobs)?,
            happened,
            visits: clerk.visits(conn)?,
            appointments: clerk.appointments(conn)?,
            answers: clerk.answers(conn)?,
            reports: clerk.reports(conn)?,
            notices,
            mails,
            tasks: clerk.tasks(conn)?,
            records: clerk.records(conn)?,
            log: clerk.log(conn)?,
        };
        Ok(file.paper())
    })
}

/// Whoever gathers the file of a vehicle: what each part of it asks for.
struct Clerk<'a> {
    app: &'a App,
    office: Office,
    vehicle: VehicleId,
    /// The members of the shop.
    members: Names,
    /// The vehicle's warranties by number, oldest first.
    warranties: Vec<(WarrantyId, String)>,
    /// Customers that were met, by name.
    customers: HashMap<CustomerId, String>,
}

impl<'a> Clerk<'a> {
    fn of(conn: &mut Conn, app: &'a App, office: Office, vehicle: VehicleId) -> Result<Self, Error> {
        let warranties = warranties::of_vehicle(conn, &office.shop, vehicle)?;
        Ok(Self {
            app,
            office,
            vehicle,
            members: job::names(conn, &office)?,
            warranties: warranties.into_iter().map(|row| (row.id, row.number.to_string())).collect(),
            customers: HashMap::new(),
        })
    }

    /// A member by name.
    fn member(&self, id: MemberId) -> String {
        self.members.get(&id).cloned().unwrap_or_default()
    }

    /// When and by which member something was done.
    fn entry(&self, at: DateTime<Utc>, by: MemberId) -> (NaiveDateTime, String) {
        (self.office.local(at), self.member(by))
    }

    /// A customer by name.
    fn customer(&mut self, conn: &mut Conn, id: CustomerId) -> Result<String, Error> {
        if let Some(name) = self.customers.get(&id) {
            return Ok(name.clone());
        }
        let name = customers::find(conn, &self.office.shop, id)?.name;
        self.customers.insert(id, name.clone());
        Ok(name)
    }

    /// A due by its warranty's number, rule and number.
    fn due(&self, warranty: WarrantyId, upkeep: &str, number: impl std::fmt::Display) -> String {
        let known = self.warranties.iter().find(|(id, _)| *id == warranty);
        let warranty = known.map_or_else(String::new, |(_, number)| format!("{number} "));
        format!("{warranty}{upkeep} #{number}")
    }
}
