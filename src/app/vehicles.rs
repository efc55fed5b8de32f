//! Vehicles, as a shop sees them, and who has them.

use std::collections::HashMap;

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::page::{Page, Wanted};
use super::records::Document;
use super::side_by_side::side_by_side;
use super::{App, Error, Who, door_links, new_id, patched, shops, wanted_text};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::fold::{Sought, search_key};
use crate::core::ids::{CustomerId, VehicleId};
use crate::core::plate::plate_key;
use crate::core::vin::Vin;
use crate::core::words::{Finish, OdometerUnit, RecordKind, VehicleSize, words};
use crate::db::vehicles::{self, VehicleRow};
use crate::db::{Conn, Shop, Tx, customers};

/// What can be said of a vehicle; a VIN or a plate is needed.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct VehicleInput {
    /// Vehicle identification number, 17 characters (ISO 3779); its check digit never refuses.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 17)]
    pub vin: Option<String>,
    /// Number plate, as written.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 20)]
    pub plate: Option<String>,
    /// Make.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 100)]
    pub make: Option<String>,
    /// Model.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 100)]
    pub model: Option<String>,
    /// Model year, 1900–2999.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1900, maximum = 2999)]
    pub model_year: Option<i32>,
    /// Colour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 100)]
    pub colour: Option<String>,
    /// Finish of most of its panels.
    #[serde(default = "clear_coat")]
    pub finish: Finish,
    /// Rough size.
    #[serde(default = "medium")]
    pub size: VehicleSize,
    /// What its odometer shows; the shop's unit unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub odometer_unit: Option<OdometerUnit>,
    /// Who has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub customer_id: Option<CustomerId>,
}

fn clear_coat() -> Finish {
    Finish::ClearCoat
}

fn medium() -> VehicleSize {
    VehicleSize::Medium
}

impl VehicleInput {
    fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.vin.is_none() && self.plate.is_none() {
            faults.push(Fault::new("/vin", "vin_or_plate", "a VIN or a plate is needed"));
        }
        if let Some(Err(fault)) = self.vin.as_deref().map(str::parse::<Vin>) {
            faults.push(fault.within("/vin"));
        }
        if let Some(plate) = &self.plate {
            faults.extend(wanted_text("/plate", plate, 20));
            if plate_key(plate).is_empty() && !plate.trim().is_empty() {
                faults.push(Fault::new("/plate", "empty", format!("{plate:?} has neither letter nor digit")));
            }
        }
        for (pointer, text) in [("/make", &self.make), ("/model", &self.model), ("/colour", &self.colour)] {
            faults.extend(text.as_deref().and_then(|text| wanted_text(pointer, text, 100)));
        }
        if let Some(year) = self.model_year.filter(|year| !(1900..=2999).contains(year)) {
            faults.push(Fault::new(
                "/model_year",
                "out_of_range",
                format!("{year} is not from 1900 to 2999"),
            ));
        }
        faults
    }

    fn vin(&self) -> Option<String> {
        self.vin.as_deref().and_then(|vin| vin.parse::<Vin>().ok()).map(|vin| vin.as_str().to_owned())
    }

    /// The row of a vehicle that has just been checked.
    pub(crate) fn row(
        &self,
        id: VehicleId,
        unit: OdometerUnit,
        created_at: DateTime<Utc>,
        version: i64,
    ) -> VehicleRow {
        let vin = self.vin();
        let key = self.plate.as_deref().map(plate_key);
        VehicleRow {
            id,
            // Worked out once all of it is there.
            search_key: String::new(),
            vin,
            plate: self.plate.clone(),
            plate_key: key,
            make: self.make.clone(),
            model: self.model.clone(),
            model_year: self.model_year,
            colour: self.colour.clone(),
            finish: self.finish,
            size: self.size,
            odometer_unit: self.odometer_unit.unwrap_or(unit),
            created_at,
            version,
        }
    }
}

words! {
    /// How the ninth character of a VIN stands to the others.
    CheckDigitIs, "standing of a check digit" {
        Right = "right",
        /// Look again, if the vehicle was made for the North American market; elsewhere it need not be right.
        Wrong = "wrong",
    }
}

/// What a VIN says of itself: help, which refuses nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct VinHelp {
    /// Whether its check digit is right (49 CFR 565.15).
    pub check_digit: CheckDigitIs,
    /// Where it is wrong: numbers that this may be a slip of, likeliest first.
    pub likely: Vec<String>,
    /// The model years that its tenth character can stand for, likelier first.
    pub model_years: Vec<u16>,
}

impl VinHelp {
    /// None where the VIN has not the form of one.
    fn of(vin: &str) -> Option<Self> {
        let vin: Vin = vin.parse().ok()?;
        let check_digit = if vin.check_digit_fits() { CheckDigitIs::Right } else { CheckDigitIs::Wrong };
        Some(Self {
            check_digit,
            likely: vin.suggestions().iter().map(ToString::to_string).collect(),
            model_years: vin.model_years().map(Vec::from).unwrap_or_default(),
        })
    }
}

/// A vehicle as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct VehicleView {
    /// The vehicle.
    pub id: VehicleId,
    /// Everything that can be said of it.
    #[serde(flatten)]
    pub vehicle: VehicleInput,
    /// What its VIN says; absent where it has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vin_help: Option<VinHelp>,
    /// When the shop added it.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

pub(crate) fn view(conn: &mut Conn, shop: &Shop, row: VehicleRow) -> Result<VehicleView, Error> {
    let customer_id = vehicles::owner(conn, shop, row.id)?;
    Ok(view_of(row, customer_id))
}

fn view_of(row: VehicleRow, customer_id: Option<CustomerId>) -> VehicleView {
    VehicleView {
        id: row.id,
        vin_help: row.vin.as_deref().and_then(VinHelp::of),
        vehicle: VehicleInput {
            vin: row.vin,
            plate: row.plate,
            make: row.make,
            model: row.model,
            model_year: row.model_year,
            colour: row.colour,
            finish: row.finish,
            size: row.size,
            odometer_unit: Some(row.odometer_unit),
            customer_id,
        },
        created_at: row.created_at,
        version: row.version,
    }
}

/// How mails and lists call a vehicle: make and model, else plate, else VIN.
pub(crate) fn title(row: &VehicleRow) -> String {
    let named: Vec<&str> = [row.make.as_deref(), row.model.as_deref()].into_iter().flatten().collect();
    if !named.is_empty() {
        return named.join(" ");
    }
    row.plate.clone().or_else(|| row.vin.clone()).unwrap_or_default()
}

fn exists(row: &VehicleRow) -> Error {
    let more = Map::from_iter([("existing".to_owned(), json!(row.id))]);
    let detail =
        format!("your shop has a vehicle with the VIN {} already", row.vin.as_deref().unwrap_or_default());
    Rule::State { code: "vehicle_exists", detail, errors: Vec::new(), more }.into()
}

/// A customer that a body names must be the shop's; else it is a fault at `/customer_id`.
fn known_owner(tx: &mut Tx<'_>, shop: &Shop, id: Option<CustomerId>) -> Result<(), Error> {
    let Some(id) = id else { return Ok(()) };
    match customers::find(tx, shop, id) {
        Ok(_) => Ok(()),
        Err(crate::db::Error::NotFound) => {
            Err(Rule::rule("/customer_id", "unknown_customer", format!("{id} is no customer of your shop"))
                .into())
        }
        Err(other) => Err(other.into()),
    }
}

/// A vehicle that a body names and the shop has not: the fault at `/vehicle_id`.
pub(crate) fn unknown(conn: &mut Conn, shop: &Shop, id: VehicleId) -> Result<Option<Fault>, Error> {
    match vehicles::find(conn, shop, id) {
        Ok(_) => Ok(None),
        Err(crate::db::Error::NotFound) => {
            let detail = format!("{id} is no vehicle of your shop");
            Ok(Some(Fault::new("/vehicle_id", "unknown_vehicle", detail)))
        }
        Err(other) => Err(other.into()),
    }
}

/// Adds a vehicle to the shop. One that another shop knows by the same VIN is the same vehicle.
pub fn add(app: &App, who: &Who, input: VehicleInput) -> Result<VehicleView, Error> {
    all_clear(input.faults())?;
    let (app, who, door) = (app.clone(), who.clone(), door_links::draw()?);
    app.db.clone().write(move |tx| {
        let shop = who.shop;
        known_owner(tx, &shop, input.customer_id)?;
        let vin = input.vin();
        if let Some(vin) = &vin
            && let Some(known) = vehicles::by_vin(tx, &shop, vin)?
        {
            return Err(exists(&known));
        }
        let unit = shops::settings(tx, &app, &shop)?.odometer_unit;
        let id = vehicles::identify(tx, &app.db.installation(), vin.as_deref(), new_id())?;
        let row = input.row(id, unit, app.now(), 1);
        vehicles::add(tx, &shop, &row, &door)?;
        if let Some(customer) = input.customer_id {
            vehicles::give(tx, &shop, new_id(), id, customer, who.day(app.now()), None)?;
        }
        refresh_key(tx, &shop, id)?;
        let row = vehicles::find(tx, &shop, id)?;
        view(tx, &shop, row)
    })
}

/// One vehicle of the shop.
pub fn find(app: &App, who: &Who, id: VehicleId) -> Result<VehicleView, Error> {
    app.db.read(|c| {
        let row = vehicles::find(c, &who.shop, id)?;
        view(c, &who.shop, row)
    })
}

/// A page of vehicles, newest first; `q` is looked for in VIN, plate, make, model, the owner's name, and the numbers of
/// jobs and warranties.
pub fn list(
    app: &App,
    who: &Who,
    q: Option<&str>,
    wanted: &Wanted<VehicleId>,
) -> Result<Page<VehicleView>, Error> {
    let sought = q.map(Sought::of).filter(|sought| !sought.is_nothing());
    app.db.read(|c| {
        let rows = vehicles::list(c, &who.shop, sought.as_ref(), wanted.after, wanted.rows())?;
        let owners = vehicles::owners_now(c, &who.shop, rows.iter().map(|row| row.id))?;
        let view = |row: VehicleRow| {
            let owner = owners.get(&row.id).copied();
            view_of(row, owner)
        };
        Ok(wanted.page(rows.into_iter().map(view).collect(), |view| view.id))
    })
}

/// Changes a vehicle by a merge patch, if it is still of `version`. A VIN can be given to a vehicle that had none; it
/// has another id then, where the installation knew that VIN already.
pub fn change(
    app: &App,
    who: &Who,
    id: VehicleId,
    version: i64,
    patch: &Value,
) -> Result<VehicleView, Error> {
    let current = find(app, who, id)?;
    let input: VehicleInput = patched(&current.vehicle, patch)?;
    let mut faults = input.faults();
    if current.vehicle.vin.is_some() && input.vin() != current.vehicle.vin {
        faults.push(Fault::new(
            "/vin",
            "vin_is_fixed",
            "a VIN that was given stays: enter another vehicle instead",
        ));
    }
    all_clear(faults)?;
    let (app, who) = (app.clone(), who.clone());
    app.db.clone().write(move |tx| {
        let shop = who.shop;
        known_owner(tx, &shop, input.customer_id)?;
        let unit = current.vehicle.odometer_unit.unwrap_or(OdometerUnit::Km);
        let mut id = id;
        if let (None, Some(vin)) = (&current.vehicle.vin, input.vin()) {
            if let Some(known) = vehicles::by_vin(tx, &shop, &vin)? {
                return Err(exists(&known));
            }
            id = give_vin(tx, &app, &who, id, &vin)?;
        }
        let row = input.row(id, unit, current.created_at, version);
        if !vehicles::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        if let Some(customer) = input.customer_id.filter(|new| current.vehicle.customer_id != Some(*new)) {
            vehicles::give(tx, &shop, new_id(), id, customer, who.day(app.now()), None)?;
        }
        refresh_key(tx, &shop, id)?;
        let row = vehicles::find(tx, &shop, id)?;
        view(tx, &shop, row)
    })
}

/// Gives a vehicle its VIN, and answers which vehicle it is then: where the installation knows that VIN, the shop's
/// view, and all that it has entered, go over to that vehicle. Nothing that another shop entered shows.
fn give_vin(tx: &mut Tx<'_>, app: &App, who: &Who, id: VehicleId, vin: &str) -> Result<VehicleId, Error> {
    let scope = app.db.installation();
    let Some(known) = vehicles::known(tx, &scope, vin)? else {
        return match vehicles::name(tx, &scope, id, vin) {
            // Another shop has entered it at the same moment: the next try finds it.
            Err(crate::db::Error::Conflict(_)) => Err(crate::db::Error::Busy.into()),
            other => Ok(other.map(|()| id)?),
        };
    };
    let after = vehicles::join(tx, &who.shop, &scope, id, known)?;
    let body = json!({"vehicle": known, "was": id, "vin": vin, "events_after": after});
    Document::new(RecordKind::Identification, format!("vehicle:{known}"), &body)?.keep(tx, who, app.now())?;
    Ok(known)
}

/// Keeps the key that a vehicle is searched by true to its owner.
pub(crate) fn new_owner(
    tx: &mut Tx<'_>,
    who: &Who,
    id: VehicleId,
    customer: CustomerId,
    on: NaiveDate,
    event: crate::core::ids::EventId,
) -> Result<(), Error> {
    vehicles::give(tx, &who.shop, new_id(), id, customer, on, Some(event))?;
    refresh_key(tx, &who.shop, id)
}

/// What a vehicle is searched by: the numbers of its jobs and warranties, what is said of it, and who has it.
pub(crate) fn key_of(numbers: &[String], row: &VehicleRow, owner: Option<&str>) -> String {
    let said = [&row.vin, &row.plate_key, &row.plate, &row.make, &row.model];
    let said = said.into_iter().filter_map(|text| text.as_deref()).chain(owner);
    search_key(numbers.iter().map(String::as_str).chain(said))
}

/// Works anew out what a vehicle is searched by; by whatever changes any of it.
pub(crate) fn refresh_key(tx: &mut Tx<'_>, shop: &Shop, id: VehicleId) -> Result<(), Error> {
    refresh_keys(tx, shop, &[id])
}

/// Vehicles whose keys are worked out and written together: SQLite writes the index of what is searched out before each
/// statement, and merges what it has written out.
const KEYS: usize = 5_000;

/// The same of many vehicles.
pub(crate) fn refresh_keys(tx: &mut Tx<'_>, shop: &Shop, ids: &[VehicleId]) -> Result<(), Error> {
    side_by_side(
        tx,
        ids.chunks(KEYS),
        |tx, some| {
            let numbers = vehicles::many::numbers(tx, shop, some)?;
            let owners = vehicles::many::owners(tx, shop, some)?;
            let people: Vec<CustomerId> = owners.values().map(|(customer, _)| *customer).collect();
            let people = customers::of(tx, shop, &people)?.into_iter();
            let names: HashMap<CustomerId, String> = people.map(|row| (row.id, row.name)).collect();
            Ok((vehicles::many::of(tx, shop, some)?, numbers, owners, names))
        },
        |(rows, numbers, owners, names)| {
            let mut changed = Vec::new();
            for row in rows {
                let owner = owners.get(&row.id).and_then(|(customer, _)| names.get(customer));
                let numbers = numbers.get(&row.id).map_or(&[][..], Vec::as_slice);
                let key = key_of(numbers, &row, owner.map(String::as_str));
                if key != row.search_key {
                    changed.push((row.id, key));
                }
            }
            Ok(changed)
        },
        |tx, changed| Ok(vehicles::many::set_keys(tx, shop, &changed)?),
    )
}
