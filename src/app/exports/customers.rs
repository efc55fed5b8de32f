//! Customers as files tell of them.

use std::collections::HashMap;

use uuid::Uuid;

use super::{Told, trimmed};
use crate::app::{Error, Who};
use crate::core::ids::CustomerId;
use crate::core::imports::customers::Customer;
use crate::db::Conn;
use crate::db::customers::{self, CustomerRow};

impl Told for Customer {
    type Around = ();

    fn around(_: &mut Conn, _: &Who) -> Result<(), Error> {
        Ok(())
    }

    fn ids(conn: &mut Conn, who: &Who) -> Result<Vec<Uuid>, Error> {
        Ok(customers::names(conn, &who.shop)?.into_iter().map(|one| one.id.into()).collect())
    }

    fn told(conn: &mut Conn, who: &Who, (): &(), of: &[Uuid]) -> Result<HashMap<Uuid, Self>, Error> {
        let ids: Vec<CustomerId> = of.iter().copied().map(CustomerId::from).collect();
        let rows = customers::of(conn, &who.shop, &ids)?;
        Ok(rows.into_iter().map(|row| (row.id.into(), said(&row))).collect())
    }
}

fn said(row: &CustomerRow) -> Customer {
    Customer {
        name: row.name.trim().to_owned(),
        kind: row.kind,
        email: row.email.clone(),
        phone: row.phone.as_deref().and_then(trimmed),
        language: trimmed(&row.language),
        time_zone: trimmed(&row.time_zone),
        mail_upkeep: row.mail_upkeep,
        mail_history: row.mail_history,
    }
}
