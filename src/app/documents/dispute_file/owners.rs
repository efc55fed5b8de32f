//! Who had the vehicle when.

use super::Clerk;
use crate::app::Error;
use crate::db::{Conn, customers, vehicles};
use crate::documents::dispute_file::owners::OwnerOnPaper;

impl Clerk<'_> {
    /// Who had the vehicle when, the first first.
    pub(super) fn owners(&self, conn: &mut Conn) -> Result<Vec<OwnerOnPaper>, Error> {
        let shop = &self.office.shop;
        let mut told = Vec::new();
        for row in vehicles::owners(conn, shop, self.vehicle)? {
            let customer = customers::find(conn, shop, row.customer)?;
            let (name, kind) = (customer.name, customer.kind);
            told.push(OwnerOnPaper { name, kind, from: row.from, until: row.until });
        }
        Ok(told)
    }
}
