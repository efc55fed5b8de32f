//! Services as files tell of them: those that count.

use std::collections::HashMap;

use uuid::Uuid;

use super::vehicles::named;
use super::{Keys, Told, trimmed};
use crate::app::{Error, Who};
use crate::core::ids::{EventId, VehicleId};
use crate::core::imports::services::Service;
use crate::core::imports::{Kind, OdometerSaid};
use crate::core::vehicle_events::Happened;
use crate::db::{Conn, vehicle_events};

impl Told for Service {
    /// The keys of vehicles.
    type Around = Keys;

    fn around(conn: &mut Conn, who: &Who) -> Result<Keys, Error> {
        Keys::load(conn, who, Kind::Vehicles)
    }

    fn ids(conn: &mut Conn, who: &Who) -> Result<Vec<Uuid>, Error> {
        Ok(vehicle_events::services(conn, &who.shop)?.into_iter().map(Uuid::from).collect())
    }

    fn told(conn: &mut Conn, who: &Who, keys: &Keys, of: &[Uuid]) -> Result<HashMap<Uuid, Self>, Error> {
        let ids: Vec<EventId> = of.iter().copied().map(EventId::from).collect();
        let rows = vehicle_events::of(conn, &who.shop, &ids)?;
        let mut vehicles: Vec<VehicleId> = rows.iter().map(|row| row.vehicle).collect();
        vehicles.sort_unstable();
        vehicles.dedup();
        let vehicles = named(conn, who, keys, &vehicles)?;
        let mut told = HashMap::new();
        for row in rows {
            let Happened::Service { service, carried_out, finding, figures, done_by, .. } =
                row.event.happened
            else {
                continue;
            };
            let odometer = row.odometer.map(|read| OdometerSaid {
                value: read.value(),
                unit: Some(read.unit()),
                distance_km: row.event.km,
            });
            let said = Self {
                vehicle: vehicles.get(&row.vehicle).cloned().unwrap_or_default(),
                on: row.event.on.into(),
                service,
                odometer,
                done_by,
                carried_out,
                finding: finding.as_deref().and_then(trimmed),
                figures,
            };
            told.insert(row.event.id.into(), said);
        }
        Ok(told)
    }
}
