//! Who had vehicles when, and what sales from a file add to that. A sale that is older than what is known puts its buyer
//! in between; it does not take the vehicle from whoever has it now.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::{Owners, Scene};
use crate::app::{Error, new_id, vehicles as vehicle_cases};
use crate::core::ids::{CustomerId, EventId, VehicleId};
use crate::db::vehicles::OwnershipRow;
use crate::db::vehicles::many::{self, Held};
use crate::db::{Conn, Tx};

/// A sale of a vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Sale {
    /// The day.
    pub(super) on: NaiveDate,
    /// Who has it from then on.
    pub(super) buyer: CustomerId,
    /// The event of it.
    pub(super) event: EventId,
}

/// From whom a vehicle was sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct SoldBy {
    /// Who had it until then, where that is known.
    pub(super) before: Option<CustomerId>,
    /// Whether that is a dealer's stock.
    pub(super) stock: bool,
}

/// An interval in which somebody had a vehicle, and the place among the file's sales of the one that it began with.
struct Link {
    held: Held,
    /// As it was before; none: it is new.
    was: Option<Held>,
    by: Option<usize>,
}

/// The vehicles that were sold, each with who had it when.
pub(super) struct Sales {
    known: HashMap<VehicleId, Vec<Held>>,
    /// The days on which the shop added them: whoever has one since then may have had it long before.
    added: HashMap<VehicleId, NaiveDate>,
    chains: Vec<(VehicleId, Vec<Link>)>,
}

impl Sales {
    /// Looks up who had these vehicles.
    pub(super) fn load(conn: &mut Conn, scene: &Scene, of: &[VehicleId]) -> Result<Self, Error> {
        let shop = &scene.who.shop;
        let mut sales = Self { known: HashMap::new(), added: HashMap::new(), chains: Vec::new() };
        for some in of.chunks(super::readings::VEHICLES) {
            sales.known.extend(many::held(conn, shop, some)?);
            let rows = many::of(conn, shop, some)?.into_iter();
            sales.added.extend(rows.map(|row| (row.id, scene.who.day(row.created_at))));
        }
        Ok(sales)
    }

    /// Puts down all sales of a vehicle, which come in the order of their days; answers from whom each was.
    pub(super) fn put(&mut self, owners: &Owners, vehicle: VehicleId, sales: &[Sale]) -> Vec<SoldBy> {
        let added = self.added.get(&vehicle).copied();
        let known = self.known.remove(&vehicle).unwrap_or_default().into_iter();
        let mut chain: Vec<Link> = known.map(|held| Link { held, was: Some(held), by: None }).collect();
        let mut unknown = Vec::new();
        for (i, sale) in sales.iter().enumerate() {
            // Whoever has it since this day, or since one that nobody said, has it by this sale.
            let has_it = |link: &Link| {
                let from = link.held.row.from;
                let since = from == sale.on || (from > sale.on && Some(from) == added);
                since && link.held.row.customer == sale.buyer && link.held.sale.is_none()
            };
            match chain.iter_mut().find(|link| has_it(link)) {
                None => unknown.push((i, sale)),
                Some(link) => {
                    link.held.row.from = sale.on;
                    link.held.sale = Some(sale.event);
                    link.by = Some(i);
                }
            }
        }
        chain.sort_by_key(|link| link.held.row.from);
        for (i, sale) in unknown {
            let later = |link: &Link| {
                let from = link.held.row.from;
                from > sale.on || (from == sale.on && link.by.is_some_and(|by| by > i))
            };
            let place = chain.iter().position(later).unwrap_or(chain.len());
            let until = chain.get(place).map(|next| next.held.row.from);
            let row = OwnershipRow { id: new_id(), customer: sale.buyer, from: sale.on, until };
            chain.insert(place, Link { held: Held { row, sale: Some(sale.event) }, was: None, by: Some(i) });
        }
        let sold_by = |(i, sale): (usize, &Sale)| {
            let place = chain.iter().position(|link| link.by == Some(i));
            let before = place.and_then(|place| place.checked_sub(1)).and_then(|place| chain.get_mut(place));
            let Some(before) = before.map(|link| &mut link.held.row) else {
                return SoldBy { before: None, stock: false };
            };
            before.until = Some(before.until.map_or(sale.on, |until| until.min(sale.on)));
            SoldBy { before: Some(before.customer), stock: owners.is_stock(before.customer) }
        };
        let sold = sales.iter().enumerate().map(sold_by).collect();
        self.chains.push((vehicle, chain));
        sold
    }

    /// Writes who had the vehicles; they are found by who has them now.
    pub(super) fn write(self, tx: &mut Tx<'_>, scene: &Scene) -> Result<(), Error> {
        let shop = &scene.who.shop;
        let vehicles: Vec<VehicleId> = self.chains.iter().map(|(vehicle, _)| *vehicle).collect();
        let (mut changed, mut new) = (Vec::new(), Vec::new());
        for (vehicle, chain) in self.chains {
            for Link { held, was, .. } in chain {
                match was {
                    None => new.push((vehicle, held)),
                    Some(was) => changed.extend((was != held).then_some(held)),
                }
            }
        }
        many::hold(tx, shop, &changed, &new)?;
        many::touch(tx, shop, &vehicles)?;
        vehicle_cases::refresh_keys(tx, shop, &vehicles)
    }
}
