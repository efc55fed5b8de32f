//! The shop: its name, address, zone, units and how it mails.

use std::collections::BTreeSet;

use chrono::NaiveTime;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{App, Error, Who, patched};
use crate::core::email::Email;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::ShopId;
use crate::core::notices::{Cadence, Quiet};
use crate::core::paint::Limits;
use crate::core::words::{DayOfWeek, OdometerUnit, PaperSize, Season};
use crate::db::people::{self, ShopRow};
use crate::db::{Conn, Shop, agenda};
use crate::language::Language;

/// What a manager can set of the shop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShopSettings {
    /// Name, as owners read it.
    #[schema(min_length = 1, max_length = 200)]
    pub name: String,
    /// IANA time zone, in which the shop's days begin and end.
    pub time_zone: String,
    /// Postal address, as it stands on documents; up to 500 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 500)]
    pub address: Option<String>,
    /// Where answers to mails go.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 3, max_length = 254)]
    pub email: Option<String>,
    /// Telephone; up to 40 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 40)]
    pub phone: Option<String>,
    /// BCP 47 language that customers get unless they say another.
    #[serde(default = "english")]
    #[schema(pattern = "^[A-Za-z0-9-]{1,35}$")]
    pub language: String,
    /// The size of the pages of documents.
    #[serde(default = "a4")]
    pub paper: PaperSize,
    /// Unit of odometers unless a vehicle says another.
    #[serde(default = "kilometres")]
    pub odometer_unit: OdometerUnit,
    /// The owner's local hour at which mails go out, `HH:MM`.
    #[serde(default = "nine")]
    #[schema(pattern = "^([01][0-9]|2[0-3]):[0-5][0-9]$")]
    pub mail_at: String,
    /// Lead times of `upcoming` mails in days before the due date, unless the terms say others.
    #[serde(default = "lead_times")]
    #[schema(max_items = 10)]
    pub upcoming_days: Vec<u32>,
    /// The owner's local time, `HH:MM`, from which on no mail about upkeep goes out; the same as `quiet_until`: at no
    /// hour. What falls into quiet hours goes out after them.
    #[serde(default = "eight_in_the_evening")]
    #[schema(pattern = "^([01][0-9]|2[0-3]):[0-5][0-9]$")]
    pub quiet_from: String,
    /// The owner's local time, `HH:MM`, from which on mails about upkeep go out again.
    #[serde(default = "eight_in_the_morning")]
    #[schema(pattern = "^([01][0-9]|2[0-3]):[0-5][0-9]$")]
    pub quiet_until: String,
    /// Days of the week on which no mail about upkeep goes out.
    #[serde(default = "sundays")]
    #[schema(max_items = 6)]
    pub quiet_days: Vec<DayOfWeek>,
    /// The most mails about upkeep that an owner gets in a year, those of the first month of a warranty apart. The
    /// least important are dropped first, and listed as dropped.
    #[serde(default = "six")]
    #[schema(minimum = 1, maximum = 100)]
    pub upkeep_mails_a_year: u32,
    /// Whether owners are asked to bring the vehicle by for a first look, three weeks after handover.
    #[serde(default)]
    pub first_look: bool,
    /// In which month (1 to 12), on whose first day, owners are told how to care for the vehicle over winter; null: they
    /// are not. October is usual in the north, April in the south.
    #[serde(default)]
    #[schema(minimum = 1, maximum = 12)]
    pub winter_month: Option<u32>,
    /// The same in spring.
    #[serde(default)]
    #[schema(minimum = 1, maximum = 12)]
    pub spring_month: Option<u32>,
    /// Beyond which paint readings of a panel draw attention.
    #[serde(default)]
    pub paint_limits: Limits,
}

fn english() -> String {
    "en".into()
}

fn kilometres() -> OdometerUnit {
    OdometerUnit::Km
}

fn a4() -> PaperSize {
    PaperSize::A4
}

fn nine() -> String {
    "09:00".into()
}

fn lead_times() -> Vec<u32> {
    vec![45, 14]
}

fn eight_in_the_evening() -> String {
    "20:00".into()
}

fn eight_in_the_morning() -> String {
    "08:00".into()
}

fn sundays() -> Vec<DayOfWeek> {
    vec![DayOfWeek::Sunday]
}

fn six() -> u32 {
    6
}

/// A time of day as it is set.
fn time(text: &str) -> Option<NaiveTime> {
    NaiveTime::parse_from_str(text, "%H:%M").ok().filter(|_| text.len() == 5)
}

impl ShopSettings {
    /// A shop of this name and zone, everything else as usual.
    pub fn usual(name: &str, time_zone: &str) -> Self {
        Self {
            name: name.to_owned(),
            time_zone: time_zone.to_owned(),
            address: None,
            email: None,
            phone: None,
            language: english(),
            paper: a4(),
            odometer_unit: kilometres(),
            mail_at: nine(),
            upcoming_days: lead_times(),
            quiet_from: eight_in_the_evening(),
            quiet_until: eight_in_the_morning(),
            quiet_days: sundays(),
            upkeep_mails_a_year: six(),
            first_look: false,
            winter_month: None,
            spring_month: None,
            paint_limits: Limits::default(),
        }
    }

    /// When this shop writes.
    pub(crate) fn cadence(&self) -> Cadence {
        let usual = Cadence::default();
        Cadence {
            leads: self.upcoming_days.clone(),
            at: time(&self.mail_at).unwrap_or(usual.at),
            quiet: Quiet {
                from: time(&self.quiet_from).unwrap_or(usual.quiet.from),
                until: time(&self.quiet_until).unwrap_or(usual.quiet.until),
                days: self.quiet_days.iter().map(|day| day.weekday()).collect(),
            },
            a_year: self.upkeep_mails_a_year,
        }
    }

    /// The seasons for which this shop writes, with the month on whose first day each begins.
    pub(crate) fn seasons(&self) -> impl Iterator<Item = (Season, u32)> + use<> {
        let months = [(Season::Winter, self.winter_month), (Season::Spring, self.spring_month)];
        months.into_iter().filter_map(|(season, month)| Some((season, month?)))
    }

    /// The settings that a row holds.
    pub fn of(row: &ShopRow) -> Result<Self, Error> {
        let mut members = row.details.clone();
        members.insert("name".into(), row.name.clone().into());
        members.insert("time_zone".into(), row.time_zone.clone().into());
        serde_json::from_value(Value::Object(members)).map_err(|e| {
            Error::Database(crate::db::Error::Other(format!("settings of the shop {}: {e}", row.name)))
        })
    }

    /// What goes into the row beside name and zone.
    pub(crate) fn details(&self) -> people::ShopDetails {
        let mut members = match serde_json::to_value(self) {
            Ok(Value::Object(members)) => members,
            _ => people::ShopDetails::new(),
        };
        members.remove("name");
        members.remove("time_zone");
        members
    }

    /// Every rule that these settings break.
    pub fn check(&self) -> Result<(), Rule> {
        let mut faults = Vec::new();
        faults.extend(super::wanted_text("/name", &self.name, 200));
        faults.extend(super::zone("/time_zone", &self.time_zone).err());
        for (pointer, text, most) in [("/address", &self.address, 500), ("/phone", &self.phone, 40)] {
            faults.extend(text.as_deref().and_then(|text| super::wanted_text(pointer, text, most)));
        }
        if let Some(Err(fault)) = self.email.as_deref().map(str::parse::<Email>) {
            faults.push(fault.within("/email"));
        }
        if self.language.is_empty()
            || self.language.len() > 35
            || !self.language.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
        {
            faults.push(Fault::new(
                "/language",
                "not_a_language",
                format!("{:?} is no BCP 47 tag such as en", self.language),
            ));
        }
        for (pointer, text) in [
            ("/mail_at", &self.mail_at),
            ("/quiet_from", &self.quiet_from),
            ("/quiet_until", &self.quiet_until),
        ] {
            if time(text).is_none() {
                faults.push(Fault::new(pointer, "not_a_time", format!("{text:?} is no time such as 09:00")));
            }
        }
        let quiet: BTreeSet<DayOfWeek> = self.quiet_days.iter().copied().collect();
        if quiet.len() > 6 || quiet.len() < self.quiet_days.len() {
            let why = "up to six days of the week, each once: a week without any other day would keep every mail back";
            faults.push(Fault::new("/quiet_days", "out_of_range", why));
        }
        if !(1..=100).contains(&self.upkeep_mails_a_year) {
            let why = format!("{} lies outside 1 to 100", self.upkeep_mails_a_year);
            faults.push(Fault::new("/upkeep_mails_a_year", "out_of_range", why));
        }
        for (pointer, month) in [("/winter_month", self.winter_month), ("/spring_month", self.spring_month)] {
            if let Some(month) = month.filter(|month| !(1..=12).contains(month)) {
                faults.push(Fault::new(pointer, "out_of_range", format!("{month} is no month from 1 to 12")));
            }
        }
        if self.winter_month.is_some() && self.winter_month == self.spring_month {
            let why = "winter and spring do not begin in one month";
            faults.push(Fault::new("/spring_month", "out_of_range", why));
        }
        if self.upcoming_days.len() > 10 || self.upcoming_days.iter().any(|days| !(1..=366).contains(days)) {
            faults.push(Fault::new("/upcoming_days", "out_of_range", "up to 10 lead times of 1 to 366 days"));
        }
        faults.extend(self.paint_limits.faults().into_iter().map(|fault| fault.within("/paint_limits")));
        all_clear(faults)
    }
}

/// The shop as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct ShopView {
    /// The shop.
    pub id: ShopId,
    /// Everything that can be set.
    #[serde(flatten)]
    pub settings: ShopSettings,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

fn view(row: &ShopRow) -> Result<ShopView, Error> {
    Ok(ShopView { id: row.shop.id(), settings: ShopSettings::of(row)?, version: row.version })
}

/// The settings of a shop, inside a transaction.
pub(crate) fn settings(conn: &mut Conn, app: &App, shop: &Shop) -> Result<ShopSettings, Error> {
    ShopSettings::of(&people::shop(conn, &app.db.installation(), shop.id())?)
}

/// The zone in which a shop's days begin and end, inside a transaction.
pub(crate) fn zone(conn: &mut Conn, app: &App, shop: &Shop) -> Result<chrono_tz::Tz, Error> {
    let settings = settings(conn, app, shop)?;
    Ok(super::zone("/time_zone", &settings.time_zone)
        .map_err(|fault| crate::db::Error::Other(fault.detail))?)
}

/// The language of a shop: one of ours, else English.
pub(crate) fn language(conn: &mut Conn, app: &App, shop: &Shop) -> Result<Language, Error> {
    Ok(Language::best([settings(conn, app, shop)?.language.as_str()]))
}

/// The shop of whoever asks.
pub fn find(app: &App, who: &Who) -> Result<ShopView, Error> {
    let row = app.db.read(|c| people::shop(c, &app.db.installation(), who.shop.id()))?;
    view(&row)
}

/// Changes the shop by a merge patch.
pub fn change(app: &App, who: &Who, version: i64, patch: &Value) -> Result<ShopView, Error> {
    let current = find(app, who)?;
    let settings: ShopSettings = patched(&current.settings, patch)?;
    settings.check()?;
    let (scope, new) = (who.shop, settings.clone());
    let cadence_changed = new.cadence() != current.settings.cadence();
    let changed = app.db.write::<_, Error>(move |tx| {
        if cadence_changed {
            agenda::plan_shop(tx, &scope)?;
        }
        Ok(people::change_shop(tx, &scope, version, &new.name, &new.time_zone, &new.details())?)
    })?;
    if !changed {
        return Err(Rule::Stale.into());
    }
    Ok(ShopView { id: who.shop.id(), settings, version: version + 1 })
}

/// The first manager of a shop, for whom the command line acts; `name` is needed where there are several shops.
pub fn operator(app: &App, name: Option<&str>) -> Result<Who, Error> {
    let (email, _) = app.db.read::<_, Error>(|c| {
        let shops = people::shops(c, &app.db.installation())?;
        let mut fitting = shops.iter().filter(|shop| name.is_none_or(|name| shop.name == name));
        let (Some(shop), None) = (fitting.next(), fitting.next()) else {
            let names = shops.iter().map(|shop| shop.name.as_str()).collect::<Vec<_>>().join(", ");
            return Err(Rule::rule(
                "shop",
                "which_shop",
                format!("say which shop with --shop; there are: {names}"),
            )
            .into());
        };
        let members = people::list_members(c, &shop.shop, None, i64::MAX)?;
        let manager = members
            .iter()
            .filter(|member| member.role == crate::core::words::Role::Manager && member.disabled_at.is_none())
            .min_by_key(|member| member.id)
            .ok_or(Rule::NotFound)?;
        Ok((manager.email.clone(), manager.id))
    })?;
    super::sessions::act_for(app, &email)
}
