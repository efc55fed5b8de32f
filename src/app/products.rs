//! Products and the editions of their data sheets.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id, patched, wanted_text};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{Code, Digest, ProductId};
use crate::core::record::canonical;
use crate::core::sheet::Sheet;
use crate::core::words::ProductRole;
use crate::db::products::{self, ProductRow, SheetRow};
use crate::db::{self, Conn, Shop};

/// A new product; a coating needs a data sheet.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ProductInput {
    /// The shop's code of it, 1–64 of `a-z 0-9 -`.
    pub code: String,
    /// For people.
    pub title: String,
    /// What it is used as.
    pub role: ProductRole,
    /// The first edition of its data sheet; its code, title and role may be left out.
    #[serde(default)]
    #[schema(value_type = Option<Object>)]
    pub sheet: Option<Value>,
}

/// What can be changed of a product.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ProductChange {
    /// For people.
    pub title: String,
}

/// A product as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct ProductView {
    /// The product.
    pub id: ProductId,
    /// The shop's code of it.
    pub code: String,
    /// For people.
    pub title: String,
    /// What it is used as.
    pub role: ProductRole,
    /// The newest edition of its data sheet; null where it has none.
    pub edition: Option<u32>,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

/// An edition of a data sheet as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct SheetView {
    /// The product's code.
    pub code: String,
    /// From 1 on.
    pub edition: u32,
    /// The document.
    #[schema(value_type = Object)]
    pub document: Value,
    /// SHA-256 of the document.
    pub digest: Digest,
    /// When it was added.
    pub created_at: DateTime<Utc>,
}

fn view(conn: &mut Conn, shop: &Shop, row: ProductRow) -> Result<ProductView, Error> {
    let edition = products::current_sheet(conn, shop, row.id)?.map(|sheet| sheet.edition);
    Ok(ProductView {
        id: row.id,
        code: row.code,
        title: row.title,
        role: row.role,
        edition,
        created_at: row.created_at,
        version: row.version,
    })
}

fn sheet_view(code: &str, row: SheetRow) -> Result<SheetView, Error> {
    let document = serde_json::from_str(&row.document).map_err(|e| db::Error::Other(e.to_string()))?;
    Ok(SheetView {
        code: code.to_owned(),
        edition: row.edition,
        document,
        digest: row.digest,
        created_at: row.created_at,
    })
}

/// What is known of the product that a sheet belongs to.
struct Around {
    code: String,
    title: String,
    role: ProductRole,
}

/// A sheet with what the product around it says, where it does not say it itself.
fn completed(mut sheet: Value, around: &Around) -> Value {
    if let Value::Object(members) = &mut sheet {
        for (name, value) in
            [("code", around.code.as_str()), ("title", &around.title), ("role", around.role.as_str())]
        {
            if members.get(name).is_none_or(Value::is_null) {
                members.insert(name.into(), value.into());
            }
        }
    }
    sheet
}

/// Every fault of a data sheet: 422 `sheet_faulty`.
fn check_sheet(sheet: &Value, around: &Around, prefix: &str) -> Result<(), Rule> {
    let mut faults = Sheet::read(sheet).err().unwrap_or_default();
    if sheet["code"].as_str().is_some_and(|code| code != around.code) {
        let detail = format!("the sheet is of {}, the product is {}", sheet["code"], around.code);
        faults.push(Fault::new("/code", "other_product", detail));
    }
    if faults.is_empty() {
        return Ok(());
    }
    Err(Rule::Refused {
        code: "sheet_faulty",
        detail: format!("the data sheet has {} faults", faults.len()),
        faults: faults.into_iter().map(|fault| fault.within(prefix)).collect(),
        more: Map::new(),
    })
}

/// The row of a sheet: the document keeps the edition that the service gives it.
fn sheet_row(
    product: ProductId,
    edition: u32,
    mut sheet: Value,
    now: DateTime<Utc>,
) -> Result<SheetRow, Error> {
    sheet["edition"] = edition.into();
    let bytes = canonical(&sheet).map_err(|fault| Rule::rules(vec![fault]))?;
    let digest = Digest::of(&bytes);
    let document = String::from_utf8(bytes).map_err(|e| db::Error::Other(e.to_string()))?;
    Ok(SheetRow { id: new_id(), product, edition, document, digest, created_at: now })
}

/// Adds a product with the first edition of its data sheet.
pub fn add(app: &App, who: &Who, input: ProductInput) -> Result<ProductView, Error> {
    let mut faults = Vec::new();
    if let Err(fault) = input.code.parse::<Code>() {
        faults.push(fault.within("/code"));
    }
    faults.extend(wanted_text("/title", &input.title, 200));
    if input.role == ProductRole::Coating && input.sheet.is_none() {
        faults.push(Fault::new("/sheet", "missing", "a coating needs a data sheet"));
    }
    all_clear(faults)?;
    let around = Around { code: input.code.clone(), title: input.title.clone(), role: input.role };
    let sheet = input.sheet.map(|sheet| completed(sheet, &around));
    if let Some(sheet) = &sheet {
        check_sheet(sheet, &around, "/sheet")?;
    }
    let (shop, now) = (who.shop, app.now());
    app.db.write(move |tx| {
        let row = ProductRow {
            id: new_id(),
            code: input.code,
            title: input.title,
            role: input.role,
            created_at: now,
            version: 1,
        };
        if products::find(tx, &shop, &row.code).is_ok() {
            return Err(Rule::state(
                "product_exists",
                format!("your shop has a product {} already", row.code),
            )
            .into());
        }
        products::add(tx, &shop, &row)?;
        if let Some(sheet) = sheet {
            products::add_sheet(tx, &shop, &sheet_row(row.id, 1, sheet, now)?)?;
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

/// A page of products, newest first.
pub fn list(app: &App, who: &Who, wanted: &Wanted<ProductId>) -> Result<Page<ProductView>, Error> {
    app.db.read(|c| {
        let rows = products::list(c, &who.shop, None, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| view(c, &who.shop, row)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}

/// Changes a product by a merge patch, if it is still of `version`.
pub fn change(app: &App, who: &Who, code: &str, version: i64, patch: &Value) -> Result<ProductView, Error> {
    let row = app.db.read(|c| products::find(c, &who.shop, code))?;
    let new: ProductChange = patched(&ProductChange { title: row.title.clone() }, patch)?;
    all_clear(wanted_text("/title", &new.title, 200).into_iter().collect())?;
    let shop = who.shop;
    app.db.write(move |tx| {
        let mut row = ProductRow { title: new.title, version, ..row };
        if !products::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        view(tx, &shop, row)
    })
}

/// Adds the next edition of a product's data sheet; editions never change. `validate_only` writes nothing, and
/// refuses what the real call would refuse.
pub fn add_sheet(
    app: &App,
    who: &Who,
    code: &str,
    sheet: Value,
    validate_only: bool,
) -> Result<Option<SheetView>, Error> {
    let product = app.db.read(|c| products::find(c, &who.shop, code))?;
    let around = Around { code: product.code.clone(), title: product.title.clone(), role: product.role };
    let sheet = completed(sheet, &around);
    check_sheet(&sheet, &around, "")?;
    let (shop, now) = (who.shop, app.now());
    app.db.write(move |tx| {
        let last = products::current_sheet(tx, &shop, product.id)?.map_or(0, |sheet| sheet.edition);
        let next = last + 1;
        if let Some(given) = sheet["edition"].as_i64().filter(|given| *given != i64::from(next)) {
            if given <= i64::from(last) {
                let detail = format!("there is an edition {given} already; next is {next}");
                return Err(Rule::state("edition_exists", detail).into());
            }
            let detail = format!("{given} skips: the next edition is {next}");
            return Err(Rule::rule("/edition", "edition_skips", detail).into());
        }
        if validate_only {
            return Ok(None);
        }
        let row = sheet_row(product.id, next, sheet, now)?;
        products::add_sheet(tx, &shop, &row)?;
        sheet_view(&product.code, row).map(Some)
    })
}

/// The editions of a product's data sheet, newest first.
pub fn sheets(app: &App, who: &Who, code: &str, wanted: &Wanted<u32>) -> Result<Page<SheetView>, Error> {
    app.db.read(|c| {
        let product = products::find(c, &who.shop, code)?;
        let rows = products::sheets(c, &who.shop, product.id, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| sheet_view(code, row)).collect();
        Ok(wanted.page(views?, |view| view.edition))
    })
}
