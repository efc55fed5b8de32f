//! Passes: a manager lets a finding be, with a reason that stays.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::passes;
use super::scope::Shop;
use super::types::{At, Uid};
use super::{Conn, Tx};
use crate::core::ids::{Digest, JobId, MemberId, PassId};

/// A pass as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct PassRow {
    /// The pass.
    pub id: PassId,
    /// The job.
    pub job: JobId,
    /// The check.
    pub code: String,
    /// What it found something on.
    pub subject: String,
    /// The finding as it was.
    pub finding: Digest,
    /// Why it was let be.
    pub reason: String,
    /// Who let it be.
    pub member: MemberId,
    /// When.
    pub passed_at: DateTime<Utc>,
}

/// Adds a pass.
pub fn add(tx: &mut Tx<'_>, _: &Shop, row: &PassRow) -> Result<(), Error> {
    diesel::insert_into(passes::table)
        .values((
            passes::id.eq(Uid::of(row.id)),
            passes::job_id.eq(Uid::of(row.job)),
            passes::code.eq(&row.code),
            passes::subject.eq(&row.subject),
            passes::finding.eq(row.finding.as_bytes().as_slice()),
            passes::reason.eq(&row.reason),
            passes::member_id.eq(Uid::of(row.member)),
            passes::passed_at.eq(At(row.passed_at)),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// The passes of a job of the shop, in the order in which they were given.
pub fn of_job(conn: &mut Conn, _: &Shop, job: JobId) -> Result<Vec<PassRow>, Error> {
    passes::table
        .filter(passes::job_id.eq(Uid::of(job)))
        .order(passes::id)
        .select((
            passes::id,
            passes::code,
            passes::subject,
            passes::finding,
            passes::reason,
            passes::member_id,
            passes::passed_at,
        ))
        .load::<(Uid, String, String, Vec<u8>, String, Uid, At)>(conn.multi())?
        .into_iter()
        .map(|(id, code, subject, finding, reason, member, passed_at)| {
            Ok(PassRow {
                id: id.id(),
                job,
                code,
                subject,
                finding: super::digest(&finding)?,
                reason,
                member: member.id(),
                passed_at: passed_at.0,
            })
        })
        .collect()
}
