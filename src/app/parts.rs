//! What a job consists of: steps, climate readings, coats, marks, paint readings and photos, and how each is added, read, changed and
//! removed while the job is open. What is particular to a kind stands in its own file ([`Kind`]); all else is here once.

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::jobs::{must_be_open, open_job};
use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id, patched};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{JobId, MemberId};
use crate::db::parts::{Part, PartRow};
use crate::db::{Conn, Shop, Tx, jobs, people, products};

/// What is particular to a kind of part.
pub trait Kind: Part + Serialize + Send + 'static {
    /// What such parts are called in paths: `/v1/jobs/{id}/NAME`.
    const NAME: &'static str;

    /// What people say of one; whatever else is kept of it the service adds.
    type Input: Serialize + DeserializeOwned + Send + 'static;

    /// What was said of this one.
    fn input(&self) -> &Self::Input;

    /// The rules that can be judged without the database.
    fn faults(input: &Self::Input, now: DateTime<Utc>) -> Vec<Fault>;

    /// What the input names that is not there.
    fn unknown(_: &mut Conn, _: &Shop, _: JobId, _: &Self::Input) -> Result<Vec<Fault>, Error> {
        Ok(Vec::new())
    }

    /// What is kept of an input that is free of faults; `before` is what stood there.
    fn kept(conn: &mut Conn, shop: &Shop, input: Self::Input, before: Option<Self>) -> Result<Self, Error>;
}

/// A part as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct Entered<P>
where
    P: Part,
{
    /// Its id.
    pub id: P::Id,
    /// What is said of it.
    #[serde(flatten)]
    pub part: P,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

impl<P: Part> From<PartRow<P>> for Entered<P> {
    fn from(row: PartRow<P>) -> Self {
        Self {
            id: row.id,
            part: row.part,
            entered_by: row.entered_by,
            entered_at: row.entered_at,
            version: row.version,
        }
    }
}

/// Everything that is wrong with an input for a job that stands at `place` of a body.
pub(super) fn faults_of<P: Kind>(
    conn: &mut Conn,
    shop: &Shop,
    job: JobId,
    input: &P::Input,
    now: DateTime<Utc>,
    place: &str,
) -> Result<Vec<Fault>, Error> {
    let mut faults = P::faults(input, now);
    faults.extend(P::unknown(conn, shop, job, input)?);
    Ok(faults.into_iter().map(|fault| fault.within(place)).collect())
}

/// Refuses an input with everything that is wrong with it.
fn refuse_faulty<P: Kind>(
    conn: &mut Conn,
    shop: &Shop,
    job: JobId,
    input: &P::Input,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    Ok(all_clear(faults_of::<P>(conn, shop, job, input, now, "")?)?)
}

/// Adds one to an open job. `validate_only` writes nothing, keeps no writer waiting, and refuses what the real call
/// would refuse.
pub fn add<P: Kind>(
    app: &App,
    who: &Who,
    job: JobId,
    input: P::Input,
    validate_only: bool,
) -> Result<Option<Entered<P>>, Error> {
    let (who, now) = (who.clone(), app.now());
    if validate_only {
        return app.db.read(|c| {
            refuse_faulty::<P>(c, &who.shop, job, &input, now)?;
            must_be_open(jobs::find(c, &who.shop, job)?)?;
            Ok(None)
        });
    }
    app.db.write(move |tx| {
        // What is wrong with the body is told before the state of the job.
        refuse_faulty::<P>(tx, &who.shop, job, &input, now)?;
        open_job(tx, &who.shop, job)?;
        Ok(Some(enter(tx, &who, job, input, now)?))
    })
}

/// Enters a part that is free of faults on a job that is open.
pub(super) fn enter<P: Kind>(
    tx: &mut Tx<'_>,
    who: &Who,
    job: JobId,
    input: P::Input,
    now: DateTime<Utc>,
) -> Result<Entered<P>, Error> {
    let part = P::kept(tx, &who.shop, input, None)?;
    let row = PartRow { id: new_id(), job, part, entered_by: who.member, entered_at: now, version: 1 };
    P::add(tx, &who.shop, &row)?;
    Ok(row.into())
}

/// One of a job's.
pub fn find<P: Kind>(app: &App, who: &Who, job: JobId, id: P::Id) -> Result<Entered<P>, Error> {
    app.db.read(|c| Ok(P::find(c, &who.shop, job, id)?.into()))
}

/// A page of a job's, newest first.
pub fn list<P: Kind>(
    app: &App,
    who: &Who,
    job: JobId,
    wanted: &Wanted<P::Id>,
) -> Result<Page<Entered<P>>, Error> {
    app.db.read(|c| {
        let rows = P::list(c, &who.shop, job, wanted.after, wanted.rows())?;
        Ok(wanted.page(rows.into_iter().map(Entered::from).collect(), |view: &Entered<P>| view.id))
    })
}

/// Changes one by a merge patch, if it is still of `version` and the job open.
pub fn change<P: Kind>(
    app: &App,
    who: &Who,
    job: JobId,
    id: P::Id,
    version: i64,
    patch: &Value,
) -> Result<Entered<P>, Error> {
    let (shop, now) = (who.shop, app.now());
    let mut row = app.db.read(|c| P::find(c, &shop, job, id))?;
    if row.version != version {
        return Err(Rule::Stale.into());
    }
    let input: P::Input = patched(row.part.input(), patch)?;
    app.db.write(move |tx| {
        refuse_faulty::<P>(tx, &shop, job, &input, now)?;
        open_job(tx, &shop, job)?;
        row.part = P::kept(tx, &shop, input, Some(row.part))?;
        // Of another version by now: it is stale.
        if !P::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        Ok(row.into())
    })
}

/// Removes one, if it is still of `version` and the job open.
pub fn remove<P: Kind>(app: &App, who: &Who, job: JobId, id: P::Id, version: i64) -> Result<(), Error> {
    let shop = who.shop;
    app.db.write(move |tx| {
        open_job(tx, &shop, job)?;
        if P::remove(tx, &shop, job, id, version)? { Ok(()) } else { Err(Rule::Stale.into()) }
    })
}

/// A product that the shop has not.
pub(super) fn unknown_product(
    conn: &mut Conn,
    shop: &Shop,
    code: Option<&str>,
) -> Result<Option<Fault>, Error> {
    let Some(code) = code else { return Ok(None) };
    match products::find(conn, shop, code) {
        Ok(_) => Ok(None),
        Err(crate::db::Error::NotFound) => {
            Ok(Some(Fault::new("/product", "unknown_product", format!("your shop has no product {code:?}"))))
        }
        Err(other) => Err(other.into()),
    }
}

/// A member that the shop has not.
pub(super) fn unknown_member(
    conn: &mut Conn,
    shop: &Shop,
    id: Option<MemberId>,
) -> Result<Option<Fault>, Error> {
    let Some(id) = id else { return Ok(None) };
    match people::member_of(conn, shop, id) {
        Ok(_) => Ok(None),
        Err(crate::db::Error::NotFound) => {
            Ok(Some(Fault::new("/by", "unknown_member", format!("{id} is no member of your shop"))))
        }
        Err(other) => Err(other.into()),
    }
}
