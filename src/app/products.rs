//! Products, and the editions of their data sheets.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id, patched};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{Digest, ProductId};
use crate::core::record::canonical;
use crate::core::sheet::Sheet;
use crate::core::words::ProductRole;
use crate::db::products::{self, ProductRow, SheetRow};
use crate::db::{Conn, Shop, Tx};

/// What can be said of a new product.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ProductInput {
    /// What the shop calls it in bodies: 1–64 of `a-z 0-9 -`.
    #[schema(pattern = "^[a-z0-9-]{1,64}$")]
    pub code: String,
    /// For people; 1–200 characters.
    #[schema(min_length = 1, max_length = 200)]
    pub title: String,
    /// What it is used as.
    pub role: ProductRole,
    /// Its data sheet, needed for coatings; code, title and role may be absent in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub sheet: Option<Value>,
}

/// What can be changed of a product.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ProductChange {
    /// For people; 1–200 characters.
    #[schema(min_length = 1, max_length = 200)]
    pub title: String,
}

/// A product as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct ProductView {
    /// The product.
    pub id: ProductId,
    /// What the shop calls it in bodies.
    pub code: String,
    /// For people.
    pub title: String,
    /// What it is used as.
    pub role: ProductRole,
    /// The edition of its data sheet that is current; null without a sheet.
    pub edition: Option<u32>,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change, also of the sheet.
    #[serde(skip)]
    pub version: i64,
}

/// An edition of a data sheet as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct SheetView {
    /// Code of the product.
    pub code: String,
    /// From 1 on.
    pub edition: u32,
    /// The sheet.
    #[schema(value_type = Object)]
    pub document: Value,
    /// SHA-256 of the sheet in canonical form (RFC 8785).
    pub digest: Digest,
    /// When it was entered.
    pub created_at: DateTime<Utc>,
}

/// What is kept as text, as a value.
pub(crate) fn document(text: &str) -> Result<Value, Error> {
    Ok(serde_json::from_str(text).map_err(|e| crate::db::Error::Other(e.to_string()))?)
}

fn sheet_view(code: &str, row: &SheetRow) -> Result<SheetView, Error> {
    Ok(SheetView {
        code: code.to_owned(),
        edition: row.edition,
        document: document(&row.document)?,
        digest: row.digest,
        created_at: row.created_at,
    })
}

fn view(conn: &mut Conn, shop: &Shop, row: ProductRow) -> Result<ProductView, Error> {
    let sheet = products::current_sheet(conn, shop, row.id)?;
    Ok(ProductView {
        id: row.id,
        code: row.code,
        title: row.title,
        role: row.role,
        edition: sheet.map(|sheet| sheet.edition),
        created_at: row.created_at,
        version: row.version,
    })
}

/// A sheet of this product that has been checked, with everything that the service adds to it; or all its faults.
fn checked(
    mut sheet: Value,
    code: &str,
    title: &str,
    role: ProductRole,
    edition: u32,
) -> Result<Value, Vec<Fault>> {
    let mut faults = Vec::new();
    if let Value::Object(members) = &mut sheet {
        members.retain(|_, value| !value.is_null());
        // A value that could not stand there at all is for the sheet's own rules to tell.
        let text = |name: &str| members.get(name).and_then(Value::as_str);
        let other_code = text("code").is_some_and(|given| given != code);
        let other_role = text("role").and_then(|given| given.parse().ok()).is_some_and(|given| role != given);
        let number = members.get("edition").and_then(Value::as_f64).filter(|given| *given >= 1.0);
        let other_edition = number.is_some_and(|given| json!(given) != json!(f64::from(edition)));
        let own = [
            ("code", json!(code), other_code),
            ("role", json!(role), other_role),
            ("edition", json!(edition), other_edition),
            ("title", json!(title), false),
        ];
        for (name, own, other) in own {
            if other {
                let detail = format!("it is {own} here, or absent");
                faults.push(Fault::new(format!("/{name}"), "does_not_match", detail));
            }
            members.entry(name).or_insert(own);
        }
    }
    faults.extend(Sheet::read(&sheet).err().unwrap_or_default());
    if faults.is_empty() { Ok(sheet) } else { Err(faults) }
}

fn faulty(faults: Vec<Fault>) -> Error {
    let detail = format!("the data sheet has {} fault(s)", faults.len());
    Rule::Refused { code: "sheet_faulty", detail, faults, more: Map::new() }.into()
}

fn exists(row: &ProductRow) -> Error {
    let more = Map::from_iter([("existing".to_owned(), json!(row.id))]);
    let detail = format!("your shop has a product {:?} already", row.code);
    Rule::State { code: "product_exists", detail, errors: Vec::new(), more }.into()
}

fn edition_exists(code: &str) -> Error {
    Rule::state("edition_exists", format!("the data sheet of {code:?} has this edition already")).into()
}

/// The row of an edition whose document has been checked.
fn edition_row(
    product: ProductId,
    edition: u32,
    document: &Value,
    at: DateTime<Utc>,
) -> Result<SheetRow, Error> {
    let bytes = canonical(document).map_err(|fault| crate::db::Error::Other(fault.detail))?;
    let digest = Digest::of(&bytes);
    let document = String::from_utf8(bytes).map_err(|e| crate::db::Error::Other(e.to_string()))?;
    Ok(SheetRow { id: new_id(), product, edition, document, digest, created_at: at })
}

/// Everything that is wrong with a new product, its sheet included; else its sheet as it will be kept.
fn check(input: &ProductInput) -> Result<Option<Value>, Error> {
    let code = super::code("/code", &input.code);
    let title = super::wanted_text("/title", &input.title, 200);
    let mut faults: Vec<Fault> = code.into_iter().chain(title).collect();
    let Some(sheet) = &input.sheet else {
        if input.role == ProductRole::Coating {
            faults.push(Fault::new("/sheet", "missing", "a coating needs a data sheet"));
        }
        all_clear(faults)?;
        return Ok(None);
    };
    match checked(sheet.clone(), &input.code, &input.title, input.role, 1) {
        Ok(sheet) => {
            all_clear(faults)?;
            Ok(Some(sheet))
        }
        Err(mut found) => {
            // What the sheet took from the product has been told there.
            found.retain(|fault| {
                !matches!(fault.pointer.as_str(), "/code" | "/title")
                    || sheet.pointer(&fault.pointer).is_some()
            });
            if found.is_empty() {
                return Err(Rule::rules(faults).into());
            }
            faults.extend(found.into_iter().map(|fault| fault.within("/sheet")));
            Err(faulty(faults))
        }
    }
}

fn free(tx: &mut Tx<'_>, shop: &Shop, code: &str) -> Result<(), Error> {
    match products::find(tx, shop, code) {
        Ok(known) => Err(exists(&known)),
        Err(crate::db::Error::NotFound) => Ok(()),
        Err(other) => Err(other.into()),
    }
}

/// Adds a product with the first edition of its sheet.
///
/// Refused: a code that the shop has already (`product_exists`), a sheet with faults (`sheet_faulty`).
pub fn add(app: &App, who: &Who, input: ProductInput) -> Result<ProductView, Error> {
    let sheet = check(&input)?;
    let shop = who.shop;
    let at = app.now();
    let row = ProductRow {
        id: new_id(),
        code: input.code,
        title: input.title,
        role: input.role,
        created_at: at,
        version: 1,
    };
    let sheet = sheet.map(|sheet| edition_row(row.id, 1, &sheet, at)).transpose()?;
    app.db.write(move |tx| {
        free(tx, &shop, &row.code)?;
        match products::add(tx, &shop, &row) {
            Err(crate::db::Error::Conflict(_)) => return Err(exists(&row)),
            other => other?,
        }
        if let Some(sheet) = &sheet {
            products::add_sheet(tx, &shop, sheet)?;
        }
        view(tx, &shop, row)
    })
}

/// One product of the shop.
pub fn find(app: &App, who: &Who, code: &str) -> Result<ProductView, Error> {
    app.db.read(|c| {
        let row = products::find(c, &who.shop, code)?;
        view(c, &who.shop, row)
    })
}

/// A page of products, newest first, perhaps of one role only.
pub fn list(
    app: &App,
    who: &Who,
    role: Option<ProductRole>,
    wanted: &Wanted<ProductId>,
) -> Result<Page<ProductView>, Error> {
    app.db.read(|c| {
        let rows = products::list(c, &who.shop, role, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| view(c, &who.shop, row)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}

/// Changes a product's title by a merge patch, if it is still of `version`.
pub fn change(app: &App, who: &Who, code: &str, version: i64, patch: &Value) -> Result<ProductView, Error> {
    let current = find(app, who, code)?;
    let input: ProductChange = patched(&ProductChange { title: current.title }, patch)?;
    all_clear(super::wanted_text("/title", &input.title, 200).into_iter().collect())?;
    let shop = who.shop;
    let row = ProductRow {
        id: current.id,
        code: current.code,
        title: input.title,
        role: current.role,
        created_at: current.created_at,
        version,
    };
    app.db.write(move |tx| {
        changed(tx, &shop, &row)?;
        let row = products::by_id(tx, &shop, row.id)?;
        view(tx, &shop, row)
    })
}

fn changed(tx: &mut Tx<'_>, shop: &Shop, row: &ProductRow) -> Result<(), Error> {
    if products::change(tx, shop, row)? { Ok(()) } else { Err(Rule::Stale.into()) }
}

/// Adds the next edition of a product's sheet; with `only_check`, nothing is written and nothing answered.
///
/// Refused: an edition that is there already (`edition_exists`), a sheet with faults or of another edition than the
/// next (`sheet_faulty`).
pub fn add_sheet(
    app: &App,
    who: &Who,
    code: &str,
    sheet: Value,
    only_check: bool,
) -> Result<Option<SheetView>, Error> {
    let shop = who.shop;
    let (product, last) = app.db.read(|c| {
        let product = products::find(c, &shop, code)?;
        let last = products::current_sheet(c, &shop, product.id)?.map_or(0, |sheet| sheet.edition);
        Ok::<_, Error>((product, last))
    })?;
    let edition = last + 1;
    let old =
        sheet.get("edition").and_then(Value::as_f64).filter(|given| (1.0..=last.into()).contains(given));
    let sheet = match checked(sheet, &product.code, &product.title, product.role, edition) {
        Ok(sheet) => sheet,
        Err(faults) if old.is_some() && faults.iter().all(|fault| fault.pointer == "/edition") => {
            return Err(edition_exists(code));
        }
        Err(faults) => return Err(faulty(faults)),
    };
    let row = edition_row(product.id, edition, &sheet, app.now())?;
    if only_check {
        return Ok(None);
    }
    let code = code.to_owned();
    app.db.write(move |tx| {
        // The product's version counts its sheets as well, and two who add the same edition meet here.
        if !products::change(tx, &shop, &product)? {
            return Err(edition_exists(&code));
        }
        products::add_sheet(tx, &shop, &row)?;
        sheet_view(&code, &row).map(Some)
    })
}

/// One edition of a product's sheet.
pub fn sheet(app: &App, who: &Who, code: &str, edition: u32) -> Result<SheetView, Error> {
    app.db.read(|c| {
        let product = products::find(c, &who.shop, code)?;
        sheet_view(code, &products::sheet(c, &who.shop, product.id, edition)?)
    })
}

/// A page of the editions of a product's sheet, newest first.
pub fn sheets(app: &App, who: &Who, code: &str, wanted: &Wanted<u32>) -> Result<Page<SheetView>, Error> {
    app.db.read(|c| {
        let product = products::find(c, &who.shop, code)?;
        let rows = products::sheets(c, &who.shop, product.id, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.iter().map(|row| sheet_view(code, row)).collect();
        Ok(wanted.page(views?, |view| view.edition))
    })
}
