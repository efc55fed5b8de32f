//! Whom and what rows name: customers by their own key, address or name; vehicles by their own key, VIN or plate.

use std::collections::{HashMap, HashSet};

use crate::app::{Error, Who};
use crate::core::fold::folded;
use crate::core::ids::{CustomerId, VehicleId};
use crate::core::imports::{Column, Kind, VehicleSaid};
use crate::core::plate::plate_key;
use crate::core::words::CustomerKind;
use crate::db::vehicles::many::Named;
use crate::db::{Conn, customers, imports, vehicles};

/// Why something that a row names is not the one: column, code, sentence.
pub(crate) type Unclear = (Column, &'static str, String);

/// The shop's customers, to be found by what rows say of an owner.
pub(crate) struct Owners {
    by_key: HashMap<String, CustomerId>,
    by_email: HashMap<String, Vec<CustomerId>>,
    by_name: HashMap<String, Vec<CustomerId>>,
    names: HashMap<CustomerId, String>,
    stock: HashSet<CustomerId>,
}

impl Owners {
    /// Loads all of the shop.
    pub(crate) fn load(conn: &mut Conn, who: &Who) -> Result<Self, Error> {
        let mut owners = Self {
            by_key: HashMap::new(),
            by_email: HashMap::new(),
            by_name: HashMap::new(),
            names: HashMap::new(),
            stock: HashSet::new(),
        };
        for one in customers::names(conn, &who.shop)? {
            owners.by_key.insert(one.id.to_string(), one.id);
            if let Some(email) = &one.email {
                owners.by_email.entry(email.to_lowercase()).or_default().push(one.id);
            }
            owners.by_name.entry(folded(&one.name)).or_default().push(one.id);
            owners.stock.extend((one.kind == CustomerKind::Stock).then_some(one.id));
            owners.names.insert(one.id, one.name);
        }
        for (key, row) in imports::known(conn, &who.shop, Kind::Customers)? {
            owners.by_key.insert(key, row.subject.into());
        }
        Ok(owners)
    }

    /// The customer that a row means.
    pub(crate) fn find(&self, said: &str) -> Result<CustomerId, Unclear> {
        if let Some(id) = self.by_key.get(said) {
            return Ok(*id);
        }
        let by_email = self.by_email.get(&said.to_lowercase());
        match by_email.or_else(|| self.by_name.get(&folded(said))).map(Vec::as_slice) {
            Some([one]) => Ok(*one),
            Some(several) => {
                let detail = format!("{said:?} are {} customers: name the one by its own key", several.len());
                Err((Column::Owner, "several_customers", detail))
            }
            None => {
                let detail = format!("{said:?} is no customer of your shop by key, e-mail address or name");
                Err((Column::Owner, "unknown_customer", detail))
            }
        }
    }

    /// Whether it is a dealer's stock, which is no owner.
    pub(crate) fn is_stock(&self, id: CustomerId) -> bool {
        self.stock.contains(&id)
    }

    /// What a customer is called.
    pub(crate) fn name(&self, id: CustomerId) -> Option<&str> {
        self.names.get(&id).map(String::as_str)
    }
}

/// The shop's vehicles, to be found by what rows say of one.
pub(crate) struct Vehicles {
    all: Vec<Named>,
    by_key: HashMap<String, usize>,
    by_vin: HashMap<String, usize>,
    by_plate: HashMap<String, Vec<usize>>,
}

impl Vehicles {
    /// Loads all of the shop.
    pub(crate) fn load(conn: &mut Conn, who: &Who) -> Result<Self, Error> {
        let all = vehicles::many::names(conn, &who.shop)?;
        let places: HashMap<VehicleId, usize> = all.iter().enumerate().map(|(i, one)| (one.id, i)).collect();
        let mut by_key: HashMap<String, usize> = places.iter().map(|(id, i)| (id.to_string(), *i)).collect();
        for (key, row) in imports::known(conn, &who.shop, Kind::Vehicles)? {
            by_key.extend(places.get(&row.subject.into()).map(|place| (key, *place)));
        }
        let (mut by_vin, mut by_plate) = (HashMap::new(), HashMap::<String, Vec<usize>>::new());
        for (i, one) in all.iter().enumerate() {
            by_vin.extend(one.vin.clone().map(|vin| (vin, i)));
            if let Some(plate) = &one.plate_key {
                by_plate.entry(plate.clone()).or_default().push(i);
            }
        }
        Ok(Self { all, by_key, by_vin, by_plate })
    }

    /// Whether there is one with this VIN.
    pub(crate) fn has_vin(&self, vin: &str) -> bool {
        self.by_vin.contains_key(vin)
    }

    /// Whether there is one with this plate, as compared.
    pub(crate) fn has_plate(&self, key: &str) -> bool {
        self.by_plate.contains_key(key)
    }

    /// The vehicle that a row means: by its key, else its VIN, else its plate. Key and VIN must not contradict one
    /// another; a plate may have changed since.
    pub(crate) fn find(&self, said: &VehicleSaid) -> Result<&Named, Unclear> {
        let mut found: Option<usize> = None;
        for (column, text, known) in
            [(Column::Vehicle, &said.key, &self.by_key), (Column::Vin, &said.vin, &self.by_vin)]
        {
            let Some(text) = text else { continue };
            let Some(place) = known.get(text) else {
                let detail = format!("{text:?} is no vehicle of your shop: import vehicles first");
                return Err((column, "unknown_vehicle", detail));
            };
            if found.is_some_and(|before| before != *place) {
                let detail =
                    format!("{text:?} is another vehicle than the one that the row names by its key");
                return Err((column, "vehicle_contradicts", detail));
            }
            found = Some(*place);
        }
        if let Some(place) = found {
            return Ok(&self.all[place]);
        }
        let plate = said.plate.as_deref().unwrap_or_default();
        match self.by_plate.get(&plate_key(plate)).map(Vec::as_slice) {
            Some([one]) => Ok(&self.all[*one]),
            Some(several) => {
                let detail =
                    format!("{plate:?} is on {} vehicles: name the one by key or VIN", several.len());
                Err((Column::Plate, "several_vehicles", detail))
            }
            None => {
                let detail = format!("{plate:?} is no vehicle of your shop: import vehicles first");
                Err((Column::Plate, "unknown_vehicle", detail))
            }
        }
    }
}
