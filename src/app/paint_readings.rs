//! Paint readings of a job: what is particular to them among its parts, and what they say panel by panel.

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::jobs::{named, time_fault};
use super::parts::{Kind, unknown_member};
use super::{App, Error, Who, shops, wanted_text};
use crate::core::error::Fault;
use crate::core::ids::JobId;
use crate::core::paint::Limits;
use crate::core::paint_readings::{JobPaint, MOST_SPOTS, PaintReading, ReadOn, Spot, of_job, removed_in_job};
use crate::core::words::{Finish, JobState, Panel};
use crate::db::jobs::JobRow;
use crate::db::parts::Part as _;
use crate::db::{Conn, Shop, jobs};

impl Kind for PaintReading {
    const NAME: &'static str = "paint-readings";

    type Input = Self;

    fn input(&self) -> &Self {
        self
    }

    fn faults(reading: &Self, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults = Vec::new();
        let plastic = reading.ground == Some(ReadOn::Plastic);
        if plastic && !reading.spots.is_empty() {
            let detail = "paint on plastic cannot be read: leave the spots out, or say another ground";
            faults.push(Fault::new("/spots", "not_readable", detail));
        }
        if !plastic && !(1..=MOST_SPOTS).contains(&reading.spots.len()) {
            let n = reading.spots.len();
            let detail = format!("{n} readings; allowed are 1 to {MOST_SPOTS}, and none of plastic");
            faults.push(Fault::new("/spots", if n == 0 { "empty" } else { "too_many" }, detail));
        }
        for (i, spot) in reading.spots.iter().enumerate() {
            let place = format!("/spots/{i}");
            let name = spot.spot.as_deref();
            faults.extend(name.and_then(|text| wanted_text(&format!("{place}/spot"), text, 40)));
            faults.extend(Spot::thickness(spot).err().map(|fault| fault.within(&place)));
        }
        faults.extend(reading.read_at.and_then(|at| time_fault("/read_at", at, now)));
        faults
    }

    fn unknown(conn: &mut Conn, shop: &Shop, _: JobId, reading: &Self) -> Result<Vec<Fault>, Error> {
        Ok(unknown_member(conn, shop, reading.by)?.into_iter().collect())
    }

    fn kept(_: &mut Conn, _: &Shop, reading: Self, _: Option<Self>) -> Result<Self, Error> {
        Ok(reading)
    }
}

/// What the paint readings of a job say.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct PaintView {
    /// Panel by panel.
    #[serde(flatten)]
    pub paint: JobPaint,
    /// The shop's limits, beyond which a panel is flagged.
    pub limits: Limits,
    /// Whether these limits are common practice and not the shop's own.
    pub limits_are_common_practice: bool,
}

/// What the paint readings of a job, named by id or number, say of each panel.
pub fn of(app: &App, who: &Who, name: &str) -> Result<PaintView, Error> {
    app.db.read(|c| {
        let job = named(c, &who.shop, name)?;
        of_row(c, app, &who.shop, &job)
    })
}

/// The same, inside a transaction.
pub(crate) fn of_row(c: &mut Conn, app: &App, shop: &Shop, job: &JobRow) -> Result<PaintView, Error> {
    let limits = shops::settings(c, app, shop)?.paint_limits;
    let mut earlier = Vec::new();
    for row in jobs::list(c, shop, None, Some(job.vehicle), Some(job.id), i64::MAX)? {
        if row.state != JobState::Cancelled {
            let (readings, film) = readings(c, shop, row.id)?;
            earlier.push(removed_in_job(&readings, |panel| film.contains(panel)));
        }
    }
    let (readings, film) = readings(c, shop, job.id)?;
    let paint = of_job(&readings, |panel| film.contains(panel), &earlier, &limits);
    Ok(PaintView { paint, limits, limits_are_common_practice: limits == Limits::default() })
}

/// The paint readings of a job, and the panels that it says are finished in film.
fn readings(conn: &mut Conn, shop: &Shop, job: JobId) -> Result<(Vec<PaintReading>, Vec<Panel>), Error> {
    let readings = PaintReading::of_job(conn, shop, job)?.into_iter().map(|row| row.part).collect();
    let finishes = jobs::panels(conn, shop, job)?.finishes;
    let film = finishes.into_iter().filter(|(_, finish)| *finish == Finish::Film).map(|(panel, _)| panel);
    Ok((readings, film.collect()))
}
