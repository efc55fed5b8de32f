//! Customers from a file.

use uuid::Uuid;

use super::{Scene, Taken};
use crate::app::customers::{CustomerInput, MailChoices};
use crate::app::{Error, new_id, shops};
use crate::core::ids::CustomerId;
use crate::core::imports::customers::Customer;
use crate::core::imports::{Faults, Said};
use crate::db::{Conn, Tx, customers};

impl Taken for Customer {
    type Checked = ();

    fn check(_: &mut Conn, _: &Scene, _: &[&Said<Self>], _: &mut Faults) -> Result<(), Error> {
        // Two customers may be alike in everything.
        Ok(())
    }

    fn write(tx: &mut Tx<'_>, scene: &Scene, new: &[&Said<Self>], (): ()) -> Result<Vec<Uuid>, Error> {
        let settings = shops::settings(tx, &scene.app, &scene.who.shop)?;
        let row = |said: &&Said<Self>| {
            let id: CustomerId = new_id();
            input(&said.said).row(id, &settings, scene.now, 1)
        };
        let rows: Vec<_> = new.iter().map(row).collect();
        customers::add_all(tx, &scene.who.shop, &rows)?;
        Ok(rows.into_iter().map(|row| row.id.into()).collect())
    }
}

fn input(said: &Customer) -> CustomerInput {
    let said = said.clone();
    CustomerInput {
        name: said.name,
        kind: said.kind,
        email: said.email,
        phone: said.phone,
        language: said.language,
        time_zone: said.time_zone,
        mail: MailChoices { upkeep: said.mail_upkeep, history: said.mail_history },
    }
}
