//! Return visits: what was done, what it did for each warranty, and the verdict after it.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::assessments::{Case, WarrantyAssessment, WarrantyName, answers, cases};
use super::authors::Author;
use super::facts::{self, Entered, Entry, NewEvent, day_fault};
use super::inspections::{self, Inspected};
use super::odometer::{OdometerInput, OdometerView, TakenOdometer, take_odometer};
use super::page::{Page, Wanted};
use super::vehicles::unknown;
use super::{App, Error, Who, new_id, notices, wanted_text};
use crate::core::access::Action;
use crate::core::assess::ServiceEffect;
use crate::core::calendar::Day;
use crate::core::error::{Fault, all_clear};
use crate::core::ids::{EventId, VehicleId, VisitId};
use crate::core::inspections::{Inspection, InspectionInput};
use crate::core::notices::Occasion;
use crate::core::vehicle_events::{Elsewhere, Figures, Happened};
use crate::core::words::{DoneBy, RecordKind};
use crate::db::vehicle_events::{self, EventRow};
use crate::db::visits::{self, VisitRow};
use crate::db::{Conn, Shop, Tx, appointments};

/// Services that any terms may ask for; others must be named by terms of the vehicle.
pub(crate) const USUAL_SERVICES: [&str; 4] = ["inspection", "maintenance wash", "reconditioning", "topper"];

/// What was done on a return visit.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct VisitInput {
    /// The vehicle.
    pub vehicle_id: VehicleId,
    /// The day; not after today.
    pub on: Day,
    /// The odometer.
    #[serde(default)]
    pub odometer: Option<OdometerInput>,
    /// The services that were done; at least one.
    #[schema(min_items = 1)]
    pub services: Vec<ServiceInput>,
    /// What there is to say of it; up to 5,000 characters.
    #[serde(default)]
    #[schema(min_length = 1, max_length = 5000)]
    pub note: Option<String>,
    /// Who did it, where it was not this shop.
    #[serde(default)]
    pub done_by: Option<Elsewhere>,
}

/// A service that was done.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ServiceInput {
    /// Which, in the words of the terms.
    pub service: String,
    /// Whether it was done as the terms ask; yes unless given.
    #[serde(default)]
    pub carried_out: Option<bool>,
    /// What it found, for people; it never costs the owner the due.
    #[serde(default)]
    #[schema(min_length = 1, max_length = 5000)]
    pub finding: Option<String>,
    /// What it measured, by panel.
    #[serde(default)]
    #[schema(value_type = std::collections::BTreeMap<crate::core::words::Panel, std::collections::BTreeMap<String, f64>>)]
    pub figures: Figures,
    /// What was looked at, panel by panel. What it comes to is worked out from water after decontamination and from the
    /// limits of the terms; a finding opens a remedy, and never costs the owner the due.
    #[serde(default)]
    pub inspection: Option<InspectionInput>,
    /// Whether a manager stands for it although it is entered late.
    #[serde(default)]
    pub countersigned: Option<bool>,
}

impl ServiceInput {
    /// A service that was done, of which nothing more is said.
    pub(crate) fn of(service: String) -> Self {
        Self {
            service,
            carried_out: None,
            finding: None,
            figures: Figures::default(),
            inspection: None,
            countersigned: None,
        }
    }
}

/// A service of a visit as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct VisitService {
    /// The event that it became.
    pub event_id: EventId,
    /// Which service.
    pub service: String,
    /// Whether it was done as the terms ask.
    pub carried_out: bool,
    /// What it found, for people.
    pub finding: Option<String>,
    /// What it measured, by panel.
    #[schema(value_type = std::collections::BTreeMap<crate::core::words::Panel, std::collections::BTreeMap<String, f64>>)]
    pub figures: Figures,
    /// What was looked at, and what it came to; also of figures alone, where terms can set limits to them.
    pub inspection: Option<Inspection>,
    /// Whether a manager stands for it although it was entered late.
    pub countersigned: bool,
    /// Whether it was retracted since, as entered by mistake.
    pub retracted: bool,
}

/// What one service did for one warranty and rule.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct VisitEffect {
    /// The warranty.
    pub warranty: WarrantyName,
    /// What it did.
    #[serde(flatten)]
    pub effect: ServiceEffect,
}

/// A visit that was just entered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct EnteredVisit {
    /// The visit.
    pub id: VisitId,
    /// Its services.
    pub services: Vec<VisitService>,
    /// What they did, for each warranty and each rule that names them.
    pub effects: Vec<VisitEffect>,
    /// The verdict of each warranty of the vehicle, as of today.
    pub assessments: Vec<WarrantyAssessment>,
    /// The visit as it is answered later.
    #[serde(skip)]
    pub visit: VisitView,
}

/// A visit as it is answered later.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct VisitView {
    /// The visit.
    pub id: VisitId,
    /// The vehicle.
    pub vehicle_id: VehicleId,
    /// The day.
    pub on: NaiveDate,
    /// The odometer.
    pub odometer: Option<OdometerView>,
    /// Its services.
    pub services: Vec<VisitService>,
    /// What there is to say of it.
    pub note: Option<String>,
    /// Who did it, where it was not this shop.
    pub done_by: Option<Elsewhere>,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
}

/// What is wrong with who is said to have done it.
fn elsewhere_faults(given: &Elsewhere) -> Vec<Fault> {
    let mut faults = Vec::new();
    if given.kind == DoneBy::Shop {
        let why = "what this shop did itself has no done_by; allowed are other_shop, owner";
        faults.push(Fault::new("/done_by/kind", "own_shop", why));
    }
    if given.kind == DoneBy::OtherShop && given.name.is_none() {
        faults.push(Fault::new("/done_by/name", "required", "the other shop's name is needed"));
    }
    faults.extend(given.name.as_deref().and_then(|name| wanted_text("/done_by/name", name, 200)));
    faults.extend(wanted_text("/done_by/proof", &given.proof, 2_000));
    faults
}

/// What a visit that nothing refuses comes with.
struct Checked {
    odometer: Option<TakenOdometer>,
    /// Service by service.
    inspected: Vec<Inspected>,
}

impl VisitInput {
    /// What is wrong with it; `cases` are those of its vehicle, where that is known.
    fn faults(&self, today: NaiveDate, cases: Option<&[Case]>) -> Vec<Fault> {
        let mut faults: Vec<Fault> = day_fault("/on", self.on.date(), today).into_iter().collect();
        if self.services.is_empty() {
            faults.push(Fault::new("/services", "empty", "at least one service is needed"));
        }
        faults.extend(self.note.as_deref().and_then(|note| wanted_text("/note", note, 5_000)));
        faults.extend(self.done_by.iter().flat_map(elsewhere_faults));
        let mut known: Vec<&str> = USUAL_SERVICES.to_vec();
        for service in cases.unwrap_or_default().iter().flat_map(|case| case.terms.services()) {
            if !known.contains(&service) {
                known.push(service);
            }
        }
        for (i, service) in self.services.iter().enumerate() {
            if cases.is_some() && !known.contains(&service.service.as_str()) {
                let detail = format!(
                    "{:?} is no service of this vehicle's terms; known are {}",
                    service.service,
                    known.join(", ")
                );
                faults.push(Fault::new(format!("/services/{i}/service"), "unknown_service", detail));
            }
            let finding = service.finding.as_deref();
            faults
                .extend(finding.and_then(|text| wanted_text(&format!("/services/{i}/finding"), text, 5_000)));
        }
        faults
    }

    /// Looks for everything that refuses it; answers what its odometer shows, and what each service measured.
    fn checked(&self, conn: &mut Conn, who: &Author, now: DateTime<Utc>) -> Result<Checked, Error> {
        let (shop, vehicle, today) = (&who.shop, self.vehicle_id, who.day(now));
        let known = match unknown(conn, shop, vehicle)? {
            Some(fault) => Err(fault),
            None => Ok(cases(conn, shop, vehicle)?),
        };
        let mut faults: Vec<Fault> = known.as_ref().err().cloned().into_iter().collect();
        let cases = known.ok();
        faults.extend(self.faults(today, cases.as_deref()));
        let (on, events) = (self.on.date(), vehicle_events::of_vehicle(conn, shop, vehicle)?);
        let asked = inspections::asked(cases.as_deref().unwrap_or_default(), on);
        let past = inspections::past(&events, on);
        let mut inspected = Vec::new();
        for (i, service) in self.services.iter().enumerate() {
            match inspections::of(service, &asked, &past) {
                Ok(one) => inspected.push(one),
                Err(wrong) => {
                    let place = format!("/services/{i}");
                    faults.extend(wrong.into_iter().map(|fault| fault.within(&place)));
                }
            }
        }
        let odometer = match self.odometer {
            Some(given) => Some(take_odometer(conn, shop, vehicle, on, given, &[], faults)?),
            None => all_clear(faults).map(|()| None)?,
        };
        Ok(Checked { odometer, inspected })
    }
}

/// Enters a visit. `validate_only` writes nothing, and refuses what the real call would refuse.
pub fn add(
    app: &App,
    who: &Who,
    input: VisitInput,
    validate_only: bool,
) -> Result<Option<EnteredVisit>, Error> {
    if input.services.iter().any(|service| service.countersigned.is_some()) {
        who.must(Action::Countersign)?;
    }
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    if validate_only {
        return app.db.read(|c| input.checked(c, &(&who).into(), now)).map(|_| None);
    }
    let entered = app.db.write(move |tx| {
        let (visit, entered) = enter(tx, &app_in, &(&who).into(), input, now)?;
        answered(tx, &who, now, visit, &entered)
    });
    entered.map(Some)
}

/// Enters a visit in the caller's transaction, whoever answers for it.
pub(crate) fn enter(
    tx: &mut Tx<'_>,
    app: &App,
    who: &Author,
    input: VisitInput,
    now: DateTime<Utc>,
) -> Result<(VisitRow, Entered), Error> {
    let shop = who.shop;
    if unknown(tx, &shop, input.vehicle_id)?.is_none() {
        vehicle_events::lock(tx, &shop, input.vehicle_id)?;
    }
    let Checked { odometer, inspected } = input.checked(tx, who, now)?;
    let on = input.on.date();
    let visit = VisitRow {
        id: new_id(),
        vehicle: input.vehicle_id,
        on,
        odometer: odometer.map(|taken| taken.odometer),
        note: input.note.clone(),
        done_by: input.done_by,
        entered_by: who.member(),
        entered_at: now,
    };
    visits::add(tx, &shop, &visit)?;
    let by = visit.done_by.as_ref().map_or(DoneBy::Shop, |elsewhere| elsewhere.kind);
    let found: Vec<Option<Inspection>> = inspected.iter().map(|one| one.inspection.clone()).collect();
    let event = |(service, inspected): (ServiceInput, Inspected)| {
        let mut event = NewEvent::new(
            on,
            Happened::Service {
                service: service.service,
                carried_out: service.carried_out.unwrap_or(true),
                finding: service.finding,
                figures: inspected.figures,
                inspection: inspected.inspection.map(Box::new),
                countersigned: service.countersigned,
                done_by: by,
                imported: false,
            },
        );
        event.odometer = odometer;
        event.visit = Some(visit.id);
        event
    };
    let mut says = Map::new();
    says.insert("visit".into(), said(&visit));
    let entry = Entry {
        kind: RecordKind::Visit,
        subject: None,
        says,
        personal: PERSONAL.to_vec(),
        events: input.services.into_iter().zip(inspected).map(event).collect(),
    };
    let entered = facts::enter_by(tx, app, who, visit.vehicle, entry)?;
    for (place, inspection) in found.iter().enumerate() {
        if let Some(inspection) = inspection {
            inspections::open_remedy(tx, &shop, &visit, place, inspection)?;
        }
    }
    notices::record(tx, app, &shop, visit.vehicle, Occasion::Visit(visit.id), None, now)?;
    if by == DoneBy::Shop {
        appointments::keep(tx, &shop, visit.vehicle, on)?;
    }
    Ok((visit, entered))
}

/// What a record says of a visit, besides its events.
pub(crate) fn said(visit: &VisitRow) -> Value {
    json!({"id": visit.id, "on": visit.on, "note": visit.note, "done_by": visit.done_by})
}

/// What in [`said`] names persons or is written freely.
pub(crate) const PERSONAL: [&str; 3] = ["/visit/note", "/visit/done_by/name", "/visit/done_by/proof"];

/// How a visit is answered whose services have just been entered: what they do for each warranty.
pub(crate) fn answered(
    tx: &mut Tx<'_>,
    who: &Who,
    now: DateTime<Utc>,
    visit: VisitRow,
    entered: &Entered,
) -> Result<EnteredVisit, Error> {
    let visit = view(tx, &who.shop, visit)?;
    let new = |id: EventId| entered.events.iter().any(|row| row.event.id == id);
    let services: Vec<VisitService> =
        visit.services.iter().filter(|service| new(service.event_id)).cloned().collect();
    let mut effects = Vec::new();
    for case in &entered.cases {
        let verdict = case.verdict(who.day(now), None);
        for service in &services {
            let effect = |effect| VisitEffect { warranty: (&case.row).into(), effect };
            effects.extend(case.effects(&verdict, &service.event_id.to_string()).into_iter().map(effect));
        }
    }
    let assessments = answers(&entered.cases, who, now);
    Ok(EnteredVisit { id: visit.id, services, effects, assessments, visit })
}

/// The services of a visit as they stand: one that was entered again is told once, as it counts now.
fn services_of(conn: &mut Conn, shop: &Shop, visit: &VisitRow) -> Result<Vec<VisitService>, Error> {
    let of_visit = vehicle_events::of_visit(conn, shop, visit.id)?;
    let gone = vehicle_events::retracted(conn, shop, visit.vehicle)?;
    let replaced: Vec<EventId> = of_visit.iter().filter_map(|row| row.event.instead_of).collect();
    let service =
        |row: &EventRow| match &row.event.happened {
            Happened::Service {
                service, carried_out, finding, figures, inspection, countersigned, ..
            } if !replaced.contains(&row.event.id) => Some(VisitService {
                event_id: row.event.id,
                service: service.clone(),
                carried_out: *carried_out,
                finding: finding.clone(),
                figures: figures.clone(),
                inspection: inspection.as_deref().cloned(),
                countersigned: *countersigned == Some(true),
                retracted: gone.contains(&row.event.id),
            }),
            _ => None,
        };
    Ok(of_visit.iter().filter_map(service).collect())
}

fn view(conn: &mut Conn, shop: &Shop, row: VisitRow) -> Result<VisitView, Error> {
    let services = services_of(conn, shop, &row)?;
    Ok(VisitView {
        id: row.id,
        vehicle_id: row.vehicle,
        on: row.on,
        odometer: row.odometer.map(OdometerView::from),
        services,
        note: row.note,
        done_by: row.done_by,
        entered_at: row.entered_at,
    })
}

/// One visit.
pub fn find(app: &App, who: &Who, id: VisitId) -> Result<VisitView, Error> {
    app.db.read(|c| {
        let row = visits::find(c, &who.shop, id)?;
        view(c, &who.shop, row)
    })
}

/// A page of visits, newest first; of one vehicle if asked.
pub fn list(
    app: &App,
    who: &Who,
    vehicle: Option<VehicleId>,
    wanted: &Wanted<VisitId>,
) -> Result<Page<VisitView>, Error> {
    app.db.read(|c| {
        let rows = visits::list(c, &who.shop, vehicle, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| view(c, &who.shop, row)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}
