//! Packages: the shop's templates of a job.

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde_json::Value;

use super::assessments::parsed;
use super::checks::{Lack, lacks};
use super::page::{Page, Wanted};
use super::steps::dilution_fault;
use super::{App, Error, Who, code, new_id, patched, wanted_text};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::PackageId;
use crate::core::packages::Package;
use crate::core::words::TermsState;
use crate::db::packages::{self, PackageRow};
use crate::db::{self, Conn, Shop, Tx, products, terms};

/// A package as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct PackageView {
    /// The package.
    pub id: PackageId,
    /// What it asks for.
    #[serde(flatten)]
    pub package: Package,
    /// What a job with all of it done would lack for a warranty on its terms, as they are now; empty where nothing is
    /// lacking, or it names no terms.
    pub falls_short: Vec<Lack>,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

/// A package as it is answered, held against the latest edition of its terms.
fn view(conn: &mut Conn, who: &Who, row: PackageRow) -> Result<PackageView, Error> {
    let PackageRow { id, package, created_at, version } = row;
    let last = match &package.terms {
        Some(code) => terms::last(conn, &who.shop, code, Some(TermsState::Published))?,
        None => None,
    };
    let falls_short = match last {
        Some(edition) => lacks(&package.done(parsed(&edition.document)?.build, who.zone))?,
        None => Vec::new(),
    };
    Ok(PackageView { id, package, falls_short, created_at, version })
}

/// What packages fall short of can be another once an edition of their terms has been published or retired: their versions
/// count up, as those of all that is answered otherwise than before.
pub(super) fn terms_changed(tx: &mut Tx<'_>, shop: &Shop, code: &str) -> Result<(), Error> {
    for row in packages::list(tx, shop, None, i64::MAX)? {
        if row.package.terms.as_deref() == Some(code) {
            packages::touch(tx, shop, row.id)?;
        }
    }
    Ok(())
}

/// Every rule that a package breaks, alone and among what the shop has.
fn refuse_faulty(conn: &mut Conn, shop: &Shop, package: &Package) -> Result<(), Error> {
    let mut faults: Vec<Fault> = code("/code", &package.code).into_iter().collect();
    faults.extend(wanted_text("/title", &package.title, 200));
    for (i, step) in package.steps.iter().enumerate() {
        let dilution = step.dilution.as_deref();
        faults.extend(dilution.and_then(|text| dilution_fault(&format!("/steps/{i}/dilution"), text)));
    }
    faults.extend(package.faults());
    for (pointer, product) in package.products() {
        if let Err(db::Error::NotFound) = products::find(conn, shop, product) {
            let detail = format!("{product:?} is no product of your shop");
            faults.push(Fault::new(pointer, "unknown_product", detail));
        }
    }
    if let Some(named) = &package.terms
        && terms::last(conn, shop, named, Some(TermsState::Published))?.is_none()
    {
        let detail = format!("{named:?} are no terms of your shop of which an edition is published");
        faults.push(Fault::new("/terms", "unknown_terms", detail));
    }
    Ok(all_clear(faults)?)
}

fn taken(code: &str) -> Fault {
    Fault::new("/code", "code_taken", format!("your shop has a package {code:?}"))
}

/// Adds a package.
pub fn add(app: &App, who: &Who, package: Package) -> Result<PackageView, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = who.shop;
        refuse_faulty(tx, &shop, &package)?;
        if packages::find(tx, &shop, &package.code).is_ok() {
            all_clear(vec![taken(&package.code)])?;
        }
        let row = PackageRow { id: new_id(), package, created_at: now, version: 1 };
        packages::add(tx, &shop, &row)?;
        view(tx, &who, row)
    })
}

/// One package, by its code.
pub fn find(app: &App, who: &Who, code: &str) -> Result<PackageView, Error> {
    app.db.read(|c| {
        let row = packages::find(c, &who.shop, code)?;
        view(c, who, row)
    })
}

/// A page of packages, newest first.
pub fn list(app: &App, who: &Who, wanted: &Wanted<PackageId>) -> Result<Page<PackageView>, Error> {
    let views = app.db.read(|c| {
        let rows = packages::list(c, &who.shop, wanted.after, wanted.rows())?;
        rows.into_iter().map(|row| view(c, who, row)).collect::<Result<_, Error>>()
    })?;
    Ok(wanted.page(views, |view| view.id))
}

/// Changes a package by a merge patch, if it is still of `version`; jobs that were opened from it stay as they are.
pub fn change(app: &App, who: &Who, code: &str, version: i64, patch: &Value) -> Result<PackageView, Error> {
    let current = find(app, who, code)?;
    let package: Package = patched(&current.package, patch)?;
    let (who, mut row) =
        (who.clone(), PackageRow { id: current.id, package, created_at: current.created_at, version });
    app.db.write(move |tx| {
        let shop = who.shop;
        refuse_faulty(tx, &shop, &row.package)?;
        if packages::find(tx, &shop, &row.package.code).is_ok_and(|other| other.id != row.id) {
            all_clear(vec![taken(&row.package.code)])?;
        }
        if !packages::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        view(tx, &who, row)
    })
}

/// Removes a package, if it is still of `version`.
pub fn remove(app: &App, who: &Who, code: &str, version: i64) -> Result<(), Error> {
    let (shop, code) = (who.shop, code.to_owned());
    app.db.write(move |tx| {
        let row = packages::find(tx, &shop, &code)?;
        if packages::remove(tx, &shop, row.id, version)? { Ok(()) } else { Err(Rule::Stale.into()) }
    })
}
