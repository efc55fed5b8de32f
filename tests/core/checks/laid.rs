//! The bottle and how much of it: each check fires on one side of its limit and not at it.

use lustrum::core::words::Severity;

use super::*;

/// Opened on the last of August, six months: until the last of February.
#[test]
fn an_opened_bottle_keeps_as_long_as_its_sheet_says() {
    let used = |opened: Option<(i32, u32, u32)>, keeps: Value| {
        found(|job| {
            job.coats[0].sheet = Some(sheet_with("base-30", json!({"keeps": keeps})));
            let opened_on = opened.and_then(|(year, month, day)| NaiveDate::from_ymd_opt(year, month, day));
            job.coats[0].known = Some(BatchSeen { opened_on, ..usable() });
        })
    };
    let half_a_year = json!({"opened": {"months": 6}});
    // The coat was laid on 9 March 2026.
    assert_eq!(used(Some((2025, 9, 9)), half_a_year.clone()), [], "its last day");
    assert_eq!(used(Some((2025, 9, 8)), half_a_year.clone()), one("bottle_open_too_long", &base()));
    assert_eq!(used(None, half_a_year), [], "nobody said when it was opened");
    assert_eq!(used(Some((2020, 1, 1)), json!({"unopened": {"months": 1}})), [], "the sheet does not say");
}

#[test]
fn the_amount_fits_the_area() {
    let laid = |ml: Option<f64>, area: Option<f64>, goes: Value| {
        let mut job = job();
        job.coats[0].sheet = Some(sheet_with("base-30", json!({"yield_m2_per_ml": goes})));
        (job.coats[0].coat.ml, job.coats[0].coat.area_m2) = (ml, area);
        check(&job)
    };
    // Half a square metre a millilitre: 10 ml for 5 m².
    for fits in [5.0, 10.0, 20.0] {
        assert_eq!(laid(Some(fits), Some(5.0), json!(0.5)), [], "{fits} ml");
    }
    for (off, says) in [(4.99, "little"), (20.01, "much")] {
        let found = laid(Some(off), Some(5.0), json!(0.5));
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].code, found[0].severity), ("amount_off_yield", Severity::Warns));
        assert!(found[0].detail.starts_with(says), "{found:?}");
        assert_eq!(found[0].measured.as_deref(), Some(format!("{off} ml on 5 m²").as_str()));
        assert_eq!(found[0].allowed.as_deref(), Some("5.0 to 20.0 ml"));
    }
    for silent in [
        laid(None, Some(5.0), json!(0.5)),
        laid(Some(99.0), None, json!(0.5)),
        laid(Some(99.0), Some(5.0), json!(null)),
    ] {
        assert_eq!(silent, [], "not known: not judged");
    }
}
