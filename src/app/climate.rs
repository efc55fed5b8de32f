//! Climate readings of a job: what is particular to them among its parts, and files of loggers.

use std::collections::HashSet;

use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use serde::Serialize;

use super::jobs::{must_be_open, open_job, time_fault};
use super::parts::Kind;
use super::{App, Error, Who, new_id, wanted_text};
use crate::core::calendar::Moment;
use crate::core::climate::logger::{Given, LoggerFile};
use crate::core::climate::{ClimateReading, LoggerColumn, Unit};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::JobId;
use crate::core::imports::{DayOrder, Encoding, Faults};
use crate::db::climate::{self, ClimateRow};
use crate::db::parts::Part as _;
use crate::db::{Conn, Shop, jobs};

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

/// How a logger's file is to be read, where the file itself leaves it open.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FileAsked {
    /// The zone of stamps that say none; the shop's unless given.
    pub zone: Option<Tz>,
    /// Which way round days with slashes are; the file decides unless given.
    pub days: Option<DayOrder>,
    /// Where it was read, of rows that do not say it.
    pub place: Option<String>,
}

/// A column of a logger's file, and what it was taken for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct LoggerColumnView {
    /// The header, as the file has it.
    pub header: String,
    /// The column that it means.
    pub column: LoggerColumn,
    /// The unit in which it is written; readings are kept in °C and %.
    pub unit: Unit,
}

/// How a logger's file was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct LoggerReadAs {
    /// How its text is encoded.
    pub encoding: Encoding,
    /// What stands between cells.
    pub delimiter: char,
    /// Whether its numbers have a decimal comma.
    pub decimal_comma: bool,
    /// Which way round its days with slashes are.
    pub days: DayOrder,
    /// The zone of stamps that say none: an offset that its header says, or the zone that was given, or the shop's.
    pub zone: String,
    /// What each header was taken for.
    pub columns: Vec<LoggerColumnView>,
    /// Headers that mean nothing here; what stands under them was left alone.
    pub unused: Vec<String>,
}

/// A logger's file that was taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct ClimateTaken {
    /// How many readings were new.
    pub taken: usize,
    /// How many the job had already.
    pub unchanged: usize,
    /// How the file was read.
    pub read_as: LoggerReadAs,
}

/// What an entry of climate that was only tried would come to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct ClimatePreview {
    /// Always true.
    pub valid: bool,
    /// Of a file: how many readings it has.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub readings: Option<usize>,
    /// Of a file: the earliest of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_at: Option<Moment>,
    /// Of a file: the latest of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last_at: Option<Moment>,
    /// Of a file: how it was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub read_as: Option<LoggerReadAs>,
}

/// What adding climate to a job answers: the reading, or what became of a file.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
#[serde(untagged)]
pub enum ClimateAdded {
    /// Of a single reading.
    Reading(Box<super::parts::Entered<ClimateReading>>),
    /// Of a logger's file.
    File(ClimateTaken),
}

/// Reads a file, or says everything that is wrong with it.
fn readings(
    who: &Who,
    bytes: &[u8],
    asked: &FileAsked,
    now: DateTime<Utc>,
) -> Result<(Vec<ClimateReading>, LoggerReadAs), Error> {
    all_clear(
        asked.place.as_deref().and_then(|place| wanted_text("place", place, 60)).into_iter().collect(),
    )?;
    let zone = asked.zone.unwrap_or(who.zone);
    let given = Given { zone, days: asked.days, place: asked.place.as_deref(), now };
    let file = LoggerFile::open(bytes, &given).map_err(Rule::rules)?;
    let named = file.header.iter().zip(&file.columns);
    let read_as = LoggerReadAs {
        encoding: file.encoding,
        delimiter: file.delimiter,
        decimal_comma: file.decimal_comma,
        days: file.days,
        zone: file.offset.map_or(zone.to_string(), |offset| offset.to_string()),
        columns: named
            .clone()
            .filter_map(|(header, meant)| {
                let meant = (*meant)?;
                Some(LoggerColumnView { header: header.clone(), column: meant.column, unit: meant.unit })
            })
            .collect(),
        unused: named
            .filter(|(header, meant)| meant.is_none() && !header.is_empty())
            .map(|(header, _)| header.clone())
            .collect(),
    };
    let readings = file.readings(&given).map_err(refused)?;
    if readings.is_empty() {
        return Err(Rule::rule("", "no_rows", "the file has a header and no reading").into());
    }
    Ok((readings, read_as))
}

/// The refusal with the faults of all rows.
fn refused(faults: Faults) -> Rule {
    let (all, listed) = (faults.all, faults.listed.len());
    match Rule::rules(faults.listed) {
        Rule::Refused { code, faults, more, detail } => {
            let mut detail = if all == 1 { detail } else { format!("{all} faults; nothing was taken") };
            if all > listed {
                detail.push_str(&format!("; the first {listed} are listed"));
            }
            Rule::Refused { code, detail, faults, more }
        }
        other => other,
    }
}

/// What a file of a logger would add to an open job; nothing is written.
pub fn preview(
    app: &App,
    who: &Who,
    job: JobId,
    bytes: &[u8],
    asked: &FileAsked,
) -> Result<ClimatePreview, Error> {
    let (readings, read_as) = readings(who, bytes, asked, app.now())?;
    app.db.read(|c| -> Result<(), Error> {
        must_be_open(jobs::find(c, &who.shop, job)?)?;
        Ok(())
    })?;
    Ok(ClimatePreview {
        valid: true,
        readings: Some(readings.len()),
        first_at: readings.iter().map(|reading| reading.at).min(),
        last_at: readings.iter().map(|reading| reading.at).max(),
        read_as: Some(read_as),
    })
}

/// A reading as it is told apart from others.
fn key(reading: &ClimateReading) -> (DateTime<Utc>, u64, u64, Option<u64>, Option<&str>) {
    let ClimateReading { at, air_c, rh_pct, surface_c, place } = reading;
    (at.0, air_c.to_bits(), rh_pct.to_bits(), surface_c.map(f64::to_bits), place.as_deref())
}

/// Adds what a logger wrote to an open job: all of the file, or nothing. Readings that the job has already are not
/// added again, so that the file of a logger that goes on writing can be sent again.
pub fn take(
    app: &App,
    who: &Who,
    job: JobId,
    bytes: &[u8],
    asked: &FileAsked,
) -> Result<ClimateTaken, Error> {
    let (who, now) = (who.clone(), app.now());
    let (readings, read_as) = readings(&who, bytes, asked, now)?;
    app.db.write(move |tx| {
        open_job(tx, &who.shop, job)?;
        let there = ClimateReading::of_job(tx, &who.shop, job)?;
        let mut known: HashSet<_> = there.iter().map(|row| key(&row.part)).collect();
        let new = readings.iter().filter(|reading| known.insert(key(reading)));
        let row = |reading: &ClimateReading| ClimateRow {
            id: new_id(),
            job,
            part: reading.clone(),
            entered_by: who.member,
            entered_at: now,
            version: 1,
        };
        let rows: Vec<ClimateRow> = new.map(row).collect();
        climate::add_all(tx, &who.shop, &rows)?;
        let taken = rows.len();
        Ok(ClimateTaken { taken, unchanged: readings.len() - taken, read_as: read_as.clone() })
    })
}
