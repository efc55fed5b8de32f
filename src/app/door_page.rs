//! What anybody sees who stands at a vehicle and follows the link on its label: what is on which panel, and how to wash it.
//! Nothing about any person. A wash or a repair can be noted there, which the desk confirms or leaves.

use chrono::{DateTime, NaiveDateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::authors::{Author, By};
use super::cure::care_since;
use super::door_links::behind;
use super::facts::day_fault;
use super::odometer::OdometerInput;
use super::reports::{take, text_fault};
use super::{App, Error, assessments, shops};
use crate::core::calendar::{Day, local_day};
use crate::core::error::{Fault, all_clear};
use crate::core::ids::{EventId, VehicleId};
use crate::core::odometer::Odometer;
use crate::core::reports::{DoorRepair, DoorWash, MOST_DOOR_NOTES, ReadAtDoor, Told};
use crate::core::vehicle_events::Happened;
use crate::core::words::{JobState, OdometerUnit, Panel, Surface};
use crate::db::parts::Part as _;
use crate::db::{Conn, Shop, jobs, products, reports, vehicle_events, vehicles};

/// What is on a vehicle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DoorPage {
    /// The shop that coated it.
    pub shop: String,
    /// The language that the shop writes in.
    pub language: String,
    /// Its telephone.
    pub phone: Option<String>,
    /// Make and model, as far as they are known.
    pub vehicle: String,
    /// The last four signs of its identification number, to compare with the vehicle.
    pub vin_ends: Option<String>,
    /// What its odometer shows.
    pub odometer_unit: OdometerUnit,
    /// The shop's day of which this is.
    pub today: Day,
    /// What lies on it, the latest first.
    pub coats: Vec<OnVehicle>,
    /// Panels that were repaired after they were coated, and not coated since.
    pub repaired: Vec<(Surface, Panel)>,
    /// Whether it may be washed.
    pub wash: WashSafe,
    /// How to wash it, in the words of its terms: once for all, or by language code.
    pub care: Vec<Value>,
}

/// A product on panels of a surface.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OnVehicle {
    /// The surface.
    pub surface: Surface,
    /// The product, as people call it.
    pub product: String,
    /// The panels.
    pub panels: Vec<Panel>,
    /// The day on which it was laid.
    pub on: Day,
}

/// Whether a vehicle may be washed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum WashSafe {
    /// It may.
    Now,
    /// Not before this moment, by the shop's clock; an estimate.
    From {
        /// The moment.
        at: NaiveDateTime,
    },
    /// The data sheets do not say, or not enough was read.
    Unknown,
}

/// The page behind a label. Nothing is changed by reading it.
pub fn find(app: &App, token: &str) -> Result<DoorPage, Error> {
    app.db.read(|c| {
        let (shop, vehicle) = behind(c, app, token)?;
        seen(c, app, &shop, vehicle, app.now())
    })
}

fn seen(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    vehicle: VehicleId,
    now: DateTime<Utc>,
) -> Result<DoorPage, Error> {
    let settings = shops::settings(conn, app, shop)?;
    let zone = shops::zone(conn, app, shop)?;
    let row = vehicles::find(conn, shop, vehicle)?;
    let (mut coats, mut wash) = (Vec::new(), WashSafe::Unknown);
    let mut first = true;
    for job in jobs::list(conn, shop, Some(JobState::HandedOver), Some(vehicle), None, 100)? {
        coats.extend(on_it(conn, shop, zone, &job)?);
        let Some((on, _)) = job.handed_over else { continue };
        // Only the latest work is still curing.
        if std::mem::take(&mut first) {
            let care = care_since(conn, shop, zone, &job, on, now)?;
            wash = match care.and_then(|care| care.first_wash) {
                Some(from) if from.0 <= now => WashSafe::Now,
                Some(from) => WashSafe::From { at: from.0.with_timezone(&zone).naive_local() },
                None => WashSafe::Unknown,
            };
        }
    }
    let mut care = Vec::new();
    for case in assessments::cases(conn, shop, vehicle)? {
        care.extend(case.terms.wording.as_ref().map(care_of).filter(|care| !care.is_null()));
    }
    Ok(DoorPage {
        shop: settings.name,
        language: settings.language,
        phone: settings.phone,
        vehicle: [row.make, row.model].into_iter().flatten().collect::<Vec<_>>().join(" "),
        vin_ends: row.vin.map(|vin| vin.chars().skip(13).collect()),
        odometer_unit: row.odometer_unit,
        today: local_day(now, zone),
        repaired: repaired(conn, shop, vehicle, &coats)?,
        coats,
        wash,
        care,
    })
}

/// What the wording of terms says of care: a list, or one for each language.
fn care_of(wording: &Value) -> Value {
    if let Some(care) = wording.get("care") {
        return care.clone();
    }
    let Some(languages) = wording.as_object() else { return Value::Null };
    let said = languages.iter().filter_map(|(tag, texts)| Some((tag.clone(), texts.get("care")?.clone())));
    let said: serde_json::Map<String, Value> = said.collect();
    if said.is_empty() { Value::Null } else { Value::Object(said) }
}

/// What a job laid, in the order in which it was laid, later coats first.
fn on_it(
    conn: &mut Conn,
    shop: &Shop,
    zone: chrono_tz::Tz,
    job: &jobs::JobRow,
) -> Result<Vec<OnVehicle>, Error> {
    let mut laid: Vec<OnVehicle> = Vec::new();
    for row in crate::core::coats::LaidCoat::of_job(conn, shop, job.id)? {
        let coat = row.part.coat;
        let product = products::find(conn, shop, &coat.product)?.title;
        let on: Day = coat.started_at.0.with_timezone(&zone).date_naive().into();
        let same =
            laid.iter_mut().find(|one| one.surface == coat.surface && one.product == product && one.on == on);
        match same {
            Some(same) => {
                let new = coat.panels.into_iter().filter(|panel| !same.panels.contains(panel));
                let new: Vec<Panel> = new.collect();
                same.panels.extend(new);
            }
            None => laid.push(OnVehicle { surface: coat.surface, product, panels: coat.panels, on }),
        }
    }
    laid.reverse();
    Ok(laid)
}

/// Panels that were repaired after they were coated, and neither coated on a later job nor entered as coated again.
fn repaired(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: VehicleId,
    coats: &[OnVehicle],
) -> Result<Vec<(Surface, Panel)>, Error> {
    let mut events = vehicle_events::of_vehicle(conn, shop, vehicle)?;
    // What was entered late stands behind what came after it.
    events.sort_by_key(|row| row.event.on);
    let gone: Vec<EventId> = events.iter().filter_map(|row| row.event.happened.retracts()).collect();
    let mut out: Vec<(Surface, Panel)> = Vec::new();
    for row in events.iter().filter(|row| !gone.contains(&row.event.id)) {
        let event = &row.event;
        match &event.happened {
            Happened::Repair { surface, panel } => {
                let since = |one: &OnVehicle| {
                    one.surface == *surface && one.panels.contains(panel) && one.on.date() > event.on
                };
                let named = (*surface, panel.clone());
                if !coats.iter().any(since) && !out.contains(&named) {
                    out.push(named);
                }
            }
            Happened::Recoat { surface, panel } => {
                out.retain(|(of, on)| of != surface || on != panel);
            }
            _ => {}
        }
    }
    Ok(out)
}

/// Something that somebody at the vehicle notes.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum DoorNote {
    /// It was washed.
    Wash {
        /// The day; not after today.
        on: Day,
        /// What the odometer showed.
        #[serde(default)]
        odometer: Option<OdometerInput>,
        /// What else there is to say.
        #[serde(default)]
        text: Option<String>,
    },
    /// A panel was repaired.
    Repair {
        /// The day; not after today.
        on: Day,
        /// On which surface.
        surface: Surface,
        /// Which panel.
        panel: Panel,
        /// What else there is to say.
        #[serde(default)]
        text: Option<String>,
    },
}

/// Puts down what somebody at the vehicle notes: a task for the desk, and never a fact by itself.
pub fn note(app: &App, token: &str, note: DoorNote) -> Result<(), Error> {
    let (app_in, token, now) = (app.clone(), token.to_owned(), app.now());
    app.db.write(move |tx| {
        let (shop, vehicle) = behind(tx, &app_in, &token)?;
        // One after the other, so that the bound on open notes holds.
        vehicle_events::lock(tx, &shop, vehicle)?;
        let zone = shops::zone(tx, &app_in, &shop)?;
        let author = Author { shop, zone, by: By::Door };
        let today = author.day(now);
        let mut faults = Vec::new();
        let told = match note {
            DoorNote::Wash { on, odometer, text } => {
                faults.extend(day_fault("/on", on.date(), today));
                faults.extend(text_fault(text.as_deref()));
                let read = odometer.map(|given| Odometer::new(given.value, given.unit));
                let odometer = match read.transpose() {
                    Ok(read) => read.map(|read| ReadAtDoor { value: read.value(), unit: read.unit() }),
                    Err(fault) => {
                        faults.push(fault.within("/odometer"));
                        None
                    }
                };
                Told::DoorWash(DoorWash { on, odometer, text })
            }
            DoorNote::Repair { on, surface, panel, text } => {
                faults.extend(day_fault("/on", on.date(), today));
                faults.extend(text_fault(text.as_deref()));
                Told::DoorRepair(DoorRepair { on, surface, panel, text })
            }
        };
        let open = usize::try_from(reports::open_at_door(tx, &shop, vehicle)?).unwrap_or(usize::MAX);
        if open >= MOST_DOOR_NOTES {
            let detail = format!("{open} notes about this vehicle wait for the shop; ring it instead");
            faults.push(Fault::new("", "too_many_notes", detail));
        }
        all_clear(faults)?;
        take(tx, &author, vehicle, told, &[], now)
    })
}
