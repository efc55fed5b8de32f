//! Accreditations: the intervals in which the shop says that it is accredited by an issuer.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id, patched};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{AccreditationId, Code};
use crate::db::accreditations::{self, AccreditationRow};

/// An interval in which the shop is accredited; both ends count.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AccreditationInput {
    /// The issuer's code, as its terms name it.
    pub issuer: String,
    /// First day.
    pub from: NaiveDate,
    /// Last day; no end unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<NaiveDate>,
}

/// An accreditation as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct AccreditationView {
    /// The interval.
    pub id: AccreditationId,
    /// What is said of it.
    #[serde(flatten)]
    pub accreditation: AccreditationInput,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

impl AccreditationInput {
    fn check(&self) -> Result<(), Rule> {
        let mut faults = Vec::new();
        if let Err(fault) = self.issuer.parse::<Code>() {
            faults.push(fault.within("/issuer"));
        }
        if self.until.is_some_and(|until| until < self.from) {
            faults.push(Fault::new(
                "/until",
                "upside_down",
                format!("the last day lies before the first, {}", self.from),
            ));
        }
        all_clear(faults)
    }

    fn row(&self, id: AccreditationId, version: i64) -> AccreditationRow {
        AccreditationRow { id, issuer: self.issuer.clone(), from: self.from, until: self.until, version }
    }
}

impl From<AccreditationRow> for AccreditationView {
    fn from(row: AccreditationRow) -> Self {
        let accreditation = AccreditationInput { issuer: row.issuer, from: row.from, until: row.until };
        Self { id: row.id, accreditation, version: row.version }
    }
}

/// Adds an interval; what was judged before stays as it was.
pub fn add(app: &App, who: &Who, input: &AccreditationInput) -> Result<AccreditationView, Error> {
    input.check()?;
    let (shop, row) = (who.shop, input.row(new_id(), 1));
    app.db.write(move |tx| {
        accreditations::add(tx, &shop, &row)?;
        Ok(row.into())
    })
}

/// One interval.
pub fn find(app: &App, who: &Who, id: AccreditationId) -> Result<AccreditationView, Error> {
    Ok(app.db.read(|c| accreditations::find(c, &who.shop, id))?.into())
}

/// A page of intervals, newest first.
pub fn list(
    app: &App,
    who: &Who,
    wanted: &Wanted<AccreditationId>,
) -> Result<Page<AccreditationView>, Error> {
    let rows = app.db.read(|c| accreditations::list(c, &who.shop, None, wanted.after, wanted.rows()))?;
    Ok(wanted.page(rows.into_iter().map(AccreditationView::from).collect(), |view| view.id))
}

/// Changes an interval by a merge patch, if it is still of `version`.
pub fn change(
    app: &App,
    who: &Who,
    id: AccreditationId,
    version: i64,
    patch: &Value,
) -> Result<AccreditationView, Error> {
    let current = find(app, who, id)?;
    let input: AccreditationInput = patched(&current.accreditation, patch)?;
    input.check()?;
    let (shop, mut row) = (who.shop, input.row(id, version));
    app.db.write(move |tx| {
        if !accreditations::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        Ok(row.into())
    })
}

/// Removes an interval that was entered by mistake, if it is still of `version`.
pub fn remove(app: &App, who: &Who, id: AccreditationId, version: i64) -> Result<(), Error> {
    let shop = who.shop;
    app.db.write(move |tx| {
        if accreditations::remove(tx, &shop, id, version)? { Ok(()) } else { Err(Rule::Stale.into()) }
    })
}
