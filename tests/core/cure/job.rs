//! The clocks of a whole job, and whether its vehicle may leave. Coats, panels and climates are invented.

use lustrum::core::calendar::Moment;
use lustrum::core::checks::{BatchSeen, CoatSeen, JobSeen, check};
use lustrum::core::climate::ClimateReading;
use lustrum::core::coats::Coat;
use lustrum::core::cure::job::{FULL_CURE, JobClocks, WASH_SAFE, WATER_SAFE};
use lustrum::core::cure::leave::{CoverProduct, HelpKind, Leave, leave};
use lustrum::core::ids::CoatId;
use lustrum::core::sheet::Sheet;
use lustrum::core::stages::{PlannedStage, Weather};
use lustrum::core::words::{BatchState, Finish, Panel, ProductRole, Surface};
use uuid::Uuid;

use super::*;

fn panels(names: &str) -> Vec<Panel> {
    names.split_whitespace().map(|name| name.parse().unwrap()).collect()
}

fn sheet_of(code: &str, cure: Value) -> Sheet {
    let document =
        json!({"code": code, "title": code, "role": "coating", "surfaces": ["paint"], "cure": cure});
    Sheet::read(&document).unwrap()
}

/// A coat that is laid at once, so many hours after the first.
fn coat(n: u128, product: &str, on: &str, hours: f64, cure: Option<Value>) -> CoatSeen {
    CoatSeen {
        id: CoatId::new(Uuid::from_u128(n)),
        coat: Coat {
            surface: Surface::Paint,
            panels: panels(on),
            product: product.to_owned(),
            batch: "B-1".to_owned(),
            started_at: Moment(at(hours)),
            ended_at: Moment(at(hours)),
            ml: None,
            area_m2: None,
            by: None,
            sections: Vec::new(),
        },
        known: Some(BatchSeen { state: BatchState::Usable, expires_on: None, opened_on: None }),
        role: if cure.is_some() { ProductRole::Coating } else { ProductRole::WeatherTopper },
        sheet: cure.map(|cure| sheet_of(product, cure)),
    }
}

fn job(coats: Vec<CoatSeen>, readings: &[(f64, f64, f64, &str)]) -> JobSeen {
    let reading = |(hours, c, rh_pct, place): &(f64, f64, f64, &str)| ClimateReading {
        at: Moment(at(*hours)),
        air_c: *c,
        rh_pct: *rh_pct,
        surface_c: None,
        place: Some((*place).to_owned()),
    };
    JobSeen {
        zone: chrono_tz::Europe::Oslo,
        started_at: None,
        panels: [].into(),
        excluded: Vec::new(),
        aged: Vec::new(),
        finish: Finish::ClearCoat,
        finishes: [].into(),
        climate: readings.iter().map(reading).collect(),
        stages: Vec::new(),
        steps: Vec::new(),
        coats,
        build: Vec::new(),
    }
}

fn stage(from: f64, until: f64, c: f64, on: Option<&str>) -> PlannedStage {
    let (from, until) = (Moment(at(from)), Moment(at(until)));
    PlannedStage { from, until, c, rh_pct: 50.0, panels: on.map(panels), weather: None }
}

/// A base coat on bonnet and roof, a top coat two hours later on the bonnet; the bay reads 20 °C.
fn two_coats() -> JobSeen {
    let coats = vec![
        coat(1, "base-30", "bonnet roof", 0.0, Some(base_30())),
        coat(2, "top-10", "bonnet", 2.0, Some(base_30())),
    ];
    job(coats, &[(0.0, 20.0, 50.0, "bay")])
}

fn storm() -> CoverProduct {
    CoverProduct { product: "storm-1".to_owned(), surfaces: None }
}

fn may_leave(job: &JobSeen, stages: &[PlannedStage], hours: f64) -> Leave {
    leave(job, stages, at(hours), &[storm()]).unwrap()
}

#[test]
fn each_coat_has_a_clock_on_each_panel_and_the_latest_counts() {
    let job = two_coats();
    let clocks = JobClocks::new(&job, &[]).unwrap();
    let of = |panel: Option<&str>| {
        let panel = panel.map(|name| name.parse().unwrap());
        clocks.milestone(WATER_SAFE, panel.as_ref())
    };
    assert_eq!(of(Some("roof")), Some(Some(at(12.0))));
    assert_eq!(of(Some("bonnet")), Some(Some(at(14.0))), "of two coats the later one");
    assert_eq!(of(None), Some(Some(at(14.0))), "of two panels the later one");
    assert_eq!(of(Some("boot")), None);
    assert_eq!(clocks.names(), ["dry to touch", WATER_SAFE, WASH_SAFE, FULL_CURE]);
    let hours = |after: f64| clocks.coats[1].panels[0].hours_at(at(after)).get();
    assert!(close(hours(3.0), 1.0, 1e-12));
    assert!(close(hours(1.0), 0.0, 0.0), "not laid yet");
}

/// The names of one sheet come between those of the other where it has them there.
#[test]
fn milestones_of_several_sheets_keep_their_order() {
    let milestones = |names: &[&str]| {
        let each = names.iter().zip(1..).map(|(name, h)| json!({"name": name, "h": h}));
        json!({"reference": {"c": 20}, "temperature": {"q10": 2}, "milestones": each.collect::<Vec<_>>()})
    };
    let coats = vec![
        coat(1, "one", "bonnet", 0.0, Some(milestones(&["a", "c"]))),
        coat(2, "other", "bonnet", 0.0, Some(milestones(&["a", "b", "c", "d"]))),
    ];
    let job = job(coats, &[]);
    assert_eq!(JobClocks::new(&job, &[]).unwrap().names(), ["a", "b", "c", "d"]);
}

/// The bay overnight, a lamp on two panels, parked outside at −4 °C from the ninth hour on.
#[test]
fn stages_move_the_clocks_of_the_panels_that_they_are_on() {
    let coats = vec![coat(1, "base-30", "bonnet roof boot", 0.0, Some(base_30()))];
    let job = job(coats, &[(0.0, 20.0, 50.0, "bay")]);
    let outside = stage(9.0, 33.0, -4.0, None);
    let lamp = stage(1.0, 1.25, 60.0, Some("bonnet roof"));
    let of = |stages: &[PlannedStage], name: &str, panel: &str| {
        let clocks = JobClocks::new(&job, stages).unwrap();
        clocks.milestone(name, Some(&panel.parse().unwrap())).unwrap()
    };
    let plan = [outside, lamp];
    assert_eq!(of(&plan, WATER_SAFE, "bonnet"), Some(at(1.25)));
    assert_eq!(of(&plan, WATER_SAFE, "boot"), None, "nine hours are not twelve, and outside it stands still");
    assert_eq!(of(&plan, WASH_SAFE, "boot"), Some(at(30.0 * 24.0)), "the calendar closes it");
    assert_eq!(of(&plan, FULL_CURE, "boot"), None);
    let clocks = JobClocks::new(&job, &plan).unwrap();
    assert_eq!(
        clocks.milestone(WATER_SAFE, None),
        Some(None),
        "one panel without an end has the vehicle wait"
    );
    // What is read outside is the weather, not the climate at the panel.
    let mut warm = job.clone();
    warm.climate.extend(super::job::job(Vec::new(), &[(1.0, 40.0, 50.0, "outside")]).climate);
    let of_both = |job: &JobSeen| JobClocks::new(job, &[]).unwrap().milestone(WATER_SAFE, None);
    assert_eq!(of_both(&warm), of_both(&job));
}

#[test]
fn without_any_climate_only_the_calendar_counts() {
    let coats = vec![coat(1, "base-30", "bonnet", 0.0, Some(base_30()))];
    let unread = job(coats, &[]);
    let clocks = JobClocks::new(&unread, &[]).unwrap();
    assert_eq!(clocks.milestone(WATER_SAFE, None), Some(None));
    assert_eq!(clocks.milestone(WASH_SAFE, None), Some(Some(at(30.0 * 24.0))));
    assert!(close(clocks.coats[0].panels[0].hours_at(at(500.0)).get(), 0.0, 0.0));
    // A lamp on another panel says nothing of this one.
    let elsewhere = JobClocks::new(&unread, &[stage(1.0, 2.0, 60.0, Some("roof"))]).unwrap();
    assert_eq!(elsewhere.milestone(WATER_SAFE, None), Some(None));
}

#[test]
fn a_vehicle_leaves_when_its_last_panel_is_safe_from_water() {
    let job = two_coats();
    let early = may_leave(&job, &[], 13.999);
    assert!(!early.may);
    assert_eq!(early.because.len(), 1, "the roof is safe: {early:#?}");
    let because = &early.because[0];
    assert_eq!((because.panels.clone(), because.product.as_str()), (panels("bonnet"), "top-10"));
    assert_eq!(because.from, Some(Moment(at(14.0))));
    assert_eq!(because.text, "top-10 is not water-safe before 2026-01-10 23:00, an estimate");
    let late = may_leave(&job, &[], 14.0);
    assert!(late.may && late.helps.is_empty());
    assert_eq!(late.because.len(), 2, "both products by which it may");
    // With nothing on it that could be wetted too early it may always.
    assert!(may_leave(&super::job::job(Vec::new(), &[]), &[], 0.0).may);
    let mut inside = two_coats();
    inside.coats.iter_mut().for_each(|seen| seen.coat.surface = Surface::Leather);
    assert!(may_leave(&inside, &[], 0.0).may, "it does not rain in the cabin");
}

#[test]
fn a_topper_covers_only_its_panels_and_what_lies_below() {
    let with = |on: &str, hours: f64| {
        let mut job = two_coats();
        job.coats.push(coat(3, "storm-1", on, hours, None));
        job
    };
    let covered = may_leave(&with("bonnet roof", 3.0), &[], 3.0);
    assert!(covered.may, "{covered:#?}");
    assert_eq!(covered.because[0].text, "storm-1 over it takes water since 2026-01-10 12:00");
    let half = may_leave(&with("bonnet", 3.0), &[], 3.0);
    assert!(!half.may);
    assert_eq!((half.because.len(), half.because[0].panels.clone()), (1, panels("roof")));
    // Under the top coat it covers the base coat, and not what came over it.
    let under = may_leave(&with("bonnet roof", 1.0), &[], 3.0);
    assert_eq!((under.because.len(), under.because[0].product.as_str()), (1, "top-10"));
    // A sheet can say of any coat that it takes water at once; one that says how it cures has to.
    let mut own = with("bonnet roof", 3.0);
    let cure = |wet: bool| {
        json!({"reference": {"c": 20}, "temperature": {"q10": 2}, "wet_at_once": wet,
               "milestones": [{"name": "water-safe", "h": 1}]})
    };
    own.coats[2].sheet = Some(sheet_of("storm-1", cure(true)));
    assert!(may_leave(&own, &[], 3.0).may);
    own.coats[2].sheet = Some(sheet_of("storm-1", cure(false)));
    assert!(!may_leave(&own, &[], 3.0).may);
    own.coats[2].role = ProductRole::Coating;
    own.coats[2].sheet = Some(sheet_of("storm-1", cure(true)));
    assert!(may_leave(&own, &[], 3.0).may);
}

#[test]
fn a_coating_that_does_not_say_when_it_takes_water_waits() {
    let cure = json!({"reference": {"c": 20}, "temperature": {"q10": 2}, "milestones": [{"name": "dry to touch", "h": 1}]});
    let job = job(vec![coat(1, "base-30", "bonnet", 0.0, Some(cure))], &[(0.0, 20.0, 50.0, "bay")]);
    let asked = may_leave(&job, &[], 999.0);
    assert!(!asked.may);
    assert_eq!(asked.because[0].text, "the data sheet of base-30 does not say when it may meet water");
    let kinds: Vec<HelpKind> = asked.helps.iter().map(|help| help.kind).collect();
    assert_eq!(kinds, [HelpKind::Cover], "no wait and no lamp would do");
}

#[test]
fn what_would_help_is_told_with_its_hours() {
    let job = {
        let mut job = two_coats();
        job.climate.extend(super::job::job(Vec::new(), &[(4.0, -4.0, 80.0, "outside")]).climate);
        job
    };
    // From the fourth hour on it stands outside.
    let outside = [stage(4.0, 200.0, -4.0, None)];
    let asked = may_leave(&job, &outside, 4.0);
    let kinds: Vec<HelpKind> = asked.helps.iter().map(|help| help.kind).collect();
    assert_eq!(kinds, [HelpKind::Bay, HelpKind::Lamp, HelpKind::Cover]);
    let [bay, lamp, cover] = asked.helps.as_slice() else { panic!("{asked:#?}") };
    assert_eq!((bay.hours, bay.at), (10.0, Moment(at(14.0))));
    // tests/core/humidity.rs: −4 °C at 80 % are about 16 % at 20 °C.
    assert!(
        bay.text.starts_with("10 h in the bay at 20 °C and 50 %") && bay.text.contains("has 16 % there"),
        "{}",
        bay.text
    );
    assert_eq!((lamp.hours, lamp.stages.last().unwrap().c), (0.25, 60.0));
    assert_eq!(lamp.stages.last().unwrap().panels, Some(panels("bonnet roof")));
    assert_eq!((cover.hours, cover.products.as_slice()), (0.0, &["storm-1".to_owned()][..]));
    // A topper that is not for paint is no help.
    let glass = CoverProduct { product: "storm-2".to_owned(), surfaces: Some(vec![Surface::Glass]) };
    let without = leave(&job, &outside, at(4.0), &[glass]).unwrap();
    assert!(without.helps.iter().all(|help| help.kind != HelpKind::Cover));
}

#[test]
fn rain_before_it_is_safe_is_told() {
    let job = |weather: Option<Weather>, from: f64, on: Option<&str>| {
        let mut job = two_coats();
        let mut stage = stage(from, from + 1.0, 20.0, on);
        stage.weather = weather;
        job.stages = vec![stage];
        job
    };
    let found = |job: &JobSeen| -> Vec<String> {
        let found = check(job).unwrap();
        found.into_iter().filter(|one| one.code == "wet_before_safe").filter_map(|one| one.measured).collect()
    };
    for wet in [Weather::Rain, Weather::Snow] {
        assert_eq!(found(&job(Some(wet), 14.0, None)), [""; 0], "{wet}: safe by then");
        let early = found(&job(Some(wet), 13.999, None));
        let said = format!("{wet} from 2026-01-10 22:59: bonnet (top-10 from 2026-01-10 23:00)");
        assert_eq!(early, [said]);
    }
    assert_eq!(found(&job(Some(Weather::Dry), 1.0, None)), [""; 0]);
    assert_eq!(found(&job(None, 1.0, None)), [""; 0], "nobody said");
    assert_eq!(found(&job(Some(Weather::Rain), 13.0, Some("roof"))), [""; 0], "on the roof it is safe");
    let mut covered = job(Some(Weather::Rain), 4.0, None);
    covered.coats.push(coat(3, "storm-1", "bonnet roof", 3.0, None));
    assert_eq!(found(&covered), [""; 0]);
    covered.coats[2].coat.panels = panels("bonnet");
    assert_eq!(found(&covered).len(), 1);
}

prop_compose! {
    /// Some coats on some panels, with a law and hours of their own.
    fn coats()(each in proptest::collection::vec((0_usize..3, 0.0..10.0, 1.0..30.0, law(), any::<bool>(), any::<bool>()), 1..4)) -> Vec<CoatSeen> {
        let on = ["bonnet", "roof", "bonnet roof"];
        let coat = |(n, (place, hours, h, law, lamp, safe)): (usize, (usize, f64, f64, Value, bool, bool))| {
            let name = if safe { WATER_SAFE } else { "wash-safe" };
            let mut cure = json!({"reference": {"c": 20, "rh_pct": 50}, "temperature": law, "stops_below_c": 5,
                                  "humidity": {"table": [[20, 0.5], [80, 1.25]]}, "milestones": [{"name": name, "h": h}]});
            if lamp {
                cure["lamp"] = json!({"panel_c": 55, "min": 20, "then": name});
            }
            coat(n as u128, &format!("coat-{n}"), on[place], hours, Some(cure))
        };
        each.into_iter().enumerate().map(coat).collect()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Whoever does what a help says may leave.
    #[test]
    fn every_help_helps(
        coats in coats(), read in history(), asked in 0.0..80.0, plan in proptest::collection::vec((0.0..60.0, 0.1..20.0, -10.0..65.0, 0_usize..3), 0..4),
    ) {
        let readings: Vec<(f64, f64, f64, &str)> = read.iter().map(|(h, c, rh)| (*h, *c, *rh, "bay")).collect();
        let job = job(coats, &readings);
        let on = [None, Some("bonnet"), Some("roof")];
        let plan: Vec<PlannedStage> = plan.iter().map(|(from, lasts, c, place)| stage(*from, from + lasts, *c, on[*place])).collect();
        let told = may_leave(&job, &plan, asked);
        prop_assert!(!told.may || told.helps.is_empty());
        for help in told.helps {
            let mut done = job.clone();
            if help.kind == HelpKind::Cover {
                for on in &help.on {
                    let names: Vec<String> = on.panels.iter().map(ToString::to_string).collect();
                    let mut cover = coat(99, &help.products[0], &names.join(" "), 0.0, None);
                    (cover.coat.started_at, cover.coat.ended_at) = (help.at, help.at);
                    done.coats.push(cover);
                }
            }
            let then = leave(&done, &help.stages, help.at.0, &[]).unwrap();
            prop_assert!(then.may, "{:?} did not: {then:#?}", help.kind);
        }
    }
}
