//! What people search for, found by any three characters that follow each other.
//!
//! The newest rows are read through first: what is common is found among them. What is not, is looked up in the index of
//! each database (FTS5 with trigrams; GIN over an array of them).

use diesel::prelude::*;
use diesel::sql_types::{Array, BigInt, Text};

use super::Conn;
use super::backend::{Postgres, Sqlite};
use super::error::Error;
use super::scope::Shop;
use super::types::{Uid, sql};
use crate::core::fold::Sought;

/// How many of the newest rows are read through first.
const NEWEST: i64 = 1_000;

/// What is searched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Among {
    Vehicles,
    Customers,
}

#[derive(QueryableByName)]
struct Found {
    #[diesel(sql_type = sql::Uid)]
    id: Uid,
}

/// Ids of what is sought, newest first, after `after`.
pub(super) fn ids(
    conn: &mut Conn,
    scope: &Shop,
    among: Among,
    sought: &Sought,
    after: Option<Uid>,
    limit: i64,
) -> Result<Vec<Uid>, Error> {
    let search = Search {
        shop: Uid::of(scope.id()),
        among,
        sought,
        // No id is greater: UUIDs of version 7 begin with a time.
        before: after.unwrap_or(Uid(uuid::Uuid::max())),
        limit,
    };
    let newest = search.among_newest(conn)?;
    if i64::try_from(newest.len()).is_ok_and(|many| many >= limit) {
        return Ok(newest);
    }
    search.in_index(conn)
}

struct Search<'a> {
    shop: Uid,
    among: Among,
    sought: &'a Sought,
    before: Uid,
    limit: i64,
}

impl Search<'_> {
    /// The table, and its column with the id.
    fn table(&self) -> (&'static str, &'static str) {
        match self.among {
            Among::Vehicles => ("shop_vehicles", "vehicle_id"),
            Among::Customers => ("customers", "id"),
        }
    }

    /// That a key is what is sought; `first` is the number of the first pattern's place.
    fn condition(&self, first: usize) -> String {
        let mut next = first..;
        let ways = self.sought.ways().iter().map(|way| {
            let each = way.iter().zip(&mut next).map(|(_, n)| format!("search_key LIKE ${n} ESCAPE '\\'"));
            format!("({})", each.collect::<Vec<_>>().join(" AND "))
        });
        ways.collect::<Vec<_>>().join(" OR ")
    }

    fn patterns(&self) -> impl Iterator<Item = String> {
        self.sought.ways().iter().flatten().map(|part| super::anywhere(part))
    }

    fn among_newest(&self, conn: &mut Conn) -> Result<Vec<Uid>, Error> {
        let (table, id) = self.table();
        let sql = format!(
            "SELECT id FROM (SELECT {id} AS id, search_key FROM {table} WHERE shop_id = $1 AND {id} < $2 \
             ORDER BY {id} DESC LIMIT $3) AS newest WHERE {} ORDER BY id DESC LIMIT {}",
            self.condition(4),
            self.limit
        );
        super::backend::both!(conn, c => {
            let mut query = diesel::sql_query(sql)
                .into_boxed()
                .bind::<sql::Uid, _>(self.shop)
                .bind::<sql::Uid, _>(self.before)
                .bind::<BigInt, _>(NEWEST);
            for pattern in self.patterns() {
                query = query.bind::<Text, _>(pattern);
            }
            Ok(query.load::<Found>(c)?.into_iter().map(|found| found.id).collect())
        })
    }

    fn in_index(&self, conn: &mut Conn) -> Result<Vec<Uid>, Error> {
        let found = conn.by_either(|sqlite| self.by_phrases(sqlite), |postgres| self.by_parts(postgres))?;
        Ok(found.into_iter().map(|found| found.id).collect())
    }

    fn by_phrases(&self, c: &mut Sqlite) -> QueryResult<Vec<Found>> {
        let (table, _) = self.table();
        let sql = format!(
            "SELECT subject_id AS id FROM {table}_search_rows \
             WHERE id IN (SELECT rowid FROM {table}_search WHERE {table}_search MATCH $1) \
             AND shop_id = $2 AND subject_id < $3 ORDER BY subject_id DESC LIMIT $4"
        );
        diesel::sql_query(sql)
            .bind::<Text, _>(self.phrases())
            .bind::<sql::Uid, _>(self.shop)
            .bind::<sql::Uid, _>(self.before)
            .bind::<BigInt, _>(self.limit)
            .load(c)
    }

    fn by_parts(&self, c: &mut Postgres) -> QueryResult<Vec<Found>> {
        let ((table, id), ways) = (self.table(), self.sought.ways());
        // Found first and put in order afterwards: else the planner may walk along the order and try each row.
        let held = (0..ways.len()).map(|n| format!("search_parts(shop_id, search_key) @> ${}", n + 4));
        let sql = format!(
            "WITH found AS MATERIALIZED (SELECT {id} AS id, search_key FROM {table} \
             WHERE shop_id = $1 AND {id} < $2 AND ({})) \
             SELECT id FROM found WHERE {} ORDER BY id DESC LIMIT $3",
            held.collect::<Vec<_>>().join(" OR "),
            self.condition(4 + ways.len())
        );
        let mut query = diesel::sql_query(sql)
            .into_boxed()
            .bind::<sql::Uid, _>(self.shop)
            .bind::<sql::Uid, _>(self.before)
            .bind::<BigInt, _>(self.limit);
        for way in ways {
            query = query.bind::<Array<Text>, _>(self.parts(way));
        }
        for pattern in self.patterns() {
            query = query.bind::<Text, _>(pattern);
        }
        query.load(c)
    }

    /// What is sought in the language of FTS5: phrases, of which one way's must all be there.
    fn phrases(&self) -> String {
        let phrase = |part: &String| format!("\"{}\"", part.replace('"', "\"\""));
        let ways = self.sought.ways().iter();
        let ways = ways.map(|way| format!("({})", way.iter().map(phrase).collect::<Vec<_>>().join(" AND ")));
        ways.collect::<Vec<_>>().join(" OR ")
    }

    /// Every three characters that follow each other in one way's parts, and the shop.
    fn parts(&self, way: &[String]) -> Vec<String> {
        let mut parts = vec![self.shop.0.to_string()];
        for part in way {
            let chars: Vec<char> = part.chars().collect();
            parts.extend(chars.windows(3).map(|three| three.iter().collect()));
        }
        parts
    }
}
