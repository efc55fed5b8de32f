//! What was seen and measured, against what terms ask and what was measured before.

use std::collections::BTreeMap;

use super::{
    Asked, Figure, InspectedPanel, Inspection, InspectionOutcome, Measured, Past, Remedy, Values, Water,
    thousandth,
};
use crate::core::colour::Lab;
use crate::core::figures::{Standing, gloss_angle, judge};
use crate::core::terms::Limit;
use crate::core::words::Panel;

/// What an inspection says: water after decontamination and figures against limits.
///
/// By common practice flat water on a clean panel is a finding and slow water calls for advice; of a panel that was only
/// seen as it arrived nothing is said but that it is to be looked at again when clean. A figure out of its limit is a
/// finding, but gloss advises: a fall of it mostly means marring (ISO 2813 says at which angle it is read). `figures`
/// are those of each panel, whichever way they were entered; `past` what was measured before, in order of time.
///
/// ```
/// use lustrum::core::inspections::{Asked, InspectedPanel, InspectionOutcome, Remedy, judged};
/// use serde_json::{from_value, json};
/// let seen = |arrived: &str, clean: &str| -> InspectedPanel {
///     from_value(json!({"panel": "bonnet", "as_arrived": arrived, "decontaminated": clean})).unwrap()
/// };
/// let says = |panel| judged(vec![panel], &Default::default(), &[], &[]);
/// assert_eq!(says(seen("flat", "beading")).outcome, InspectionOutcome::InOrder);
/// assert_eq!(says(seen("flat", "flat")).remedy, Some(Remedy::RecoatPanel));
/// ```
pub fn judged(
    panels: Vec<InspectedPanel>,
    figures: &BTreeMap<Panel, Values>,
    asked: &[Asked<'_>],
    past: &[Past],
) -> Inspection {
    let mut outcome = InspectionOutcome::InOrder;
    let mut remedy = None;
    let mut because = Vec::new();
    let mut comes_to =
        |what: InspectionOutcome, then: Option<Remedy>, why: String, because: &mut Vec<String>| {
            outcome = outcome.max(what);
            remedy = remedy.max(then);
            because.push(why);
        };
    for one in &panels {
        let panel = &one.panel;
        match (one.decontaminated, one.as_arrived) {
            (Some(Water::Flat), _) => {
                let why = format!("{panel}: water lies flat after decontamination");
                comes_to(InspectionOutcome::Finding, Some(Remedy::RecoatPanel), why, &mut because);
            }
            (Some(Water::Slow), _) => {
                let why =
                    format!("{panel}: water runs off slowly after decontamination: a topper restores it");
                comes_to(InspectionOutcome::InOrderWithAdvice, None, why, &mut because);
            }
            (None, Some(Water::Slow | Water::Flat)) => {
                let why = format!(
                    "{panel}: seen only as it arrived, which speaks mostly of dirt: look again when clean"
                );
                comes_to(InspectionOutcome::InOrderWithAdvice, None, why, &mut because);
            }
            _ => {}
        }
        if let Some(gloss) = one.gloss_gu.filter(|_| one.gloss_at() == 60)
            && gloss_angle(gloss) != 60
        {
            let why = format!(
                "{panel}: {gloss} gloss units at 60°: ISO 2813 reads such a surface at {}°",
                gloss_angle(gloss)
            );
            comes_to(InspectionOutcome::InOrder, None, why, &mut because);
        }
    }
    let measured = measured(&panels, figures, asked, past);
    for line in measured.iter().filter(|line| line.standing != Standing::Within) {
        let Measured { panel, figure, value, .. } = line;
        let allowed = line.allowed.as_deref().unwrap_or_default();
        let (what, then, why) = match (line.standing, figure) {
            (Standing::NoBaseline, _) => (
                InspectionOutcome::InOrder,
                None,
                format!("{panel}: {figure} {value}: there is no first figure to compare it with"),
            ),
            (_, Figure::Gloss) => {
                let why =
                    format!("{panel}: {figure} {value}, allowed is {allowed}: mostly the sign of marring");
                (InspectionOutcome::InOrderWithAdvice, None, why)
            }
            _ => {
                let why = format!("{panel}: {figure} {value}, allowed is {allowed}");
                (InspectionOutcome::Finding, Some(Remedy::DecontaminateAndTopUp), why)
            }
        };
        comes_to(what, then, why, &mut because);
    }
    because.dedup();
    Inspection { panels, measured, worked_out: outcome, because, outcome, remedy, overruled: None }
}

/// Each figure against each limit; where no terms limit it, against the panel's first one alone.
fn measured(
    panels: &[InspectedPanel],
    figures: &BTreeMap<Panel, Values>,
    asked: &[Asked<'_>],
    past: &[Past],
) -> Vec<Measured> {
    let mut lines = Vec::new();
    let seen = |panel: &Panel| panels.iter().find(|one| one.panel == *panel);
    let with_colour = panels.iter().filter(|one| one.lab.is_some()).map(|one| &one.panel);
    let mut named: Vec<&Panel> = figures.keys().chain(with_colour).collect();
    named.sort_unstable();
    named.dedup();
    for panel in named {
        for figure in Figure::ALL {
            let limits = asked.iter().filter_map(|asked| Some((asked, Some(asked.limit(panel, *figure)?))));
            let mut limits: Vec<(&Asked<'_>, Option<&Limit>)> = limits.collect();
            if limits.is_empty() {
                limits.extend(asked.iter().find(|asked| asked.warranty.is_none()).map(|asked| (asked, None)));
            }
            let given = figures.get(panel).and_then(|values| values.get(figure.as_str())).copied();
            for (asked, limit) in limits {
                lines.extend(line(panel, *figure, given, seen(panel), (asked, limit), past));
            }
        }
    }
    lines
}

/// One figure of a panel against one limit; none where it was not measured.
fn line(
    panel: &Panel,
    figure: Figure,
    given: Option<f64>,
    seen: Option<&InspectedPanel>,
    (asked, limit): (&Asked<'_>, Option<&Limit>),
    past: &[Past],
) -> Option<Measured> {
    let gloss_at = seen.map_or(60, InspectedPanel::gloss_at);
    let mut comparable = past.iter().filter(|one| {
        one.panel == *panel
            && asked.since.is_none_or(|since| one.on >= since)
            && (figure != Figure::Gloss || one.gloss_at_deg == gloss_at)
    });
    let colour = |[l, a, b]: [f64; 3]| Lab::new(l, a, b).ok();
    let value = match (figure, given, seen.and_then(|one| one.lab)) {
        (Figure::Colour, None, Some(lab)) => {
            let first = comparable.clone().find_map(|one| one.lab)?;
            thousandth(colour(first)?.difference(&colour(lab)?))
        }
        (_, given, _) => given?,
    };
    let interval = seen.filter(|_| figure == Figure::ContactAngle).and_then(InspectedPanel::contact_angle);
    let ends = interval.and_then(|angle| angle.ends);
    let baseline = comparable.find_map(|one| one.figures.get(figure.as_str()).copied());
    Some(Measured {
        panel: panel.clone(),
        figure,
        value,
        low: ends.map(|(low, _)| low),
        high: ends.map(|(_, high)| high),
        baseline,
        warranty: asked.warranty,
        allowed: limit.map(allowed),
        standing: limit.map_or(Standing::Within, |limit| judge(value, baseline, limit)),
    })
}

/// A limit in words.
fn allowed(limit: &Limit) -> String {
    let min = limit.min.map(|min| format!("{min} or more"));
    let max = limit.max.map(|max| format!("{max} or less"));
    let share = limit.min_pct_of_baseline.map(|percent| format!("{percent} % or more of the first figure"));
    [min, max, share].into_iter().flatten().collect::<Vec<_>>().join(", ")
}
