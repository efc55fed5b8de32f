//! Answers that are kept with the work that they answer: the same request again gives the same answer, and does no
//! work twice.

use std::any::{Any, TypeId};
use std::sync::OnceLock;

use chrono::{DateTime, TimeDelta, Utc};
use diesel::prelude::*;

use super::backend::both;
use super::error::Error;
use super::schema::idempotency;
use super::scope::{Installation, Shop};
use super::types::{At, Uid};
use super::{Conn, Tx};
use crate::core::ids::{Digest, MemberId};

/// For how long an answer is kept, in hours.
pub const HOURS: i64 = 48;

/// What is asked to be done once.
#[derive(Debug, Clone)]
pub struct Request {
    /// Who asks; nobody else's keys are the same.
    pub member: MemberId,
    /// What the client calls this request.
    pub key: String,
    /// Of all that the request says.
    pub digest: Digest,
}

/// What was answered, as it goes over the wire.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// HTTP status.
    pub status: u16,
    /// Where the new thing is.
    pub location: Option<String>,
    /// The version of what is answered.
    pub etag: Option<String>,
    /// JSON text, or nothing.
    pub body: String,
}

/// An answer that was kept, and the digest of the request that it answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptRow {
    /// Of all that the request said.
    pub digest: Digest,
    /// What it was answered.
    pub reply: Reply,
}

/// Before this, nothing is kept any more at `now`.
fn oldest(now: DateTime<Utc>) -> At {
    At(now - TimeDelta::hours(HOURS))
}

/// The answer that is kept under the key of this request, whatever the request says.
pub fn find(
    conn: &mut Conn,
    shop: &Shop,
    request: &Request,
    now: DateTime<Utc>,
) -> Result<Option<KeptRow>, Error> {
    let found = idempotency::table
        .find((Uid::of(request.member), &request.key))
        .filter(idempotency::shop_id.eq(Uid::of(shop.id())))
        .filter(idempotency::kept_at.gt(oldest(now)))
        .select((
            idempotency::digest,
            idempotency::status,
            idempotency::location,
            idempotency::etag,
            idempotency::body,
        ))
        .first::<(Vec<u8>, i32, Option<String>, Option<String>, String)>(conn.multi())
        .optional()?;
    let Some((digest, status, location, etag, body)) = found else { return Ok(None) };
    let status = u16::try_from(status).map_err(|_| Error::Other(format!("{status} as a status in a row")))?;
    let reply = Reply { status, location, etag, body };
    Ok(Some(KeptRow { digest: super::digest(&digest)?, reply }))
}

/// Removes what is no longer kept at `now`; answers how many rows that were.
pub fn forget(tx: &mut Tx<'_>, _: &Installation, now: DateTime<Utc>) -> Result<usize, Error> {
    Ok(diesel::delete(idempotency::table.filter(idempotency::kept_at.le(oldest(now)))).execute(tx.multi())?)
}

type Say = Box<dyn Fn(&dyn Any) -> Result<Option<Reply>, Error> + Send + Sync>;

/// A request on its way through a use case. The write transaction in which the work is done takes it along: it
/// claims the key first, and keeps the answer last.
pub struct Once {
    shop: Shop,
    request: Request,
    now: DateTime<Utc>,
    answered: [TypeId; 2],
    say: Say,
    kept: OnceLock<Reply>,
}

impl Once {
    /// `say` makes the answer from what the transaction comes to: a `T`, or the Some of an `Option<T>`.
    pub fn new<T: 'static>(
        shop: Shop,
        request: Request,
        now: DateTime<Utc>,
        say: impl Fn(&T) -> Result<Reply, Error> + Send + Sync + 'static,
    ) -> Self {
        let say = move |done: &dyn Any| {
            let done =
                done.downcast_ref::<Option<T>>().map_or_else(|| done.downcast_ref::<T>(), Option::as_ref);
            done.map(&say).transpose()
        };
        let answered = [TypeId::of::<T>(), TypeId::of::<Option<T>>()];
        Self { shop, request, now, answered, say: Box::new(say), kept: OnceLock::new() }
    }

    /// What was kept, once the transaction is committed.
    pub fn kept(&self) -> Option<&Reply> {
        self.kept.get()
    }

    /// Does `f` with its answer kept beside it. Whoever comes second with the same key waits for the first one's
    /// transaction (on PostgreSQL for its row, on SQLite for the one writer), and is `Busy` if that was committed.
    pub(super) fn within<T: 'static, E: From<Error>>(
        &self,
        tx: &mut Tx<'_>,
        f: impl FnOnce(&mut Tx<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        if !self.answered.contains(&TypeId::of::<T>()) {
            let found = std::any::type_name::<T>();
            return Err(Error::Other(format!("a transaction that comes to {found} is not answered")).into());
        }
        self.claim(tx)?;
        let done = f(tx)?;
        if let Some(reply) = (self.say)(&done)? {
            self.keep(tx, &reply)?;
            // A second transaction of the same use case would have met the claim of the first.
            let _ = self.kept.set(reply);
        } else {
            self.release(tx)?;
        }
        Ok(done)
    }

    fn claim(&self, tx: &mut Tx<'_>) -> Result<(), Error> {
        let (member, key) = (Uid::of(self.request.member), self.request.key.as_str());
        let row = idempotency::table.find((member, key));
        diesel::delete(row.filter(idempotency::kept_at.le(oldest(self.now)))).execute(tx.multi())?;
        let claimed = both!(tx, c => diesel::insert_into(idempotency::table)
            .values((
                idempotency::shop_id.eq(Uid::of(self.shop.id())),
                idempotency::member_id.eq(member),
                idempotency::key.eq(key),
                idempotency::digest.eq(self.request.digest.as_bytes().as_slice()),
                idempotency::status.eq(0),
                idempotency::body.eq(""),
                idempotency::kept_at.eq(At(self.now)),
            ))
            .on_conflict_do_nothing()
            .execute(c))?;
        if claimed == 1 { Ok(()) } else { Err(Error::Busy) }
    }

    /// Nothing is answered after all.
    fn release(&self, tx: &mut Tx<'_>) -> Result<(), Error> {
        let row = idempotency::table.find((Uid::of(self.request.member), &self.request.key));
        diesel::delete(row).execute(tx.multi())?;
        Ok(())
    }

    fn keep(&self, tx: &mut Tx<'_>, reply: &Reply) -> Result<(), Error> {
        let row = idempotency::table.find((Uid::of(self.request.member), &self.request.key));
        diesel::update(row)
            .set((
                idempotency::status.eq(i32::from(reply.status)),
                idempotency::location.eq(&reply.location),
                idempotency::etag.eq(&reply.etag),
                idempotency::body.eq(&reply.body),
            ))
            .execute(tx.multi())?;
        Ok(())
    }
}
