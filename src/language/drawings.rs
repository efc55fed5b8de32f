//! What pictures say in each language.

use chrono::{NaiveDateTime, NaiveTime};

use super::{Language, figures, said};
use crate::core::assess::State;
use crate::core::calendar::Day;
use crate::core::cure::job::{FULL_CURE, WASH_SAFE, WATER_SAFE};
use crate::core::drawings::{Label, PanelMark, Sentence, Wording};
use crate::core::words::Surface;

impl Wording for Language {
    fn label(&self, label: Label<'_>) -> String {
        let text = match label {
            Label::NoClimate => self.word("drawing-no-climate"),
            Label::Temperature => self.word("drawing-temperature"),
            Label::Humidity => self.word("drawing-humidity"),
            Label::Air => self.word("job-air"),
            Label::Surface => self.word("job-panel-temperature"),
            Label::DewPoint => self.word("drawing-dew-point"),
            Label::CoatIsLaid => self.word("drawing-coat-is-laid"),
            Label::NoCure => self.word("drawing-no-cure"),
            Label::ByCalendar => self.word("drawing-by-calendar"),
            Label::EquivalentHours => self.word("drawing-equivalent-hours"),
            Label::TooCold => self.word("drawing-too-cold"),
            Label::AsRead => self.word("drawing-as-read"),
            Label::AsExpected => self.word("drawing-as-expected"),
            Label::NotReached => self.word("drawing-not-reached"),
            Label::OnHold => self.state_of_cover(State::Suspended, None),
            Label::Window => self.word("drawing-window"),
            Label::Due(status) => self.say("history-due-status", &said!["status" => status.as_str()]),
            Label::Front => self.word("drawing-front"),
            Label::Rear => self.word("drawing-rear"),
            Label::Left => self.word("drawing-left"),
            Label::Right => self.word("drawing-right"),
            Label::Read => self.word("drawing-read"),
            Label::Film => self.surface(&Surface::Film),
            Label::Plastic => self.word("drawing-plastic"),
            Label::LookAtIt => self.word("drawing-look-at-it"),
            Label::NotRead => self.word("drawing-not-read"),
            Label::Panel(panel) => Self::panel(*self, panel),
        };
        self.capital(&text)
    }

    fn sentence(&self, sentence: Sentence<'_>) -> String {
        let at = |local: NaiveDateTime| self.short_moment(local);
        let day = |day: Day| self.short_date(day);
        let figure = |value: f64| self.figure(value);
        match sentence {
            Sentence::Climate { readings, air, humidity } => {
                let said = said!["count" => readings, "coldest" => figure(air.0), "warmest" => figure(air.1),
                                 "driest" => figure(humidity.0), "dampest" => figure(humidity.1)];
                self.say("job-climate-range", &said)
            }
            Sentence::ReadBetween(from, until) => {
                self.say("drawing-read-between", &said!["from" => at(from), "until" => at(until)])
            }
            Sentence::SurfaceBetween(least, most) => {
                let said = said!["least" => figure(least), "most" => figure(most)];
                self.say("drawing-surface-between", &said)
            }
            Sentence::DewPointBetween(least, most) => {
                let said = said!["least" => figure(least), "most" => figure(most)];
                self.say("drawing-dew-point-between", &said)
            }
            Sentence::AboveDewPoint(kelvin) => {
                self.say("drawing-above-dew-point", &said!["kelvin" => figure(kelvin)])
            }
            Sentence::NoSurface => self.word("drawing-no-surface"),
            Sentence::CoatBetween(coat, from, until) => {
                let said = said!["coat" => coat, "from" => at(from), "until" => at(until)];
                self.say("drawing-coat-between", &said)
            }
            Sentence::Applied(coat, applied) => {
                self.say("drawing-applied", &said!["coat" => coat, "at" => at(applied)])
            }
            Sentence::Reached(milestone, hours, reached) => {
                let said = said!["milestone" => self.capital(milestone), "hours" => figure(hours)];
                match reached {
                    Some(reached) => self.say("drawing-reached", &said.with("at", at(reached))),
                    None => self.say("drawing-not-reached-at", &said),
                }
            }
            Sentence::StandsStill(from, until) => {
                self.say("drawing-stands-still", &said!["from" => at(from), "until" => at(until)])
            }
            Sentence::AsOf(of) => format!("{}.", self.say("history-lead", &said!["day" => day(of)])),
            Sentence::Cover { surface, state, from, last_day } => {
                let said = said!["surface" => surface, "state" => state, "from" => day(from),
                                 "until" => day(last_day)];
                self.say("drawing-cover-of", &said)
            }
            Sentence::Hold(surface, since, until) => {
                let said = said!["surface" => surface, "since" => day(since)];
                match until {
                    Some(until) => self.say("drawing-hold", &said.with("until", day(until))),
                    None => self.say("drawing-hold-open", &said),
                }
            }
            Sentence::Due { rule, number, due, closes, status } => {
                let status = self.say("history-due-status", &said!["status" => status.as_str()]);
                let said = said!["due" => format!("{rule} #{number}"), "day" => day(due),
                                 "closes" => day(closes), "status" => status];
                self.say("drawing-due", &said)
            }
            Sentence::Panel { panel, value, mark, notes } => {
                let covered = match mark {
                    PanelMark::Plain => Some(self.word("drawing-not-read")),
                    PanelMark::Film => Some(self.surface(&Surface::Film)),
                    PanelMark::Plastic => Some(self.word("drawing-plastic")),
                    PanelMark::Read | PanelMark::Flagged => None,
                };
                let told: Vec<String> =
                    value.map(figure).into_iter().chain(covered).chain(notes.iter().cloned()).collect();
                let name = self.capital(&self.panel(panel));
                format!("{}.", Self::labelled(*self, &name, &told.join(", ")))
            }
            Sentence::NothingRead => self.word("drawing-nothing-read"),
        }
    }

    fn labelled(&self, label: &str, text: &str) -> String {
        Self::labelled(*self, label, text)
    }

    fn milestone(&self, name: &str) -> String {
        match name {
            WATER_SAFE => self.word("drawing-water-safe"),
            WASH_SAFE => self.word("drawing-wash-safe"),
            FULL_CURE => self.word("drawing-full-cure"),
            other => other.to_owned(),
        }
    }

    fn milestone_at(&self, milestone: &str, hours: f64) -> String {
        self.say("drawing-milestone", &said!["milestone" => milestone, "hours" => self.figure(hours)])
    }

    fn figure(&self, value: f64) -> String {
        let tenths = (value * 10.0).round() / 10.0;
        // No "-0", and a sign as wide as a figure.
        let figure = figures::shortest(*self, if tenths == 0.0 { 0.0 } else { tenths });
        figure.replace('-', "\u{2212}")
    }

    fn short_day(&self, day: Day) -> String {
        Self::short_day(*self, day)
    }

    fn short_date(&self, day: Day) -> String {
        Self::short_date(*self, day)
    }

    fn short_month(&self, day: Day) -> String {
        Self::short_month(*self, day)
    }

    fn short_moment(&self, local: NaiveDateTime) -> String {
        Self::short_moment(*self, local)
    }

    fn time(&self, local: NaiveTime) -> String {
        Self::time(*self, local)
    }
}
