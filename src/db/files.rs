//! Files that photos name, whichever shop's: a row stands while the file does, and is what is locked for both.

use diesel::prelude::*;

use super::backend::both;
use super::error::Error;
use super::schema::{files, photos, report_photos, visit_photos};
use super::scope::Installation;
use super::{Conn, Tx};
use crate::core::ids::Digest;

/// Holds a file until the transaction ends: nobody else names or removes it meanwhile.
pub fn hold(tx: &mut Tx<'_>, _: &Installation, digest: Digest) -> Result<(), Error> {
    let bytes = digest.as_bytes().as_slice();
    both!(tx, c => diesel::insert_into(files::table)
        .values(files::digest.eq(bytes))
        .on_conflict(files::digest)
        .do_update()
        .set(files::digest.eq(bytes))
        .execute(c))?;
    Ok(())
}

/// Whether a photo, of a job, a visit or a report, names the file.
pub fn is_named(conn: &mut Conn, _: &Installation, digest: Digest) -> Result<bool, Error> {
    let bytes = digest.as_bytes().as_slice();
    let of_jobs: i64 = photos::table.filter(photos::digest.eq(bytes)).count().get_result(conn.multi())?;
    let of_visits = visit_photos::table.filter(visit_photos::digest.eq(bytes));
    let of_visits: i64 = of_visits.count().get_result(conn.multi())?;
    let of_reports = report_photos::table.filter(report_photos::digest.eq(bytes));
    let of_reports: i64 = of_reports.count().get_result(conn.multi())?;
    Ok(of_jobs + of_visits + of_reports > 0)
}

/// Forgets a file that no photo names.
pub fn forget(tx: &mut Tx<'_>, _: &Installation, digest: Digest) -> Result<(), Error> {
    diesel::delete(files::table.find(digest.as_bytes().as_slice())).execute(tx.multi())?;
    Ok(())
}
