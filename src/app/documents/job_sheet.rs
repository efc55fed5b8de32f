//! The sheet of a job, with the cautions of the products that it uses.

use super::{Asked, Document, Office, job, made, owner, setting, vehicle};
use crate::app::checks::{parsed_sheet, sheet_of};
use crate::app::{App, Error, Who, jobs as job_cases};
use crate::core::coats::LaidCoat;
use crate::db::jobs::JobRow;
use crate::db::parts::Part as _;
use crate::db::{Conn, customers};
use crate::documents::job_sheet::JobSheet;
use crate::documents::press::Template;

/// The sheet of a job, by id or number.
pub fn job_sheet_of(app: &App, who: &Who, name: &str, asked: Asked) -> Result<Document, Error> {
    let now = app.now();
    made(app, Template::Pages, |conn| {
        let office = Office::from(who);
        let row = job_cases::named(conn, &who.shop, name)?;
        let names = job::names(conn, &office)?;
        let owner = owner(conn, &who.shop, row.vehicle)?;
        // Once it is signed off it changes no more.
        let made_at = row.signed_off.map_or(now, |signed| signed.at);
        let setting = setting(conn, app, &who.shop, asked, owner, made_at)?;
        let sheet = JobSheet {
            job: job::told(conn, app, &office, &row, &names, setting.language)?,
            setting,
            vehicle: vehicle(conn, &who.shop, row.vehicle)?.0,
            owner: owner.map(|id| customers::find(conn, &who.shop, id)).transpose()?.map(|owner| owner.name),
            terms: row.terms.clone(),
            products: products(conn, who, &row)?,
        };
        Ok(sheet.paper())
    })
}

/// Each product that was laid, with the cautions of the edition of its data sheet that it was laid by.
fn products(conn: &mut Conn, who: &Who, row: &JobRow) -> Result<Vec<(String, Vec<String>)>, Error> {
    let mut products: Vec<(String, Vec<String>)> = Vec::new();
    for coat in LaidCoat::of_job(conn, &who.shop, row.id)? {
        let code = coat.part.coat.product.clone();
        if products.iter().any(|(known, _)| *known == code) {
            continue;
        }
        let sheet = sheet_of(conn, &who.shop, &coat.part)?;
        let sheet = sheet.map(|sheet| parsed_sheet(&code, &sheet)).transpose()?;
        products.push((code, sheet.map(|sheet| sheet.cautions).unwrap_or_default()));
    }
    Ok(products)
}
