//! Documents on paper: what is known, put together for printing.
//!
//! Each is gathered inside one read transaction and printed outside of it; whoever sends one with something else does
//! the same by [`certificate`] and [`printed`].

mod certificate;
mod dispute_file;
mod door_label;
mod fonts;
mod history;
mod job;
mod job_sheet;
mod owners;
mod photos;
mod winter_card;

use chrono::{DateTime, NaiveDate, NaiveDateTime, Utc};
use chrono_tz::Tz;

use super::{App, Database, Error, Who, shops};
use crate::core::ids::{CustomerId, VehicleId, WarrantyId};
use crate::core::words::{OdometerUnit, PaperSize};
use crate::db::{Conn, Shop, customers, vehicles};
use crate::documents::paper::{Paper, Setting};
use crate::documents::press::Template;
use crate::documents::{ShopOnPaper, VehicleOnPaper};
use crate::language::Language;

use certificate::Named;
pub use certificate::certificate_of;
pub use dispute_file::dispute_file_of;
pub use door_label::door_label_of;
pub use fonts::press;
pub use history::{vehicle_history_of, warranty_history_of};
pub use job_sheet::job_sheet_of;
pub use owners::{owners_certificate, owners_history};
pub use winter_card::winter_card_of;

/// How a document is asked for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Asked {
    /// The language; the owner's unless given, else the shop's.
    pub language: Option<Language>,
    /// The size of its pages; the shop's unless given.
    pub paper: Option<PaperSize>,
}

/// A document that was printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// What the file is called, without its ending.
    pub name: String,
    /// The PDF.
    pub bytes: Vec<u8>,
}

/// The shop that prints, and its clock; whoever asked for it.
#[derive(Debug, Clone, Copy)]
struct Office {
    shop: Shop,
    zone: Tz,
}

impl Office {
    fn day(&self, at: DateTime<Utc>) -> NaiveDate {
        at.with_timezone(&self.zone).date_naive()
    }

    fn local(&self, at: DateTime<Utc>) -> NaiveDateTime {
        at.with_timezone(&self.zone).naive_local()
    }
}

impl From<&Who> for Office {
    fn from(who: &Who) -> Self {
        Self { shop: who.shop, zone: who.zone }
    }
}

/// The certificate of a warranty of the shop, in the language that is given, for whoever prints it later with
/// [`printed`].
pub(crate) fn certificate(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    warranty: WarrantyId,
    language: Language,
) -> Result<Paper, Error> {
    let asked = Asked { language: Some(language), paper: None };
    certificate::paper(conn, app, shop, warranty, asked, Named::Always)
}

/// Prints a document of pages.
pub(crate) fn printed(app: &App, paper: &Paper) -> Result<Document, Error> {
    printed_by(app, paper, Template::Pages)
}

/// Gathers a document on a read-only view, then prints it.
fn made(
    app: &App,
    template: Template,
    gather: impl FnOnce(&mut Conn) -> Result<Paper, Error>,
) -> Result<Document, Error> {
    let paper = app.db.read(gather)?;
    printed_by(app, &paper, template)
}

fn printed_by(app: &App, paper: &Paper, template: Template) -> Result<Document, Error> {
    let printed = app.press.print(paper, template).map_err(|e| Database::Other(e.to_string()))?;
    if let Some(why) = printed.falls_short {
        tracing::warn!(document = %paper.title, why, "printed without the claim to be PDF/A and PDF/UA");
    }
    // As a name of a file it goes through any header and onto any disk.
    let plain = |sign: char| if sign.is_ascii_alphanumeric() { sign } else { '-' };
    Ok(Document { name: paper.number.chars().map(plain).collect(), bytes: printed.bytes })
}

/// Language, size and shop of a document, in the language that is asked for, else the owner's, else the shop's.
fn setting(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    asked: Asked,
    owner: Option<CustomerId>,
    made_at: DateTime<Utc>,
) -> Result<Setting, Error> {
    let settings = shops::settings(conn, app, shop)?;
    let owner = owner.map(|id| customers::find(conn, shop, id)).transpose()?;
    let wanted = owner.iter().map(|owner| owner.language.as_str()).chain([settings.language.as_str()]);
    Ok(Setting {
        language: asked.language.unwrap_or_else(|| Language::best(wanted)),
        size: asked.paper.unwrap_or(settings.paper),
        shop: ShopOnPaper {
            name: settings.name,
            address: settings.address,
            phone: settings.phone,
            email: settings.email,
        },
        made_at,
    })
}

/// A vehicle as documents name it, and the unit of its odometer.
fn vehicle(conn: &mut Conn, shop: &Shop, id: VehicleId) -> Result<(VehicleOnPaper, OdometerUnit), Error> {
    let row = vehicles::find(conn, shop, id)?;
    let year = row.model_year.map(|year| year.to_string());
    let known = [row.make, row.model, year, row.colour];
    let title = known.into_iter().flatten().collect::<Vec<_>>().join(" ");
    Ok((VehicleOnPaper { title, vin: row.vin, plate: row.plate }, row.odometer_unit))
}

/// The owner of a vehicle today.
fn owner(conn: &mut Conn, shop: &Shop, vehicle: VehicleId) -> Result<Option<CustomerId>, Error> {
    Ok(vehicles::owner(conn, shop, vehicle)?)
}
