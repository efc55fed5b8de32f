//! Verification: what anybody may know of a warranty whose code they hold. Nothing personal.

use chrono::NaiveDate;

use super::assessments::Case;
use super::{App, Error, certificates, shops};
use crate::core::assess::State;
use crate::core::calendar::{Day, local_day};
use crate::core::error::Error as Rule;
use crate::core::words::Surface;
use crate::db::{vehicles, warranties};

/// A warranty as its code shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Verified {
    /// The shop that issued it.
    pub shop: String,
    /// Its number.
    pub number: String,
    /// The day on which it was issued.
    pub issued: NaiveDate,
    /// Make, model, year and colour of the vehicle, as far as they are known.
    pub vehicle: String,
    /// The end of the vehicle's identification number.
    pub vin_ends: Option<String>,
    /// Title and edition of the terms.
    pub terms: (String, u32),
    /// How it stands.
    pub standing: Standing,
    /// The day of which this is, in the warranty's zone.
    pub as_of: Day,
    /// The cover, surface by surface; nothing of a warranty that does not stand.
    pub cover: Vec<VerifiedCover>,
}

/// How a warranty stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// It was issued, and stands.
    Issued,
    /// It was issued in error, and is void.
    Void,
    /// Another warranty has taken its place.
    Replaced,
}

/// The cover of a surface.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifiedCover {
    /// The surface.
    pub surface: Surface,
    /// How it stands on the day.
    pub state: State,
    /// First day of cover.
    pub from: NaiveDate,
    /// Last day of cover.
    pub last_day: Day,
    /// How far the vehicle may run since the start, in km.
    pub up_to_km: Option<u32>,
    /// The panels that are covered.
    pub panels: Vec<String>,
}

/// The code as it is kept, however it was typed.
fn as_kept(typed: &str) -> String {
    typed.chars().filter(char::is_ascii_alphanumeric).map(|sign| sign.to_ascii_uppercase()).collect()
}

/// What a code verifies, or a signed certificate, as of today. No such code, and a certificate that was not signed
/// here: not found.
pub fn find(app: &App, code: &str) -> Result<Verified, Error> {
    app.db.read(|c| {
        let code = if code.contains('.') {
            certificates::code_of(c, app, code)?.ok_or(Rule::NotFound)?
        } else {
            as_kept(code)
        };
        if code.len() != 20 {
            return Err(Rule::NotFound.into());
        }
        let (shop, row) = warranties::verified_by(c, &app.db.installation(), &code)?;
        let vehicle = vehicles::find(c, &shop, row.vehicle)?;
        let year = vehicle.model_year.map(|year| year.to_string());
        let known = [vehicle.make, vehicle.model, year, vehicle.colour];
        let terms = warranties::terms_of(c, &shop, row.id)?;
        let of_vehicle = warranties::of_vehicle(c, &shop, row.vehicle)?;
        let replaced = of_vehicle.iter().any(|one| one.replaces == Some(row.id) && one.voided.is_none());
        let standing = match (&row.voided, replaced) {
            (Some(_), _) => Standing::Void,
            (None, true) => Standing::Replaced,
            (None, false) => Standing::Issued,
        };
        let as_of = local_day(app.now(), row.time_zone);
        let (number, issued) = (row.number.to_string(), local_day(row.entered_at, row.time_zone).date());
        let case = Case::load(c, &shop, row)?;
        let cover = if standing == Standing::Void { Vec::new() } else { cover(&case, as_of) };
        Ok(Verified {
            shop: shops::settings(c, app, &shop)?.name,
            number,
            issued,
            vehicle: known.into_iter().flatten().collect::<Vec<_>>().join(" "),
            vin_ends: vehicle.vin.map(|vin| vin.chars().skip(11).collect()),
            terms: (case.terms.title.clone(), u32::try_from(terms.edition).unwrap_or_default()),
            standing,
            as_of,
            cover,
        })
    })
}

fn cover(case: &Case, as_of: Day) -> Vec<VerifiedCover> {
    let assessment = case.assessment(&case.verdict(as_of.date(), None));
    let items = case.row.cover.iter().filter_map(|item| {
        let verdict = assessment.cover.get(item.surface.as_str())?;
        Some(VerifiedCover {
            surface: item.surface,
            state: verdict.state,
            from: item.from,
            last_day: verdict.last_day,
            up_to_km: item.up_to_km,
            panels: item.panels.iter().map(ToString::to_string).collect(),
        })
    });
    items.collect()
}
