//! Column values that both databases share: uuid (native on PostgreSQL, BLOB on SQLite), instant (fixed-width
//! UTC text, so that both order alike) and JSON (text on both: `jsonb` reorders members and refuses U+0000).

use std::fmt::Debug;
use std::io::Write as _;

use chrono::{DateTime, Datelike as _, NaiveDate, NaiveDateTime, Utc};
use diesel::backend::Backend;
use diesel::deserialize::{self, FromSql, FromSqlRow};
use diesel::expression::AsExpression;
use diesel::pg::Pg;
use diesel::query_builder::QueryId;
use diesel::serialize::{self, IsNull, Output, ToSql};
use diesel::sql_types::{Date, HasSqlType, SqlType, Text};
use diesel::sqlite::Sqlite;
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::backend::MultiBackend;

/// Why a value could not be written.
type Failure = Box<dyn std::error::Error + Send + Sync>;

/// The SQL types that columns are declared with in `schema.rs`.
pub(crate) mod sql {
    use super::{QueryId, SqlType};

    /// uuid on PostgreSQL, BLOB on SQLite.
    #[derive(Clone, Copy, Debug, SqlType, QueryId)]
    #[diesel(postgres_type(name = "uuid"))]
    #[diesel(sqlite_type(name = "Binary"))]
    pub struct Uid;
}

impl HasSqlType<sql::Uid> for MultiBackend {
    fn metadata(lookup: &mut Self::MetadataLookup) -> Self::TypeMetadata {
        MultiBackend::lookup_sql_type::<sql::Uid>(lookup)
    }
}

/// Hands a value on to whichever database the connection speaks to.
macro_rules! on_multi {
    ([$($generics:tt)*] $value:ty, $sql:path) => {
        impl<$($generics)*> FromSql<$sql, MultiBackend> for $value {
            fn from_sql(raw: <MultiBackend as Backend>::RawValue<'_>) -> deserialize::Result<Self> {
                raw.from_sql::<Self, $sql>()
            }
        }
        impl<$($generics)*> ToSql<$sql, MultiBackend> for $value {
            fn to_sql<'b>(&'b self, out: &mut Output<'b, '_, MultiBackend>) -> serialize::Result {
                out.set_value(($sql, self));
                Ok(IsNull::No)
            }
        }
    };
}

/// A value kept as text on both databases: how it is written, and how it is read back.
macro_rules! as_text {
    ([$($generics:tt)*] $value:ty) => {
        impl<$($generics)*> ToSql<Text, Pg> for $value {
            fn to_sql<'b>(&'b self, out: &mut Output<'b, '_, Pg>) -> serialize::Result {
                out.write_all(self.write()?.as_bytes())?;
                Ok(IsNull::No)
            }
        }
        impl<$($generics)*> ToSql<Text, Sqlite> for $value {
            fn to_sql<'b>(&'b self, out: &mut Output<'b, '_, Sqlite>) -> serialize::Result {
                out.set_value(self.write()?);
                Ok(IsNull::No)
            }
        }
        impl<$($generics)*> FromSql<Text, Pg> for $value {
            fn from_sql(raw: <Pg as Backend>::RawValue<'_>) -> deserialize::Result<Self> {
                Self::read(&<String as FromSql<Text, Pg>>::from_sql(raw)?)
            }
        }
        impl<$($generics)*> FromSql<Text, Sqlite> for $value {
            fn from_sql(raw: <Sqlite as Backend>::RawValue<'_>) -> deserialize::Result<Self> {
                Self::read(&<String as FromSql<Text, Sqlite>>::from_sql(raw)?)
            }
        }
        on_multi!([$($generics)*] $value, Text);
    };
}

/// A uuid as a column value; `Uid::of(id)` from a typed id, `uid.id()` back to one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, FromSqlRow, AsExpression)]
#[diesel(sql_type = sql::Uid)]
pub(crate) struct Uid(pub(crate) uuid::Uuid);

impl Uid {
    /// The column value of a typed id.
    pub(crate) fn of(id: impl Into<uuid::Uuid>) -> Self {
        Self(id.into())
    }

    /// The typed id that this column holds; the column decides of which type.
    pub(crate) fn id<T: From<uuid::Uuid>>(self) -> T {
        T::from(self.0)
    }
}

impl ToSql<sql::Uid, Pg> for Uid {
    fn to_sql<'b>(&'b self, out: &mut Output<'b, '_, Pg>) -> serialize::Result {
        out.write_all(self.0.as_bytes())?;
        Ok(IsNull::No)
    }
}

impl FromSql<sql::Uid, Pg> for Uid {
    fn from_sql(raw: <Pg as Backend>::RawValue<'_>) -> deserialize::Result<Self> {
        Ok(Self(uuid::Uuid::from_slice(raw.as_bytes())?))
    }
}

impl ToSql<sql::Uid, Sqlite> for Uid {
    fn to_sql<'b>(&'b self, out: &mut Output<'b, '_, Sqlite>) -> serialize::Result {
        out.set_value(self.0.as_bytes().as_slice());
        Ok(IsNull::No)
    }
}

impl FromSql<sql::Uid, Sqlite> for Uid {
    fn from_sql(raw: <Sqlite as Backend>::RawValue<'_>) -> deserialize::Result<Self> {
        let bytes = <Vec<u8> as FromSql<diesel::sql_types::Binary, Sqlite>>::from_sql(raw)?;
        Ok(Self(uuid::Uuid::from_slice(&bytes)?))
    }
}

on_multi!([] Uid, sql::Uid);

/// The fixed width that makes text order equal time order.
const INSTANT: &str = "%Y-%m-%dT%H:%M:%S%.6fZ";

/// An instant in UTC, to the microsecond, as 27 characters of text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, FromSqlRow, AsExpression)]
#[diesel(sql_type = Text)]
pub(crate) struct At(pub(crate) DateTime<Utc>);

impl At {
    #[expect(clippy::unnecessary_wraps, reason = "the shape that every text value shares")]
    fn write(&self) -> Result<String, Failure> {
        Ok(self.0.format(INSTANT).to_string())
    }

    fn read(text: &str) -> deserialize::Result<Self> {
        Ok(Self(NaiveDateTime::parse_from_str(text, INSTANT)?.and_utc()))
    }
}

as_text!([] At);

/// A value kept as JSON text.
#[derive(Debug, Clone, PartialEq, FromSqlRow, AsExpression)]
#[diesel(sql_type = Text)]
pub(crate) struct Json<T: Debug + Serialize + DeserializeOwned + Send + Sync + 'static>(pub(crate) T);

impl<T: Debug + Serialize + DeserializeOwned + Send + Sync + 'static> Json<T> {
    fn write(&self) -> Result<String, Failure> {
        Ok(serde_json::to_string(&self.0)?)
    }

    fn read(text: &str) -> deserialize::Result<Self> {
        Ok(Self(serde_json::from_str(text)?))
    }
}

as_text!([T: Debug + Serialize + DeserializeOwned + Send + Sync + 'static] Json<T>);

/// A day, written without the general way of formatting: what is written by the million costs less.
#[derive(Debug, Clone, Copy, PartialEq, Eq, AsExpression)]
#[diesel(sql_type = Date)]
pub(crate) struct On(pub(crate) NaiveDate);

impl ToSql<Date, Pg> for On {
    fn to_sql<'b>(&'b self, out: &mut Output<'b, '_, Pg>) -> serialize::Result {
        <NaiveDate as ToSql<Date, Pg>>::to_sql(&self.0, out)
    }
}

impl ToSql<Date, Sqlite> for On {
    fn to_sql<'b>(&'b self, out: &mut Output<'b, '_, Sqlite>) -> serialize::Result {
        let (year, month, day) = (self.0.year(), self.0.month(), self.0.day());
        out.set_value(format!("{year:04}-{month:02}-{day:02}"));
        Ok(IsNull::No)
    }
}

/// A closed word of the trade (`core::words`), kept as it stands on the wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, FromSqlRow, AsExpression)]
#[diesel(sql_type = Text)]
pub(crate) struct Word<T: Debug + Copy + ToString + std::str::FromStr + Send + Sync + 'static>(pub(crate) T);

impl<T: Debug + Copy + ToString + std::str::FromStr + Send + Sync + 'static> Word<T> {
    #[expect(clippy::unnecessary_wraps, reason = "the shape that every text value shares")]
    fn write(&self) -> Result<String, Failure> {
        Ok(self.0.to_string())
    }

    fn read(text: &str) -> deserialize::Result<Self> {
        text.parse().map(Self).map_err(|_| format!("no such word: {text:?}").into())
    }
}

as_text!([T: Debug + Copy + ToString + std::str::FromStr + Send + Sync + 'static] Word<T>);
