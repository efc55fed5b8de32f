//! Photos of visits: what was seen of a service.

use chrono::{NaiveDate, NaiveDateTime};

use super::entry;
use crate::documents::paper::Paper;
use crate::documents::photos::{Photograph, photos};
use crate::language::said;

/// A visit of which there are photos. All times are local.
#[derive(Debug, Clone)]
pub struct VisitOnPaper {
    /// The day.
    pub on: NaiveDate,
    /// Which services were done, in the words of the terms.
    pub services: Vec<String>,
    /// When and by whom it was entered; nobody: by the owner.
    pub entered: (NaiveDateTime, Option<String>),
    /// Photos.
    pub photos: Vec<Photograph>,
}

/// Tells of the photos, visit by visit.
pub(super) fn tell(paper: &mut Paper, visits: &[VisitOnPaper]) {
    let language = paper.language;
    for one in visits {
        let day = language.date(one.on.into());
        paper.part(language.say("dispute-visit-photos", &said!["day" => &day]));
        let services: Vec<String> =
            one.services.iter().map(|service| language.capital(&language.service(service))).collect();
        let (at, by) = &one.entered;
        let by = by.clone().unwrap_or_else(|| language.word("history-by-owner"));
        paper.facts(vec![
            (language.word("history-what"), services.join(", ")),
            (language.word("dispute-entered"), entry(language, &(*at, by))),
        ]);
        let alt =
            |shows: &str| language.say("dispute-visit-photo-alt", &said!["day" => &day, "shows" => shows]);
        photos(paper, &one.photos, alt);
    }
}
