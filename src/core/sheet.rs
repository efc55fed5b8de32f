//! Product data sheets: data, not code; read with every fault at its place.

use serde_json::Value;

use crate::core::collect::{Members, Place};
use crate::core::error::Fault;
use crate::core::words::{ProductRole, StepKind, Surface};

type Faults = Vec<Fault>;

/// What is known of the product that a sheet belongs to, where the sheet does not say it itself.
#[derive(Debug, Clone, Default)]
pub struct Surrounding {
    /// The product's code.
    pub code: Option<String>,
    /// The product's title.
    pub title: Option<String>,
    /// What it is used as.
    pub role: Option<ProductRole>,
}

/// An edition of a data sheet, free of faults: what the checks of a job ask of it, beside the document itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The product's code.
    pub code: String,
    /// For people.
    pub title: String,
    /// What the product is used as.
    pub role: ProductRole,
    /// What it may go onto.
    pub surfaces: Vec<Surface>,
    /// What it may go onto another coat of, and what must come before.
    pub recoat: Vec<Recoat>,
    /// Cautions of the safety data sheet, in its own words.
    pub cautions: Vec<String>,
}

/// What may lie below a coat, and what must come before it.
#[derive(Debug, Clone, PartialEq)]
pub struct Recoat {
    /// `bare`, `aged`, or the code of a product.
    pub onto: String,
    /// Steps that must come before, by surface.
    pub prep: Vec<(Surface, Vec<StepKind>)>,
}

impl Sheet {
    /// Reads a sheet, or says everything that is wrong with it.
    ///
    /// ```
    /// use lustrum::core::sheet::{Sheet, Surrounding};
    /// let sheet = serde_json::json!({
    ///     "code": "base-30", "title": "Base 30", "role": "coating", "surfaces": ["paint"],
    ///     "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
    ///              "milestones": [{"name": "water-safe", "h": 12}]},
    /// });
    /// assert!(Sheet::read(&sheet, &Surrounding::default()).is_ok());
    /// let faults = Sheet::read(&serde_json::json!({"surfaces": ["paint"]}), &Surrounding::default()).unwrap_err();
    /// assert_eq!(faults.len(), 3); // code, title and role
    /// ```
    pub fn read(value: &Value, surrounding: &Surrounding) -> Result<Self, Vec<Fault>> {
        let faults = &mut Vec::new();
        let Some(mut members) = Place::root(value).members(faults) else {
            return Err(std::mem::take(faults));
        };
        let code = named(&mut members, "code", surrounding.code.clone(), faults);
        let title = named(&mut members, "title", surrounding.title.clone(), faults);
        let role = match members.get("role") {
            Some(place) => word::<ProductRole>(&place, faults),
            None if surrounding.role.is_some() => surrounding.role,
            None => {
                faults.push(Fault::new("/role", "missing", "`role` is needed here"));
                None
            }
        };
        if let Some(place) = members.get("edition") {
            place.whole(1, 1_000_000, faults);
        }
        let surfaces = members
            .need("surfaces", faults)
            .map(|place| words_of::<Surface>(&place, faults))
            .unwrap_or_default();
        if let Some(place) = members.get("apply") {
            apply(&place, faults);
        }
        if let Some(place) = members.get("level") {
            level(&place, faults);
        }
        let recoat = members.get("recoat").map(|place| recoat(&place, &surfaces, faults)).unwrap_or_default();
        let cure_given = if role == Some(ProductRole::Coating) {
            members.need("cure", faults)
        } else {
            members.get("cure")
        };
        if let Some(place) = cure_given {
            cure(&place, role == Some(ProductRole::Coating), faults);
        }
        if let Some(place) = members.get("yield_m2_per_ml") {
            positive(&place, faults);
        }
        if let Some(mut keeps) = members.get("keeps").and_then(|place| place.members(faults)) {
            for name in ["unopened", "opened"] {
                if let Some(place) = keeps.get(name) {
                    place.period(faults);
                }
            }
            keeps.finish(faults);
        }
        let cautions = members.get("cautions").and_then(|place| place.items(faults)).unwrap_or_default();
        let cautions = cautions.iter().filter_map(|place| place.text(faults).map(str::to_owned)).collect();
        members.finish(faults);
        match (code, title, role, faults.is_empty()) {
            (Some(code), Some(title), Some(role), true) => {
                Ok(Self { code, title, role, surfaces, recoat, cautions })
            }
            _ => Err(std::mem::take(faults)),
        }
    }
}

/// A text that the sheet or what surrounds it gives; where both do, they must be the same.
fn named(
    members: &mut Members<'_>,
    name: &'static str,
    around: Option<String>,
    faults: &mut Faults,
) -> Option<String> {
    let Some(place) = members.get(name) else {
        if around.is_none() {
            faults.push(Fault::new(members.at(name), "missing", format!("`{name}` is needed here")));
        }
        return around;
    };
    let text = place.text(faults)?;
    if text.trim().is_empty() {
        faults.push(place.fault("empty", "a text is needed here"));
    }
    if let Some(around) = around.filter(|around| name == "code" && around != text) {
        faults.push(
            place.fault("other_product", format!("the sheet is of {text:?}, the product is {around:?}")),
        );
    }
    Some(text.to_owned())
}

fn word<T: std::str::FromStr<Err = Fault>>(place: &Place<'_>, faults: &mut Faults) -> Option<T> {
    match place.text(faults)?.parse() {
        Ok(word) => Some(word),
        Err(fault) => {
            faults.push(fault.within(&place.pointer));
            None
        }
    }
}

fn words_of<T: std::str::FromStr<Err = Fault>>(place: &Place<'_>, faults: &mut Faults) -> Vec<T> {
    let items = place.items(faults).unwrap_or_default();
    items.iter().filter_map(|item| word(item, faults)).collect()
}

fn not_negative(place: &Place<'_>, faults: &mut Faults) -> Option<f64> {
    let n = place.number(faults)?;
    if n < 0.0 {
        faults.push(place.fault("negative", format!("{n} is below 0")));
        return None;
    }
    Some(n)
}

fn positive(place: &Place<'_>, faults: &mut Faults) -> Option<f64> {
    let n = place.number(faults)?;
    if n <= 0.0 {
        faults.push(place.fault("not_above_zero", format!("{n} is not above 0")));
        return None;
    }
    Some(n)
}

/// Two numbers, the first not above the second.
fn range(place: &Place<'_>, faults: &mut Faults) {
    let Some(items) = place.items(faults) else { return };
    let [low, high] = items.as_slice() else {
        faults.push(place.fault("wrong_length", format!("{} values; a range has two", items.len())));
        return;
    };
    if let (Some(low), Some(high)) = (low.number(faults), high.number(faults))
        && low > high
    {
        faults.push(place.fault("upside_down", format!("{low} lies above {high}")));
    }
}

fn apply(place: &Place<'_>, faults: &mut Faults) {
    let Some(mut members) = place.members(faults) else { return };
    for name in ["air_c", "rh_pct", "surface_c"] {
        if let Some(place) = members.get(name) {
            range(&place, faults);
        }
    }
    if let Some(place) = members.get("over_dew_c") {
        not_negative(&place, faults);
    }
    members.finish(faults);
}

fn level(place: &Place<'_>, faults: &mut Faults) {
    let Some(mut members) = place.members(faults) else { return };
    if let Some(place) = members.get("after_s") {
        seconds(&place, faults);
    }
    if let Some(place) = members.get("table") {
        rising(&place, faults, seconds);
    }
    members.finish(faults);
}

fn seconds(place: &Place<'_>, faults: &mut Faults) {
    for item in place.items(faults).unwrap_or_default() {
        not_negative(&item, faults);
    }
    let before = faults.len();
    range(place, faults);
    // What the numbers lack has been said already.
    faults.truncate(before + usize::from(faults.len() > before));
}

/// A table of pairs whose first numbers rise.
fn rising(place: &Place<'_>, faults: &mut Faults, second: impl Fn(&Place<'_>, &mut Faults)) {
    let rows = place.items(faults).unwrap_or_default();
    if rows.is_empty() && place.value.is_array() {
        faults.push(place.fault("empty", "a table has at least one row"));
    }
    let mut last: Option<f64> = None;
    for row in rows {
        let Some(items) = row.items(faults) else { continue };
        let [key, value] = items.as_slice() else {
            faults.push(row.fault("wrong_length", format!("{} values; a row has two", items.len())));
            continue;
        };
        second(value, faults);
        let Some(key) = key.number(faults) else { continue };
        if last.is_some_and(|last| key <= last) {
            faults.push(row.fault("not_rising", format!("{key} does not lie above the row before")));
        }
        last = Some(key);
    }
}

fn recoat(place: &Place<'_>, surfaces: &[Surface], faults: &mut Faults) -> Vec<Recoat> {
    let mut read = Vec::new();
    for item in place.items(faults).unwrap_or_default() {
        let Some(mut members) = item.members(faults) else { continue };
        let onto = members.need("onto", faults).and_then(|place| place.text(faults));
        for window in members.get("windows").and_then(|place| place.items(faults)).unwrap_or_default() {
            let Some(mut inner) = window.members(faults) else { continue };
            let after = inner.need("after_min", faults).and_then(|place| not_negative(&place, faults));
            let within = inner.get("within_min").and_then(|place| not_negative(&place, faults));
            inner.finish(faults);
            if after.zip(within).is_some_and(|(after, within)| after > within) {
                faults.push(window.fault("upside_down", "after_min lies above within_min"));
            }
        }
        let mut prep = Vec::new();
        if let Some(inner) = members.get("prep").and_then(|place| place.members(faults)) {
            for (name, place) in inner.each() {
                match name.parse::<Surface>() {
                    Ok(surface) if surfaces.contains(&surface) => {
                        prep.push((surface, words_of(&place, faults)))
                    }
                    Ok(_) => faults.push(
                        place
                            .fault("surface_not_listed", format!("{name} is not among the sheet's surfaces")),
                    ),
                    Err(fault) => faults.push(fault.within(&place.pointer)),
                }
            }
        }
        members.finish(faults);
        read.extend(onto.map(|onto| Recoat { onto: onto.to_owned(), prep }));
    }
    read
}

fn cure(place: &Place<'_>, needed: bool, faults: &mut Faults) {
    let Some(mut members) = place.members(faults) else { return };
    let mut find =
        |name, faults: &mut Faults| if needed { members.need(name, faults) } else { members.get(name) };
    if let Some(mut inner) = find("reference", faults).and_then(|place| place.members(faults)) {
        for name in ["c", "rh_pct"] {
            inner.need(name, faults).and_then(|place| place.number(faults));
        }
        inner.finish(faults);
    }
    if let Some(place) = find("temperature", faults) {
        temperature(&place, faults);
    }
    if let Some(place) = find("milestones", faults) {
        milestones(&place, faults);
    }
    for name in ["stops_below_c"] {
        members.get(name).and_then(|place| place.number(faults));
    }
    if let Some(mut inner) = members.get("humidity").and_then(|place| place.members(faults)) {
        if let Some(place) = inner.need("table", faults) {
            rising(&place, faults, |place, faults| {
                not_negative(place, faults);
            });
        }
        inner.finish(faults);
    }
    if let Some(mut inner) = members.get("lamp").and_then(|place| place.members(faults)) {
        inner.need("panel_c", faults).and_then(|place| place.number(faults));
        inner.need("min", faults).and_then(|place| not_negative(&place, faults));
        inner.need("then", faults).and_then(|place| place.text(faults));
        inner.finish(faults);
    }
    members.get("wet_at_once").and_then(|place| place.boolean(faults));
    members.finish(faults);
}

/// One of the three laws of temperature.
fn temperature(place: &Place<'_>, faults: &mut Faults) {
    let Some(mut members) = place.members(faults) else { return };
    let given = [members.get("q10"), members.get("activation_energy_j_mol"), members.get("table")];
    if given.iter().flatten().count() != 1 {
        faults.push(place.fault("one_of", "one of q10, activation_energy_j_mol and table is needed"));
    }
    let [q10, energy, table] = given;
    for place in [q10, energy].into_iter().flatten() {
        positive(&place, faults);
    }
    if let Some(place) = table {
        rising(&place, faults, |place, faults| {
            not_negative(place, faults);
        });
    }
    members.finish(faults);
}

fn milestones(place: &Place<'_>, faults: &mut Faults) {
    let items = place.items(faults).unwrap_or_default();
    if items.is_empty() && place.value.is_array() {
        faults.push(place.fault("empty", "at least one milestone is needed"));
    }
    let mut last: Option<f64> = None;
    for item in items {
        let Some(mut members) = item.members(faults) else { continue };
        members.need("name", faults).and_then(|place| place.text(faults));
        let h = members.need("h", faults).and_then(|place| not_negative(&place, faults));
        if let Some(place) = members.get("latest_days") {
            not_negative(&place, faults);
        }
        members.finish(faults);
        if h.zip(last).is_some_and(|(h, last)| h <= last) {
            faults.push(item.fault("not_rising", "its hours do not lie above those of the milestone before"));
        }
        last = h.or(last);
    }
}
