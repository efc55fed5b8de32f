//! What a job consists of: its steps, climate readings, coats, marks, paint readings and photos. Each part is a row of one job that
//! says something and counts its changes; the SQL is the same for all and stands here once.

use chrono::{DateTime, Utc};

use super::error::Error;
use super::scope::Shop;
use super::{Conn, Tx};
use crate::core::ids::{Id, JobId, MemberId};

/// A part of a job as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct PartRow<P: Part> {
    /// Its id.
    pub id: P::Id,
    /// The job.
    pub job: JobId,
    /// What is said of it.
    pub part: P,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

/// What can be a part of a job, and where such parts are kept. [`job_parts!`] writes all but the last two functions.
pub trait Part: Sized {
    /// How one is named.
    type Id: Id;

    /// Adds a part to a job of the shop.
    fn add(tx: &mut Tx<'_>, scope: &Shop, row: &PartRow<Self>) -> Result<(), Error>;

    /// One part of a job of the shop.
    fn find(conn: &mut Conn, scope: &Shop, job: JobId, id: Self::Id) -> Result<PartRow<Self>, Error>;

    /// All parts of this kind of a job of the shop, in the order in which they were entered.
    fn of_job(conn: &mut Conn, scope: &Shop, job: JobId) -> Result<Vec<PartRow<Self>>, Error>;

    /// Those of a job of the shop, newest first, after the one with id `after`.
    fn list(
        conn: &mut Conn,
        scope: &Shop,
        job: JobId,
        after: Option<Self::Id>,
        limit: i64,
    ) -> Result<Vec<PartRow<Self>>, Error>;

    /// Changes a part when it is still of its version; false when somebody else was there first.
    fn change(tx: &mut Tx<'_>, scope: &Shop, row: &PartRow<Self>) -> Result<bool, Error>;

    /// Removes a part when it is still of `version`; false when somebody else was there first.
    fn remove(tx: &mut Tx<'_>, scope: &Shop, job: JobId, id: Self::Id, version: i64) -> Result<bool, Error>;

    /// Writes what a part keeps in a table of its own, in place of what stood there; nothing of a part that goes.
    fn set_inner(_: &mut Tx<'_>, _: Self::Id, _: Option<&Self>) -> Result<(), Error> {
        Ok(())
    }

    /// Reads what the parts of a job keep in a table of their own.
    fn load_inner(_: &mut Conn, _: JobId, _: &mut [PartRow<Self>]) -> Result<(), Error> {
        Ok(())
    }
}

/// The functions of [`Part`] over `$table`, whose rows diesel reads and writes as `Row` of the same file.
macro_rules! job_parts {
    ($table:ident) => {
        fn add(
            tx: &mut $crate::db::Tx<'_>,
            _: &$crate::db::Shop,
            row: &PartRow<Self>,
        ) -> Result<(), $crate::db::Error> {
            diesel::insert_into($table::table).values(Row::of(row)?).execute(tx.multi())?;
            Self::set_inner(tx, row.id, Some(&row.part))
        }

        fn find(
            conn: &mut $crate::db::Conn,
            scope: &$crate::db::Shop,
            job: $crate::core::ids::JobId,
            id: Self::Id,
        ) -> Result<PartRow<Self>, $crate::db::Error> {
            let row = $table::table
                .inner_join(jobs::table.on(jobs::id.eq($table::job_id)))
                .filter($table::id.eq(Uid::of(id)))
                .filter($table::job_id.eq(Uid::of(job)))
                .filter(jobs::shop_id.eq(Uid::of(scope.id())))
                .select(Row::as_select())
                .first::<Row>(conn.multi())?;
            let mut rows = [row.part()?];
            Self::load_inner(conn, job, &mut rows)?;
            let [row] = rows;
            Ok(row)
        }

        fn of_job(
            conn: &mut $crate::db::Conn,
            scope: &$crate::db::Shop,
            job: $crate::core::ids::JobId,
        ) -> Result<Vec<PartRow<Self>>, $crate::db::Error> {
            let rows = $table::table
                .inner_join(jobs::table.on(jobs::id.eq($table::job_id)))
                .filter($table::job_id.eq(Uid::of(job)))
                .filter(jobs::shop_id.eq(Uid::of(scope.id())))
                .order($table::id)
                .select(Row::as_select())
                .load::<Row>(conn.multi())?;
            let mut rows = rows.into_iter().map(Row::part).collect::<Result<Vec<_>, _>>()?;
            Self::load_inner(conn, job, &mut rows)?;
            Ok(rows)
        }

        fn list(
            conn: &mut $crate::db::Conn,
            scope: &$crate::db::Shop,
            job: $crate::core::ids::JobId,
            after: Option<Self::Id>,
            limit: i64,
        ) -> Result<Vec<PartRow<Self>>, $crate::db::Error> {
            let mut query = $table::table
                .inner_join(jobs::table.on(jobs::id.eq($table::job_id)))
                .filter($table::job_id.eq(Uid::of(job)))
                .filter(jobs::shop_id.eq(Uid::of(scope.id())))
                .select(Row::as_select())
                .into_boxed();
            if let Some(after) = after {
                query = query.filter($table::id.lt(Uid::of(after)));
            }
            let rows = query.order($table::id.desc()).limit(limit).load::<Row>(conn.multi())?;
            let mut rows = rows.into_iter().map(Row::part).collect::<Result<Vec<_>, _>>()?;
            Self::load_inner(conn, job, &mut rows)?;
            Ok(rows)
        }

        fn change(
            tx: &mut $crate::db::Tx<'_>,
            scope: &$crate::db::Shop,
            row: &PartRow<Self>,
        ) -> Result<bool, $crate::db::Error> {
            let mut new = Row::of(row)?;
            new.version += 1;
            let of_shop = jobs::table.filter(jobs::shop_id.eq(Uid::of(scope.id()))).select(jobs::id);
            let current = $table::table
                .filter($table::id.eq(Uid::of(row.id)))
                .filter($table::job_id.eq(Uid::of(row.job)))
                .filter($table::job_id.eq_any(of_shop))
                .filter($table::version.eq(row.version));
            if diesel::update(current).set(new).execute(tx.multi())? == 0 {
                return Ok(false);
            }
            Self::set_inner(tx, row.id, Some(&row.part))?;
            Ok(true)
        }

        fn remove(
            tx: &mut $crate::db::Tx<'_>,
            scope: &$crate::db::Shop,
            job: $crate::core::ids::JobId,
            id: Self::Id,
            version: i64,
        ) -> Result<bool, $crate::db::Error> {
            if Self::find(tx, scope, job, id)?.version != version {
                return Ok(false);
            }
            Self::set_inner(tx, id, None)?;
            let gone = diesel::delete($table::table.find(Uid::of(id)).filter($table::version.eq(version)));
            Ok(gone.execute(tx.multi())? == 1)
        }
    };
}
pub(super) use job_parts;
