//! Pictures of a job and of a warranty: what is known, put together for drawing. Whoever asks for one by itself gets it in
//! the shop's language; in a document it has that of the document.

use std::collections::BTreeMap;

use chrono::{NaiveDate, TimeDelta};
use chrono_tz::Tz;

use super::assessments::Case;
use super::checks::{seen, unwritable};
use super::paint_readings::{self, PaintView};
use super::{App, Error, Who, jobs as job_cases, shops, warranties as warranty_cases};
use crate::core::assess::{CoverAnswer, DueAnswer};
use crate::core::climate::ClimateReading;
use crate::core::coats::LaidCoat;
use crate::core::cure::Reached;
use crate::core::cure::job::{JobClocks, PanelClock};
use crate::core::drawings::{
    ClimateDrawing, CoverDrawing, CureDrawing, DrawnBar, DrawnCoat, DrawnCure, DrawnDue, DrawnMilestone,
    DrawnPanel, DrawnReading, PanelMark, PanelsDrawing,
};
use crate::core::humidity::{dew_point, vapour_pressure};
use crate::core::ids::RunningNumber;
use crate::core::paint::PaintFlag;
use crate::core::paint_readings::{JobPaint, PanelPaint, ReadOn};
use crate::core::units::{Celsius, RelativeHumidity};
use crate::core::words::Panel;
use crate::db::jobs::JobRow;
use crate::db::parts::Part as _;
use crate::db::{Conn, Shop};
use crate::language::{Language, said};

/// The climate at the vehicle over a job, named by id or number, with dew point and coats. The weather outside is another
/// climate, in which nothing is laid.
pub fn climate(app: &App, who: &Who, name: &str) -> Result<String, Error> {
    app.db.read(|c| {
        let job = job_cases::named(c, &who.shop, name)?;
        let language = shops::language(c, app, &who.shop)?;
        climate_of(c, &who.shop, who.zone, &job, language)
    })
}

/// The same in a language, inside a transaction.
pub(crate) fn climate_of(
    conn: &mut Conn,
    shop: &Shop,
    zone: Tz,
    job: &JobRow,
    language: Language,
) -> Result<String, Error> {
    let readings = ClimateReading::of_job(conn, shop, job.id)?;
    let at_the_vehicle = readings.iter().filter(|row| !row.part.is_outside());
    let readings = at_the_vehicle.map(|row| drawn(&row.part)).collect();
    let coats = LaidCoat::of_job(conn, shop, job.id)?.into_iter().map(|row| {
        let coat = row.part.coat;
        let surface = language.surface(&coat.surface);
        let label = language.say("drawing-coat", &said!["product" => coat.product, "surface" => surface]);
        DrawnCoat { label, from: coat.started_at.0, until: coat.ended_at.0.max(coat.started_at.0) }
    });
    let coats = coats.collect();
    let title = language.say("drawing-climate", &said!["number" => job.number.to_string()]);
    Ok(ClimateDrawing { title, zone, readings, coats }.svg(&language))
}

/// Coats whose cure is drawn at most: more make no picture.
const MOST_CURES: usize = 8;

/// The cure of a job, named by id or number, over time: of each coat the panel that comes last.
pub fn cure(app: &App, who: &Who, name: &str) -> Result<String, Error> {
    app.db.read(|c| {
        let row = job_cases::named(c, &who.shop, name)?;
        let language = shops::language(c, app, &who.shop)?;
        let job = seen(c, who, &row)?;
        let clocks = JobClocks::new(&job, &job.stages).map_err(unwritable)?;
        let at_the_vehicle = job.climate.iter().filter(|reading| !reading.is_outside());
        let known_until = at_the_vehicle.map(|reading| reading.at.0).max();
        let slowest = clocks.coats.iter().filter_map(|coat| {
            // Never is later than any time.
            let last = |clock: &&PanelClock| {
                let reached = clock.milestones().last().map(|last| last.reached_at);
                (reached == Some(None), reached.flatten(), clock.applied_at)
            };
            Some((coat, coat.panels.iter().max_by_key(last)?))
        });
        let slowest: Vec<_> = slowest.take(MOST_CURES).collect();
        let reached =
            slowest.iter().flat_map(|(_, clock)| clock.milestones()).filter_map(|one| one.reached_at);
        let applied = slowest.iter().map(|(_, clock)| clock.applied_at).max();
        let last = reached.chain(known_until).chain(applied.map(|at| at + TimeDelta::days(1))).max();
        let drawn = slowest.iter().zip(std::iter::repeat(last)).filter_map(|((coat, clock), last)| {
            let milestone = |one: &Reached| DrawnMilestone {
                name: one.name.clone(),
                hours: one.hours.get(),
                reached_at: one.reached_at,
            };
            let laid = &coat.seen.coat;
            let said = said!["product" => &laid.product, "surface" => language.surface(&laid.surface),
                             "panel" => language.panel(&clock.panel)];
            let label = language.say("drawing-coat-panel", &said);
            let milestones = clock.milestones().iter().map(milestone).collect();
            let (from, until) = (clock.applied_at, last?.max(clock.applied_at));
            if known_until.is_none() && job.stages.is_empty() {
                return Some(DrawnCure::by_calendar(label, from, until, milestones));
            }
            Some(DrawnCure::of(label, from, until, |at| clock.hours_at(at).get(), milestones))
        });
        let title = language.say("drawing-cure", &said!["number" => row.number.to_string()]);
        Ok(CureDrawing { title, zone: who.zone, known_until, coats: drawn.collect() }.svg(&language))
    })
}

fn drawn(reading: &ClimateReading) -> DrawnReading {
    let dew = || {
        let (air, rh) = (Celsius::new(reading.air_c).ok()?, RelativeHumidity::new(reading.rh_pct).ok()?);
        // Perfectly dry air has none.
        dew_point(vapour_pressure(air, rh).ok()?).ok()
    };
    DrawnReading {
        at: reading.at.0,
        air_c: reading.air_c,
        surface_c: reading.surface_c,
        dew_c: dew().map(Celsius::get),
        rh_pct: reading.rh_pct,
    }
}

/// The panels of a job's vehicle with what was read of their paint.
pub fn panels(app: &App, who: &Who, name: &str) -> Result<String, Error> {
    app.db.read(|c| {
        let job = job_cases::named(c, &who.shop, name)?;
        let PaintView { paint, .. } = paint_readings::of_row(c, app, &who.shop, &job)?;
        Ok(panels_of(job.number, paint, shops::language(c, app, &who.shop)?))
    })
}

/// The same in a language, of the paint of a job with this number.
pub(crate) fn panels_of(number: RunningNumber, paint: JobPaint, language: Language) -> String {
    let drawn = paint.panels.into_iter().map(|panel| (panel.panel.clone(), drawn_panel(&panel, language)));
    let panels: BTreeMap<Panel, DrawnPanel> = drawn.collect();
    let title = language.say("drawing-panels", &said!["number" => number.to_string()]);
    PanelsDrawing { title, values: language.word("drawing-values"), panels }.svg(&language)
}

fn drawn_panel(panel: &PanelPaint, language: Language) -> DrawnPanel {
    let latest = panel.after.as_ref().or(panel.before.as_ref());
    let mark = match (panel.ground, panel.flags.is_empty()) {
        (ReadOn::Film, _) => PanelMark::Film,
        (ReadOn::Plastic, _) => PanelMark::Plastic,
        (ReadOn::Paint, false) => PanelMark::Flagged,
        (ReadOn::Paint, true) => PanelMark::Read,
    };
    let value = latest.filter(|_| panel.ground != ReadOn::Plastic).map(|latest| latest.mean_um);
    let mut notes: Vec<String> = panel.flags.iter().map(|flag| noted(*flag, panel, language)).collect();
    if let Some(removed) = &panel.removed {
        let thickness = micrometres(language, removed.mean_um, 1);
        notes.push(language.say("drawing-removed", &said!["thickness" => thickness]));
    }
    DrawnPanel { value, mark, notes }
}

/// A flag in words.
fn noted(flag: PaintFlag, panel: &PanelPaint, language: Language) -> String {
    match flag {
        PaintFlag::Thin => language.word("drawing-thin"),
        PaintFlag::ThinSpot => {
            let latest = panel.after.as_ref().or(panel.before.as_ref());
            let least = micrometres(language, latest.map_or(0.0, |latest| latest.min_um), 0);
            language.say("drawing-thin-spot", &said!["thickness" => least])
        }
        PaintFlag::LikelyRefinished => language.word("drawing-likely-refinished"),
        PaintFlag::MuchRemovedInJob => language.word("drawing-much-removed-in-job"),
        PaintFlag::MuchRemovedInLife => {
            let removed = micrometres(language, panel.removed_in_life_um.unwrap_or_default(), 1);
            language.say("drawing-much-removed-in-life", &said!["thickness" => removed])
        }
    }
}

fn micrometres(language: Language, um: f64, decimals: u8) -> String {
    language.say("unit-micrometres", &said!["number" => language.number(um, decimals)])
}

/// The cover of a warranty, named by id or number, over time, with its dues; as of a day, today unless given.
pub fn cover(app: &App, who: &Who, name: &str, as_of: Option<NaiveDate>) -> Result<String, Error> {
    let as_of = as_of.unwrap_or_else(|| who.day(app.now()));
    app.db.read(|c| {
        let row = warranty_cases::standing(c, &who.shop, name)?;
        let case = Case::load(c, &who.shop, row)?;
        Ok(cover_of(&case, as_of, shops::language(c, app, &who.shop)?))
    })
}

/// The same of a case, in a language.
pub(crate) fn cover_of(case: &Case, as_of: NaiveDate, language: Language) -> String {
    let assessment = case.assessment(&case.verdict(as_of, None));
    let bar = |(surface, cover): (&String, &CoverAnswer)| DrawnBar {
        surface: language.capital(&language.surface_named(surface)),
        from: cover.from,
        last_day: cover.last_day,
        state: language.state_of_cover(cover.state, cover.cause),
        holds: cover.suspended.iter().map(|held| (held.since, held.until)).collect(),
    };
    let due = |due: &DueAnswer| DrawnDue {
        upkeep: due.upkeep.clone(),
        number: due.number,
        opens: due.opens,
        due: due.due,
        closes: due.closes,
        status: due.status,
    };
    let drawing = CoverDrawing {
        title: language.say("drawing-cover", &said!["number" => case.row.number.to_string()]),
        as_of: as_of.into(),
        surfaces: assessment.cover.iter().map(bar).collect(),
        dues: assessment.dues.iter().map(due).collect(),
    };
    drawing.svg(&language)
}
