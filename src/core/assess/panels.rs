//! Panels that a repair took out of cover, and what brought them back.

use super::Verdict;
use crate::core::calendar::Day;
use crate::core::facts::{Event, Facts, NONE};
use crate::core::terms::{Rules, bit};
use crate::core::words::EventKind;

/// A panel out of cover.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PanelOut {
    /// The surface's place in the terms.
    pub surface: usize,
    /// The panel's place among the panels that the facts name.
    pub panel: usize,
    /// First day out of cover.
    pub since: Day,
    /// First day back in cover; none: it is out.
    pub until: Option<Day>,
    /// The place of the repair.
    pub because: usize,
    /// The place of the recoat.
    pub restored_by: Option<usize>,
}

/// Works out one line a repair, in order of events.
pub(super) fn work_out(rules: &Rules, facts: &Facts, verdict: &mut Verdict) {
    verdict.panels.clear();
    let since_start = |i: &&usize| facts.events[**i].on >= facts.start;
    let events = || verdict.view.others.iter().filter(since_start);
    for &i in events() {
        let repair = &facts.events[i];
        let covered = repair.name != NONE && facts.surfaces & bit(usize::from(repair.name)) != 0;
        if repair.kind != EventKind::Repair || !covered {
            continue;
        }
        let same = |event: &Event| event.name == repair.name && event.panel == repair.panel;
        let in_time = |recoat: &Event| {
            rules.recoat_within.is_none_or(|within| {
                // A later repair of the same panel gives the time anew, for this one too.
                events().map(|i| &facts.events[*i]).any(|again| {
                    again.kind == EventKind::Repair
                        && same(again)
                        && (repair.on..=recoat.on).contains(&again.on)
                        && recoat.on <= rules.working_days.roll(within.after(again.on))
                })
            })
        };
        let restores = |event: &Event| {
            event.kind == EventKind::Recoat && same(event) && event.on >= repair.on && in_time(event)
        };
        let restored_by =
            if rules.restores { events().copied().find(|i| restores(&facts.events[*i])) } else { None };
        verdict.panels.push(PanelOut {
            surface: usize::from(repair.name),
            panel: usize::from(repair.panel),
            since: repair.on,
            until: restored_by.map(|i| facts.events[i].on),
            because: i,
            restored_by,
        });
    }
}
