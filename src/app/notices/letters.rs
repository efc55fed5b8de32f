//! What a notice says, from what is known when it is written.

use crate::app::assessments::Case;
use crate::app::{Error, shops::ShopSettings};
use crate::core::assess::{Assessment, DueStatus, State};
use crate::core::calendar::Day;
use crate::core::coats::LaidCoat;
use crate::core::ids::{JobId, VehicleId, VisitId};
use crate::core::notices::{self, DueNotice, Occasion, consequence_of, make_good_until};
use crate::core::reports::BINDS_FOR;
use crate::core::steps::MixedStep;
use crate::core::terms::Consequence;
use crate::core::vehicle_events::{Elsewhere, Happened};
use crate::core::words::{DoneBy, LinkPurpose, Surface};
use crate::db::customers::CustomerRow;
use crate::db::parts::Part as _;
use crate::db::warranties::CoverItem;
use crate::db::{self, Conn, Shop, jobs, products, vehicle_events, vehicles, visits, warranties};
use crate::language::Language;
use crate::mail::said::{
    self, After, CoverText, DoerText, DoneText, DueText, LinkText, MissedText, NextText, RecordText, Section,
    ShopCard,
};

/// How the shop is reached, as it stands in mails.
pub(super) fn shop_card(settings: &ShopSettings) -> ShopCard {
    ShopCard { name: settings.name.clone(), phone: settings.phone.clone(), address: settings.address.clone() }
}

/// The language that an owner is written to in: theirs, else the shop's, else English.
pub(super) fn language_of(customer: &CustomerRow, settings: &ShopSettings) -> Language {
    Language::best([customer.language.as_str(), settings.language.as_str()])
}

/// How owners know a vehicle: make and model, and its plate.
pub(crate) fn vehicle_title(conn: &mut Conn, shop: &Shop, vehicle: VehicleId) -> Result<String, Error> {
    let row = vehicles::find(conn, shop, vehicle)?;
    let name = [row.make, row.model].into_iter().flatten().collect::<Vec<_>>().join(" ");
    let known = [Some(name).filter(|name| !name.is_empty()), row.plate.or(row.vin)];
    Ok(known.into_iter().flatten().collect::<Vec<_>>().join(", "))
}

/// What is said of a due; none when the verdict no longer has it.
pub(super) fn due_section(
    case: &Case,
    assessment: &Assessment,
    vehicle: &str,
    notice: &DueNotice,
) -> Option<Section> {
    let rule = case.terms.upkeep.iter().find(|rule| rule.key == notice.upkeep)?;
    let due =
        assessment.dues.iter().find(|due| due.upkeep == notice.upkeep && due.number == notice.number)?;
    let if_missed = consequence_of(rule, &assessment.dues, due.number)?.clone();
    let meant = |surface: &Surface| {
        rule.surfaces.as_ref().is_none_or(|named| named.iter().any(|name| name == surface.as_str()))
    };
    let text = DueText {
        vehicle: vehicle.to_owned(),
        services: rule.services.clone(),
        by: rule.by,
        opens: due.opens,
        due: due.due,
        closes: due.closes,
        closes_km: due.closes_km,
        surfaces: case.row.cover.iter().map(|item| item.surface).filter(meant).collect(),
        if_missed: if_missed.clone(),
        terms: (case.terms.title.clone(), format!("upkeep.{}", rule.key)),
    };
    Some(match notice.step {
        notices::Step::Upcoming(_) => Section::Upcoming(text),
        notices::Step::LastCall => Section::LastCall(text),
        notices::Step::Missed => {
            let since = due.missed_from?;
            let name = format!("{}#{}", due.upkeep, due.number);
            let mut held = assessment.cover.values().flat_map(|cover| &cover.suspended);
            let on_hold_since = held.find(|time| time.because == name).map(|time| time.since);
            let make_good_until = match if_missed {
                Consequence::Suspend { .. } => {
                    make_good_until(&case.terms, &if_missed, on_hold_since.unwrap_or(since))
                }
                _ => None,
            };
            Section::Missed(MissedText { due: text, since, make_good_until })
        }
    })
}

/// What is said of a link that was asked for.
pub(super) fn link_section(vehicle: &str, purpose: LinkPurpose) -> Section {
    let minutes = u32::try_from(BINDS_FOR.num_minutes()).unwrap_or_default();
    let purpose = match purpose {
        LinkPurpose::Owner | LinkPurpose::Transfer => said::LinkPurpose::Transfer,
    };
    Section::Link(LinkText { vehicle: vehicle.to_owned(), purpose, minutes })
}

/// The titles of the products that a job used, each once.
pub(super) fn products_of(conn: &mut Conn, shop: &Shop, job: JobId) -> Result<Vec<String>, Error> {
    Ok(handed_over(conn, shop, "", job, "")?.products)
}

/// What is said of what was done; `cases` are the vehicle's warranties as of now, `public_url` is where pages are.
pub(super) fn record_section(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: &str,
    occasion: Occasion,
    cases: &[(Case, Assessment)],
    public_url: &str,
) -> Result<Section, Error> {
    let mut text = match occasion {
        Occasion::Handover(job) => handed_over(conn, shop, vehicle, job, public_url)?,
        Occasion::Visit(visit) => visited(conn, shop, vehicle, visit)?,
    };
    let standing = cases
        .iter()
        .filter(|(_, assessment)| assessment.cover.values().any(|cover| cover.state != State::Ended));
    for (case, assessment) in standing {
        text.cover.extend(cover(case, assessment));
        text.next.extend(next(case, assessment));
    }
    if let [(case, _)] = cases {
        text.warranty = Some(case.row.number.to_string());
    }
    Ok(Section::Record(text))
}

fn handed_over(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: &str,
    job: JobId,
    public_url: &str,
) -> Result<RecordText, Error> {
    let row = jobs::find(conn, shop, job)?;
    let on = row.handed_over.map(|(on, _)| on).ok_or(db::Error::NotFound)?;
    let mut titles: Vec<(String, String)> = Vec::new();
    let mut used = |conn: &mut Conn, code: &str| -> Result<String, Error> {
        if let Some((_, title)) = titles.iter().find(|(known, _)| known == code) {
            return Ok(title.clone());
        }
        let title = products::find(conn, shop, code)?.title;
        titles.push((code.to_owned(), title.clone()));
        Ok(title)
    };
    let mut done = Vec::new();
    for step in MixedStep::of_job(conn, shop, job)?.into_iter().map(|row| row.part.step) {
        let product = step.product.as_deref().map(|code| used(conn, code)).transpose()?;
        done.push(DoneText::Step { kind: step.kind, product });
    }
    for coat in LaidCoat::of_job(conn, shop, job)?.into_iter().map(|row| row.part.coat) {
        let product = used(conn, &coat.product)?;
        done.push(DoneText::Coat { product, surface: coat.surface, panels: coat.panels, batch: coat.batch });
    }
    // Said once, however many steps or coats of a kind there were.
    let mut seen = std::collections::BTreeSet::new();
    done.retain(|line| seen.insert(line.clone()));
    let issued = warranties::of_job(conn, shop, job)?.into_iter().rfind(|row| row.voided.is_none());
    Ok(RecordText {
        vehicle: vehicle.to_owned(),
        after: After::Handover,
        on: on.into(),
        done,
        warranty: issued.as_ref().map(|row| row.number.to_string()),
        cover: Vec::new(),
        certificate: issued.is_some(),
        verify: issued.map(|row| format!("{public_url}/verify/{}", row.verify_code)),
        history: None,
        next: Vec::new(),
        products: titles.into_iter().map(|(_, title)| title).collect(),
    })
}

fn visited(conn: &mut Conn, shop: &Shop, vehicle: &str, visit: VisitId) -> Result<RecordText, Error> {
    let row = visits::find(conn, shop, visit)?;
    let events = vehicle_events::of_visit(conn, shop, visit)?;
    let gone: Vec<_> = vehicle_events::of_vehicle(conn, shop, row.vehicle)?
        .iter()
        .filter_map(|event| event.event.happened.retracts())
        .collect();
    let by = match &row.done_by {
        Some(Elsewhere { name: Some(name), .. }) => Some(DoerText::Named(name.clone())),
        Some(Elsewhere { kind: DoneBy::Owner, .. }) => Some(DoerText::Owner),
        _ => None,
    };
    let line = |event: vehicle_events::EventRow| match event.event.happened {
        _ if gone.contains(&event.event.id) => None,
        Happened::Service { service, carried_out, .. } => {
            Some(DoneText::Service { service, by: by.clone(), carried_out })
        }
        _ => None,
    };
    Ok(RecordText {
        vehicle: vehicle.to_owned(),
        after: if row.done_by.is_some() { After::Elsewhere } else { After::Visit },
        on: row.on.into(),
        done: events.into_iter().filter_map(line).collect(),
        warranty: None,
        cover: Vec::new(),
        certificate: false,
        verify: None,
        history: None,
        next: Vec::new(),
        products: Vec::new(),
    })
}

/// Cover that has not ended, surface by surface in the order of the terms.
pub(super) fn cover(case: &Case, assessment: &Assessment) -> Vec<CoverText> {
    let text = |item: &CoverItem| {
        let name = item.surface.to_string();
        let verdict = assessment.cover.get(&name).filter(|cover| cover.state != State::Ended)?;
        Some(CoverText {
            surface: item.surface,
            panels: item.panels.clone(),
            last_day: verdict.last_day,
            up_to_km: item.up_to_km,
            on_hold: verdict.state == State::Suspended,
        })
    };
    case.row.cover.iter().filter_map(text).collect()
}

/// What falls due next by each rule.
pub(super) fn next(case: &Case, assessment: &Assessment) -> Vec<NextText> {
    let text = |rule: &crate::core::terms::Upkeep| {
        let due = assessment.dues.iter().find(|due| {
            due.upkeep == rule.key
                && matches!(due.status, DueStatus::Ahead | DueStatus::Open | DueStatus::Late)
        })?;
        Some(NextText { services: rule.services.clone(), opens: due.opens, due: due.due, closes: due.closes })
    };
    let mut next: Vec<NextText> = case.terms.upkeep.iter().filter_map(text).collect();
    next.sort_by_key(|text: &NextText| -> (Day, Day) { (text.due, text.closes) });
    next
}
