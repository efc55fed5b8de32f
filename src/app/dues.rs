//! The work list of the shop: what falls due, by the day on which its window closes.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::assessments::WarrantyName;
use super::page::{Page, Wanted};
use super::{App, Error, Who};
use crate::core::assess::DueStatus;
use crate::core::ids::{CustomerId, VehicleId, WarrantyId};
use crate::db::Conn;
use crate::db::dues::{self, Filter, ListedDue, Place};

/// The vehicle of a due.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct DueVehicle {
    /// The vehicle.
    pub id: VehicleId,
    /// Its identification number.
    pub vin: Option<String>,
    /// Its plate.
    pub plate: Option<String>,
    /// How it is called.
    pub title: String,
}

impl DueVehicle {
    /// A vehicle as the shop sees it, called by make and model where they are known.
    pub(crate) fn seen(
        id: VehicleId,
        vin: Option<String>,
        plate: Option<String>,
        make: Option<&str>,
        model: Option<&str>,
    ) -> Self {
        let name = [make, model].into_iter().flatten().collect::<Vec<_>>().join(" ");
        let title = if name.is_empty() { plate.clone().or(vin.clone()).unwrap_or_default() } else { name };
        Self { id, vin, plate, title }
    }
}

/// The present owner of a due's vehicle.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct DueCustomer {
    /// The customer.
    pub id: CustomerId,
    /// Their name.
    pub name: String,
}

/// A due on the work list.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct DueView {
    /// The warranty.
    pub warranty: WarrantyName,
    /// The vehicle.
    pub vehicle: DueVehicle,
    /// Its present owner.
    pub customer: Option<DueCustomer>,
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due.
    pub number: i32,
    /// The service that is asked for; the first of those of which any serves.
    pub service: String,
    /// First day on which it counts.
    pub opens: NaiveDate,
    /// The day for which it is asked.
    pub due: NaiveDate,
    /// Last day on which it counts.
    pub closes: NaiveDate,
    /// What became of it.
    pub status: DueStatus,
    /// Place on the list, for the cursor.
    #[serde(skip)]
    place: DuePlace,
}

/// Where a due stands on the work list.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct DuePlace(NaiveDate, WarrantyId, i32, i32);

/// What is asked of the work list.
#[derive(Debug, Clone, Serialize)]
pub struct DueQuery {
    /// Which states; all but met and waived where none is given.
    pub statuses: Vec<DueStatus>,
    /// Closing on this day or later.
    pub from: Option<NaiveDate>,
    /// Closing on this day or before.
    pub to: Option<NaiveDate>,
    /// Of one rule.
    pub upkeep: Option<String>,
}

fn view(service: String, row: ListedDue) -> Result<DueView, Error> {
    let status = row
        .due
        .status
        .parse()
        .map_err(|_| crate::db::Error::Other(format!("a due is {}", row.due.status)))?;
    Ok(DueView {
        warranty: WarrantyName { id: row.warranty, number: row.number },
        vehicle: DueVehicle::seen(row.vehicle, row.vin, row.plate, row.make.as_deref(), row.model.as_deref()),
        customer: row.customer.map(|(id, name)| DueCustomer { id, name }),
        place: DuePlace(row.due.closes, row.warranty, row.due.rule, row.due.number),
        upkeep: row.due.upkeep,
        number: row.due.number,
        service,
        opens: row.due.opens,
        due: row.due.due,
        closes: row.due.closes,
        status,
    })
}

/// A page of the work list: by closing day, then warranty, rule and number.
pub fn list(
    app: &App,
    who: &Who,
    query: &DueQuery,
    wanted: &Wanted<DuePlace>,
) -> Result<Page<DueView>, Error> {
    let statuses = if query.statuses.is_empty() {
        vec![DueStatus::Ahead, DueStatus::Open, DueStatus::Late, DueStatus::Missed]
    } else {
        query.statuses.clone()
    };
    let filter = Filter {
        statuses: statuses.iter().map(ToString::to_string).collect(),
        from: query.from,
        to: query.to,
        upkeep: query.upkeep.clone(),
    };
    let after = wanted.after.clone().map(|DuePlace(closes, warranty, rule, number)| Place {
        closes,
        warranty,
        rule,
        number,
    });
    app.db.read(|c| {
        let rows = dues::list(c, &who.shop, &filter, after.as_ref(), wanted.rows())?;
        let mut services = std::collections::HashMap::new();
        let mut views = Vec::new();
        for row in rows {
            let key = (row.warranty, row.due.rule);
            let service = match services.get(&key) {
                Some(known) => String::clone(known),
                None => {
                    let named = first_service(c, who, &row)?;
                    services.insert(key, named.clone());
                    named
                }
            };
            views.push(view(service, row)?);
        }
        Ok(wanted.page(views, |view| view.place.clone()))
    })
}

/// The first of the services that a due asks for, of which any serves.
fn first_service(conn: &mut Conn, who: &Who, row: &ListedDue) -> Result<String, Error> {
    let text = crate::db::warranties::terms_of(conn, &who.shop, row.warranty)?.document;
    let terms = super::assessments::parsed(&text)?;
    let rule = usize::try_from(row.due.rule).unwrap_or_default();
    Ok(terms.upkeep.get(rule).and_then(|rule| rule.services.first()).cloned().unwrap_or_default())
}

/// The dues of one warranty, as its assessment lists them today.
pub fn of_warranty(app: &App, who: &Who, name: &str) -> Result<Vec<crate::core::assess::DueAnswer>, Error> {
    Ok(super::warranties::assessment(app, who, name, None, None)?.assessment.dues)
}
