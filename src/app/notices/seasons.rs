//! Care for the season: told once, on the day on which it begins for the shop, to the owners of what is covered.

use chrono::{DateTime, Datelike as _, NaiveDate, Utc};

use super::occasions::Writing;
use super::plan::Planned;
use crate::app::{App, Error, shops};
use crate::core::calendar::{Day, day_begins};
use crate::core::ids::VehicleId;
use crate::core::notices::About;
use crate::core::words::Season;
use crate::db::{Shop, agenda, people};

/// Vehicles that are looked at in one transaction.
const AT_A_TIME: i64 = 100;

/// Plans the word on each season that has begun for its shop after an instant, by `at`.
pub(super) fn begun(app: &App, since: DateTime<Utc>, at: DateTime<Utc>) -> Result<Vec<Planned>, Error> {
    let scope = app.db.installation();
    let rows = app.db.read::<_, Error>(|c| Ok(people::shops(c, &scope)?))?;
    let mut planned = Vec::new();
    for row in rows {
        let settings = shops::ShopSettings::of(&row)?;
        let zone = crate::app::zone("/time_zone", &settings.time_zone)
            .map_err(|fault| crate::db::Error::Other(fault.detail))?;
        for (season, begins) in between(&settings, since, at) {
            let begun = day_begins(begins, zone);
            if since < begun && begun <= at {
                planned.extend(tell(app, &row.shop, season, begins, at)?);
            }
        }
    }
    Ok(planned)
}

/// The seasons of a shop that begin on a day from one instant to another, give or take the length of a day.
pub(super) fn between(
    settings: &shops::ShopSettings,
    from: DateTime<Utc>,
    until: DateTime<Utc>,
) -> Vec<(Season, Day)> {
    let years = from.year() - 1..=until.year() + 1;
    let begins = |year: i32| {
        let day = move |(season, month)| Some((season, NaiveDate::from_ymd_opt(year, month, 1)?));
        settings.seasons().filter_map(day)
    };
    let near = |day: NaiveDate| {
        (day - from.date_naive()).num_days() >= -1 && (day - until.date_naive()).num_days() <= 1
    };
    years.flat_map(begins).filter(|(_, day)| near(*day)).map(|(season, day)| (season, day.into())).collect()
}

fn tell(
    app: &App,
    shop: &Shop,
    season: Season,
    begins: Day,
    at: DateTime<Utc>,
) -> Result<Vec<Planned>, Error> {
    let mut planned = Vec::new();
    let mut after: Option<VehicleId> = None;
    loop {
        let items = app.db.read::<_, Error>(|c| Ok(agenda::covered(c, shop, after, AT_A_TIME)?))?;
        let Some(last) = items.last() else { return Ok(planned) };
        after = Some(last.vehicle);
        let (app_in, shop) = (app.clone(), *shop);
        planned.extend(app.db.write::<_, Error>(move |tx| {
            let mut told = Vec::new();
            for item in items {
                let Some(writing) = Writing::about(tx, &app_in, &shop, item.vehicle, at)? else { continue };
                if writing.to.mail_upkeep {
                    let send_at = writing.on(begins).max(at);
                    let about = About::Season { season, begins };
                    told.extend(writing.put_down(tx, about, Some(item.warranty), send_at)?);
                }
            }
            Ok(told)
        })?);
    }
}
