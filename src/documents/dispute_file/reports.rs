//! What owners told by their link, and people at the vehicle by its label; and what the desk made of it.

use chrono::NaiveDateTime;

use super::settled;
use crate::core::reports::{Booking, DoorRepair, DoorWash, ReportedProblem, Sold, Told};
use crate::documents::odometer_at;
use crate::documents::paper::Paper;
use crate::documents::photos::{Photograph, photos};
use crate::language::{Language, said};

/// A report. All times are local.
#[derive(Debug, Clone)]
pub struct ReportOnPaper {
    /// What was told.
    pub told: Told,
    /// When.
    pub at: NaiveDateTime,
    /// By whom; none: it was noted at the vehicle.
    pub by: Option<String>,
    /// Photos that came with it.
    pub photos: Vec<Photograph>,
    /// The place of its record.
    pub seq: i64,
    /// When and by whom the desk settled it; none: it has not.
    pub settled: Option<(NaiveDateTime, String)>,
}

/// Tells of the reports, oldest first.
pub(super) fn tell(paper: &mut Paper, reports: &[ReportOnPaper]) {
    let language = paper.language;
    paper.section(language.word("dispute-reports"));
    if reports.is_empty() {
        return paper.text(language.word("history-happened-none"));
    }
    for one in reports {
        let kind = language.say("dispute-report-kind", &said!["kind" => kind(&one.told)]);
        paper.part(kind.clone());
        let by = one.by.clone().unwrap_or_else(|| language.word("dispute-report-at-vehicle"));
        let told = said!["at" => language.moment(one.at), "by" => by];
        let mut pairs =
            vec![(language.word("dispute-report-told"), language.say("job-signed-off-by", &told))];
        pairs.extend(details(language, &one.told));
        pairs.push((language.word("dispute-report-desk"), settled(language, one.settled.as_ref())));
        pairs.push((language.word("paper-record"), one.seq.to_string()));
        paper.facts(pairs);
        photos(paper, &one.photos, |shows| language.labelled(&kind, shows));
    }
}

const fn kind(told: &Told) -> &'static str {
    match told {
        Told::Booking(_) => "booking",
        Told::Problem(_) => "problem",
        Told::Sold(_) => "sold",
        Told::DoorWash(_) => "door_wash",
        Told::DoorRepair(_) => "door_repair",
    }
}

fn details(language: Language, told: &Told) -> Vec<(String, String)> {
    let pair = |id: &str, text: Option<String>| Some((language.word(id), text?));
    let pairs = match told {
        Told::Problem(ReportedProblem { text }) => vec![pair("dispute-report-words", Some(text.clone()))],
        Told::Booking(Booking { days, services, text }) => {
            let days: Vec<String> = days.iter().map(|day| language.date(*day)).collect();
            let services: Vec<String> =
                services.iter().map(|service| language.capital(&language.service(service))).collect();
            let some = |all: Vec<String>| (!all.is_empty()).then(|| all.join(", "));
            vec![
                pair("history-day", some(days)),
                pair("history-what", some(services)),
                pair("dispute-report-words", text.clone()),
            ]
        }
        Told::Sold(Sold { on, buyer, buyer_email }) => vec![
            pair("history-day", Some(language.date(*on))),
            pair("dispute-report-buyer", buyer.clone()),
            pair("paper-email", buyer_email.clone()),
        ],
        Told::DoorWash(DoorWash { on, odometer, text }) => vec![
            pair("history-day", Some(language.date(*on))),
            pair("paper-odometer", odometer.map(|read| odometer_at(language, read.value, read.unit))),
            pair("dispute-report-words", text.clone()),
        ],
        Told::DoorRepair(DoorRepair { on, surface, panel, text }) => vec![
            pair("history-day", Some(language.date(*on))),
            pair(
                "job-panel",
                Some(language.capital(&format!("{} ({})", language.panel(panel), language.surface(surface)))),
            ),
            pair("dispute-report-words", text.clone()),
        ],
    };
    pairs.into_iter().flatten().collect()
}
