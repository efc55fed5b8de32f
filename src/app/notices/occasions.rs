//! Notices that follow from what is entered: put down in the transaction that enters it, and looked at again before
//! they go out.

use std::collections::BTreeSet;

use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;

use super::new::NewNotice;
use super::plan::{Planned, zone_of};
use super::sections::{self, Said};
use crate::app::cure::Care;
use crate::app::facts::Entered;
use crate::app::{App, Error, shops};
use crate::core::assess::{Assessment, State};
use crate::core::calendar::{Day, local_day};
use crate::core::ids::{JobId, VehicleId, WarrantyId};
use crate::core::notices::{About, BOOKED_DAYS, Because, Cadence, Change, FIRST_LOOK_DAYS, Occasion};
use crate::core::vehicle_events::Happened;
use crate::core::words::{AppointmentState, CustomerKind, Panel, Surface};
use crate::db::appointments::AppointmentRow;
use crate::db::batches::BatchRow;
use crate::db::customers::CustomerRow;
use crate::db::{Conn, Shop, Tx, batches, customers, notices, products, vehicles};

/// Whom notices about a vehicle go to: its owner, if that is no dealer's stock and has an address.
pub(super) fn addressee(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: VehicleId,
) -> Result<Option<CustomerRow>, Error> {
    let Some(owner) = vehicles::owner(conn, shop, vehicle)? else { return Ok(None) };
    let customer = customers::find(conn, shop, owner)?;
    Ok((customer.kind != CustomerKind::Stock && customer.email.is_some()).then_some(customer))
}

/// Somebody to write to about a vehicle, and the shop that does.
pub(super) struct Writing<'a> {
    app: &'a App,
    shop: &'a Shop,
    vehicle: VehicleId,
    /// The owner.
    pub(super) to: CustomerRow,
    zone: Tz,
    cadence: Cadence,
    now: DateTime<Utc>,
}

impl<'a> Writing<'a> {
    /// Who is to be written to about a vehicle, if anybody.
    pub(super) fn about(
        conn: &mut Conn,
        app: &'a App,
        shop: &'a Shop,
        vehicle: VehicleId,
        now: DateTime<Utc>,
    ) -> Result<Option<Self>, Error> {
        let Some(to) = addressee(conn, shop, vehicle)? else { return Ok(None) };
        let settings = shops::settings(conn, app, shop)?;
        let zone = zone_of(&to.time_zone, Tz::UTC);
        Ok(Some(Self { app, shop, vehicle, to, zone, cadence: settings.cadence(), now }))
    }

    /// When a mail goes out that is there on the owner's day.
    pub(super) fn on(&self, day: Day) -> DateTime<Utc> {
        self.cadence.send_on(day, self.zone)
    }

    /// Puts a notice down, once; one with nothing to say, or whose moment is over, is none.
    pub(super) fn put_down(
        &self,
        tx: &mut Tx<'_>,
        about: About,
        warranty: Option<WarrantyId>,
        at: DateTime<Utc>,
    ) -> Result<Option<Planned>, Error> {
        if at < self.now {
            return Ok(None);
        }
        let said = sections::said(tx, self.app, self.shop, &self.to, self.vehicle, &about, self.now)?;
        let Said::Holds(section) = said else { return Ok(None) };
        let (vehicle, customer) = (self.vehicle, self.to.clone());
        let row = NewNotice { about, vehicle, warranty, customer, section, planned_for: at };
        let row = row.row(tx, self.app, self.shop, self.now)?;
        Ok(notices::add(tx, self.shop, &row)?.then(|| Planned { notice: (&row).into(), planned_for: at }))
    }
}

/// A handover that was entered.
pub(crate) struct HandedOver<'a> {
    /// The job.
    pub(crate) job: JobId,
    /// Its vehicle.
    pub(crate) vehicle: VehicleId,
    /// The warranty that was issued.
    pub(crate) warranty: Option<WarrantyId>,
    /// The day of it.
    pub(crate) on: Day,
    /// What is known of its cure.
    pub(crate) care: Option<&'a Care>,
}

/// Plans what follows from a handover: what was done, what to take care of, from when on to wash, and a first look.
pub(crate) fn handed_over(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    done: &HandedOver<'_>,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    super::record(tx, app, shop, done.vehicle, Occasion::Handover(done.job), done.warranty, now)?;
    let Some(writing) = Writing::about(tx, app, shop, done.vehicle, now)? else { return Ok(()) };
    if let Some(care) = done.care {
        let moment = |of: &Option<crate::core::calendar::Moment>| of.map(|moment| moment.0);
        let (first_water, first_wash) = (moment(&care.first_water), moment(&care.first_wash));
        let full_cure = moment(&care.full_cure);
        // Of a job that is entered late, what it says to wait for may be over.
        let over = [first_water, first_wash, full_cure].iter().all(|at| at.is_some_and(|at| at <= now));
        if !over && wants_any(&writing.to) {
            let about = About::Aftercare { job: done.job, first_water, first_wash, full_cure };
            writing.put_down(tx, about, done.warranty, now)?;
        }
        if let Some(safe) = first_wash.filter(|safe| *safe > now && writing.to.mail_upkeep) {
            let (from, at) = first_morning(&writing.cadence, safe, writing.zone);
            writing.put_down(tx, About::WashFrom { job: done.job, from }, done.warranty, at)?;
        }
    }
    if writing.to.mail_upkeep && shops::settings(tx, app, shop)?.first_look {
        let days = i32::try_from(FIRST_LOOK_DAYS).unwrap_or(i32::MAX);
        let at = writing.on(done.on.plus_days(days));
        writing.put_down(tx, About::FirstLook(done.job), done.warranty, at)?;
    }
    Ok(())
}

/// Whether an owner wants any mails at all.
pub(super) const fn wants_any(customer: &CustomerRow) -> bool {
    customer.mail_upkeep || customer.mail_history
}

/// The first of the shop's hours for mail after an instant, and the owner's day of it.
fn first_morning(cadence: &Cadence, safe: DateTime<Utc>, zone: Tz) -> (Day, DateTime<Utc>) {
    let day = local_day(safe, zone);
    let on_the_day = cadence.send_on(day, zone);
    let at = if on_the_day >= safe { on_the_day } else { cadence.send_on(day.plus_days(1), zone) };
    (local_day(at, zone), at)
}

/// Plans the word on a booked day: at once, and a reminder before it.
pub(crate) fn booked(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    row: &AppointmentRow,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    if row.state != AppointmentState::Booked || row.at <= now {
        return Ok(());
    }
    let Some(writing) = Writing::about(tx, app, shop, row.vehicle, now)? else { return Ok(()) };
    let about = |again| About::Booked { appointment: row.id, at: row.at, again };
    writing.put_down(tx, about(false), None, now)?;
    let days = i32::try_from(BOOKED_DAYS).unwrap_or(i32::MAX);
    let before = local_day(row.at, writing.zone).plus_days(-days);
    // What is booked for the day after tomorrow or sooner has just been said.
    let reminder = writing.on(before);
    if reminder > now + TimeDelta::days(1) && reminder < row.at {
        writing.put_down(tx, about(true), None, reminder)?;
    }
    Ok(())
}

/// Plans the word on cover that has changed by what was entered.
pub(crate) fn changed(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    vehicle: VehicleId,
    entered: &Entered,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    let Some(first) = entered.events.first() else { return Ok(()) };
    let known = first.event.recorded - TimeDelta::microseconds(1);
    let mut changes = Vec::new();
    for case in &entered.cases {
        let today = local_day(now, case.row.time_zone).date();
        let before = case.assessment(&case.verdict(today, Some(known)));
        let after = case.assessment(&case.verdict(today, None));
        let sold = entered.events.iter().find(|row| matches!(row.event.happened, Happened::Transfer { .. }));
        let found = match sold {
            Some(sale) => transferred(&before, &after).map(|change| (sale, change)).into_iter().collect(),
            None => {
                // What made it so: the last that was entered and could.
                let cause = entered.events.iter().rfind(|row| {
                    !matches!(row.event.happened, Happened::Reading {} | Happened::Retract { .. })
                });
                let cause = cause.unwrap_or(first);
                differences(&before, &after).into_iter().map(|change| (cause, change)).collect::<Vec<_>>()
            }
        };
        changes.extend(found.into_iter().map(|(row, change)| {
            let because = Because::Event(row.event.id);
            (
                case.row.id,
                About::Changed { warranty: Some(case.row.id), because, on: row.event.on.into(), change },
            )
        }));
    }
    if changes.is_empty() {
        return Ok(());
    }
    let Some(writing) = Writing::about(tx, app, shop, vehicle, now)? else { return Ok(()) };
    for (warranty, about) in changes {
        writing.put_down(tx, about, Some(warranty), now)?;
    }
    Ok(())
}

fn live(assessment: &Assessment) -> BTreeSet<&String> {
    let live = assessment.cover.iter().filter(|(_, cover)| cover.state != State::Ended);
    live.map(|(surface, _)| surface).collect()
}

/// What a sale did to cover that was there before it.
fn transferred(before: &Assessment, after: &Assessment) -> Option<Change> {
    let there = live(before);
    (!there.is_empty()).then(|| Change::Transferred { ends: live(after).is_disjoint(&there) })
}

/// How cover differs between two verdicts of one day. What a missed due does is told by its own notice.
fn differences(before: &Assessment, after: &Assessment) -> Vec<Change> {
    let surface = |name: &String| name.parse::<Surface>().ok();
    let became = |from: &[State], to: State| -> Vec<Surface> {
        let turned = after.cover.iter().filter(|(name, cover)| {
            cover.state == to && before.cover.get(*name).is_some_and(|before| from.contains(&before.state))
        });
        turned.filter_map(|(name, _)| surface(name)).collect()
    };
    let mut changes = Vec::new();
    let surfaces = became(&[State::InForce, State::NotBegun], State::Suspended);
    if !surfaces.is_empty() {
        changes.push(Change::OnHold { surfaces });
    }
    let surfaces = became(&[State::Suspended, State::Ended], State::InForce);
    if !surfaces.is_empty() {
        changes.push(Change::BackInForce { surfaces });
    }
    let surfaces = became(&[State::InForce, State::Suspended, State::NotBegun], State::Ended);
    if !surfaces.is_empty() {
        changes.push(Change::Ended { surfaces });
    }
    let (was_out, is_out) = (panels_out(before), panels_out(after));
    let out = is_out.difference(&was_out).cloned();
    changes.extend(out.map(|(surface, panel)| Change::PanelOut { surface, panel }));
    let back = was_out.difference(&is_out).cloned();
    changes.extend(back.map(|(surface, panel)| Change::PanelBack { surface, panel }));
    changes
}

/// The panels that are out of cover on the day of a verdict.
pub(super) fn panels_out(assessment: &Assessment) -> BTreeSet<(Surface, Panel)> {
    let out = assessment.panels.iter().filter(|out| {
        out.since <= assessment.as_of && out.until.is_none_or(|until| until > assessment.as_of)
    });
    out.filter_map(|out| Some((out.surface.parse().ok()?, out.panel.parse().ok()?))).collect()
}

/// Plans the word on a batch that was recalled, to the owner of each vehicle on which it went.
pub(crate) fn recalled(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    batch: &BatchRow,
    on: Day,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    let product = products::find(tx, shop, &batch.product_code)?.title;
    let mut after: Option<VehicleId> = None;
    loop {
        let found = batches::vehicles(tx, shop, batch, after, 200)?;
        let Some(last) = found.last().copied() else { return Ok(()) };
        after = Some(last);
        for vehicle in found {
            let uses = batches::uses(tx, shop, batch, vehicle)?;
            let panels: BTreeSet<Panel> = uses.into_iter().flat_map(|used| used.panels).collect();
            let Some(writing) = Writing::about(tx, app, shop, vehicle, now)? else { continue };
            let change = Change::Recalled {
                product: product.clone(),
                batch: batch.number.clone(),
                panels: panels.into_iter().collect(),
            };
            let because = Because::Batch(batch.id);
            writing.put_down(tx, About::Changed { warranty: None, because, on, change }, None, now)?;
        }
    }
}
