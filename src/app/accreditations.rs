//! Accreditations: intervals in which the shop says that an issuer has accredited it.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id, patched};
use crate::core::calendar::Day;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::AccreditationId;
use crate::db::accreditations::{self, AccreditationRow};

/// What can be said of an accreditation. It counts for the rank of services on the shop's own warranties.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AccreditationInput {
    /// Code of the issuer, as terms name it: 1–64 of `a-z 0-9 -`.
    #[schema(pattern = "^[a-z0-9-]{1,64}$")]
    pub issuer: String,
    /// Its first day.
    pub from: Day,
    /// Its last day; without one it has no end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<Day>,
}

impl AccreditationInput {
    fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        faults.extend(super::code("/issuer", &self.issuer));
        faults.extend(super::usual_day("/from", self.from));
        faults.extend(self.until.and_then(|until| super::usual_day("/until", until)));
        if let Some(until) = self.until.filter(|until| *until < self.from) {
            faults.push(Fault::new("/until", "upside_down", format!("{until} lies before {}", self.from)));
        }
        faults
    }

    fn row(self, id: AccreditationId, version: i64) -> AccreditationRow {
        AccreditationRow {
            id,
            issuer: self.issuer,
            from: self.from.date(),
            until: self.until.map(Day::date),
            version,
        }
    }
}

/// An accreditation as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct AccreditationView {
    /// The accreditation.
    pub id: AccreditationId,
    /// Everything that can be said of it.
    #[serde(flatten)]
    pub accreditation: AccreditationInput,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

impl From<AccreditationRow> for AccreditationView {
    fn from(row: AccreditationRow) -> Self {
        Self {
            id: row.id,
            accreditation: AccreditationInput {
                issuer: row.issuer,
                from: row.from.into(),
                until: row.until.map(Day::from),
            },
            version: row.version,
        }
    }
}

/// Adds an accreditation.
pub fn add(app: &App, who: &Who, input: AccreditationInput) -> Result<AccreditationView, Error> {
    all_clear(input.faults())?;
    let (shop, row) = (who.shop, input.row(new_id(), 1));
    app.db.write(move |tx| {
        accreditations::add(tx, &shop, &row)?;
        Ok(row.into())
    })
}

/// One accreditation of the shop.
pub fn find(app: &App, who: &Who, id: AccreditationId) -> Result<AccreditationView, Error> {
    Ok(app.db.read(|c| accreditations::find(c, &who.shop, id))?.into())
}

/// A page of accreditations, newest first, perhaps of one issuer only.
pub fn list(
    app: &App,
    who: &Who,
    issuer: Option<&str>,
    wanted: &Wanted<AccreditationId>,
) -> Result<Page<AccreditationView>, Error> {
    let rows = app.db.read(|c| accreditations::list(c, &who.shop, issuer, wanted.after, wanted.rows()))?;
    Ok(wanted.page(rows.into_iter().map(AccreditationView::from).collect(), |view| view.id))
}

/// Changes an accreditation by a merge patch, if it is still of `version`. Services that were entered keep the rank
/// that they had.
pub fn change(
    app: &App,
    who: &Who,
    id: AccreditationId,
    version: i64,
    patch: &Value,
) -> Result<AccreditationView, Error> {
    let current = find(app, who, id)?;
    let input: AccreditationInput = patched(&current.accreditation, patch)?;
    all_clear(input.faults())?;
    let (shop, mut row) = (who.shop, input.row(id, version));
    app.db.write(move |tx| {
        if !accreditations::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        Ok(row.into())
    })
}

/// Takes an accreditation away, if it is still of `version`.
pub fn remove(app: &App, who: &Who, id: AccreditationId, version: i64) -> Result<(), Error> {
    let shop = who.shop;
    app.db.write(move |tx| {
        if accreditations::remove(tx, &shop, id, version)? { Ok(()) } else { Err(Rule::Stale.into()) }
    })
}
