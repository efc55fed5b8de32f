//! Climate readings of a job: what is particular to them among its parts.

use chrono::{DateTime, Utc};

use super::jobs::time_fault;
use super::parts::Kind;
use super::{Error, wanted_text};
use crate::core::climate::ClimateReading;
use crate::core::error::Fault;
use crate::db::{Conn, Shop};

impl Kind for ClimateReading {
    const NAME: &'static str = "climate";

    type Input = Self;

    fn input(&self) -> &Self {
        self
    }

    fn faults(reading: &Self, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults: Vec<Fault> = time_fault("/at", reading.at, now).into_iter().collect();
        let mut within = |pointer: &str, value: f64, from: f64, to: f64| {
            if !(from..=to).contains(&value) {
                faults.push(Fault::new(
                    pointer,
                    "out_of_range",
                    format!("{value} is not from {from} to {to}"),
                ));
            }
        };
        // The range of the dew-point formula: WMO-No. 8, Annex 4.B.
        within("/air_c", reading.air_c, -45.0, 60.0);
        within("/rh_pct", reading.rh_pct, 0.0, 100.0);
        if let Some(surface_c) = reading.surface_c {
            within("/surface_c", surface_c, -45.0, 120.0);
        }
        faults.extend(reading.place.as_deref().and_then(|text| wanted_text("/place", text, 60)));
        faults
    }

    fn kept(_: &mut Conn, _: &Shop, reading: Self, _: Option<Self>) -> Result<Self, Error> {
        Ok(reading)
    }
}
