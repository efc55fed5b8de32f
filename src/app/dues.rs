//! The work list of the shop: what falls due, by the day on which its window closes.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use super::assessments::WarrantyName;
use super::page::{Page, Wanted};
use super::{App, Error, Who};
use crate::core::assess::DueStatus;
use crate::core::ids::{CustomerId, VehicleId, WarrantyId};
use crate::core::notices::About;
use crate::core::words::{NoticeKind, OwnerAnswer};
use crate::db::Conn;
use crate::db::answers::{self, AnswerRow};
use crate::db::appointments::{self, Served};
use crate::db::dues::{self, Filter, ListedDue, Place};
use crate::db::notices::{self, NoticeRow};
use crate::db::vehicles::VehicleRow;

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

impl From<VehicleRow> for DueVehicle {
    fn from(row: VehicleRow) -> Self {
        Self::seen(row.id, row.vin, row.plate, row.make.as_deref(), row.model.as_deref())
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
    /// When the vehicle is booked in for it.
    pub booked_at: Option<DateTime<Utc>>,
    /// The last mail that the owner had about it.
    pub last_notice: Option<LastNotice>,
    /// What the owner answered last.
    pub answer: Option<LastAnswer>,
    /// Place on the list, for the cursor.
    #[serde(skip)]
    place: DuePlace,
}

/// A mail that an owner had about a due.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct LastNotice {
    /// What kind of notice.
    pub kind: NoticeKind,
    /// When it went out.
    pub sent_at: DateTime<Utc>,
}

/// What an owner answered about a due.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct LastAnswer {
    /// What they answered.
    pub answer: OwnerAnswer,
    /// The day.
    pub on: NaiveDate,
    /// What there is to say of it.
    pub note: Option<String>,
}

/// What is known of a warranty besides its dues: asked for once on a page.
struct Beside {
    services: Vec<String>,
    bookings: Vec<(Served, DateTime<Utc>, NaiveDate)>,
    sent: Vec<(NoticeRow, DateTime<Utc>)>,
    answers: Vec<AnswerRow>,
}

impl Beside {
    fn of(conn: &mut Conn, who: &Who, warranty: WarrantyId) -> Result<Self, Error> {
        let text = crate::db::warranties::terms_of(conn, &who.shop, warranty)?.document;
        let terms = super::assessments::parsed(&text)?;
        // Of services of which any serves, the first is named.
        let first = |rule: crate::core::terms::Upkeep| rule.services.into_iter().next().unwrap_or_default();
        Ok(Self {
            services: terms.upkeep.into_iter().map(first).collect(),
            bookings: appointments::bookings(conn, &who.shop, warranty)?,
            sent: notices::sent_about(conn, &who.shop, warranty)?,
            answers: answers::of_warranty(conn, &who.shop, warranty)?,
        })
    }

    fn booked_at(&self, upkeep: &str, number: u32) -> Option<DateTime<Utc>> {
        let mut fitting =
            self.bookings.iter().filter(|(due, ..)| due.upkeep == upkeep && due.number == number);
        fitting.next().map(|(_, at, _)| *at)
    }

    fn answer(&self, upkeep: &str, number: i32) -> Option<LastAnswer> {
        let mut about = self.answers.iter().filter(|row| row.upkeep == upkeep && row.number == number);
        about.next().map(|row| LastAnswer { answer: row.answer, on: row.on, note: row.note.clone() })
    }

    fn last_notice(&self, upkeep: &str, number: u32) -> Option<LastNotice> {
        let about = |row: &NoticeRow| match &row.about {
            About::Due(due) => due.upkeep == upkeep && due.number == number,
            _ => false,
        };
        let (row, sent_at) = self.sent.iter().find(|(row, _)| about(row))?;
        Some(LastNotice { kind: row.kind, sent_at: *sent_at })
    }
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
    /// Whether the owner has answered.
    pub answered: Option<bool>,
}

fn view(beside: &Beside, row: ListedDue) -> Result<DueView, Error> {
    let number = u32::try_from(row.due.number).unwrap_or_default();
    let rule = usize::try_from(row.due.rule).unwrap_or_default();
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
        booked_at: beside.booked_at(&row.due.upkeep, number),
        last_notice: beside.last_notice(&row.due.upkeep, number),
        answer: beside.answer(&row.due.upkeep, row.due.number),
        service: beside.services.get(rule).cloned().unwrap_or_default(),
        upkeep: row.due.upkeep,
        number: row.due.number,
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
        answered: query.answered,
    };
    let after = wanted.after.clone().map(|DuePlace(closes, warranty, rule, number)| Place {
        closes,
        warranty,
        rule,
        number,
    });
    app.db.read(|c| {
        let rows = dues::list(c, &who.shop, &filter, after.as_ref(), wanted.rows())?;
        let mut known: BTreeMap<WarrantyId, Beside> = BTreeMap::new();
        let mut views = Vec::new();
        for row in rows {
            let beside = match known.entry(row.warranty) {
                Entry::Occupied(held) => held.into_mut(),
                Entry::Vacant(free) => free.insert(Beside::of(c, who, row.warranty)?),
            };
            views.push(view(beside, row)?);
        }
        Ok(wanted.page(views, |view| view.place.clone()))
    })
}

/// The dues of one warranty, as its assessment lists them today.
pub fn of_warranty(app: &App, who: &Who, name: &str) -> Result<Vec<crate::core::assess::DueAnswer>, Error> {
    if super::warranties::find(app, who, name)?.voided_at.is_some() {
        return Ok(Vec::new());
    }
    Ok(super::warranties::assessment(app, who, name, None, None)?.assessment.dues)
}
