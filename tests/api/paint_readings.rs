//! Paint readings of a job, and what they say panel by panel.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    what_polishing_took_off_is_worked_out_panel_by_panel,
    film_and_plastic_have_no_paint_to_judge,
    what_was_removed_adds_up_over_the_jobs_of_a_vehicle,
    the_shop_sets_its_own_limits,
    what_cannot_have_been_read_is_refused,
);

/// A vehicle of the shop, and the path of an open job on it.
fn open_job(shop: &TestShop, more: Value) -> (String, String) {
    let vehicle = id(&shop.desk.post("/v1/vehicles", &json!({"plate": "QC-417"})).created());
    let job = job_on(shop, &vehicle, more);
    (vehicle, job)
}

fn job_on(shop: &TestShop, vehicle: &str, more: Value) -> String {
    let mut job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
    for (name, member) in more.as_object().unwrap() {
        job[name] = member.clone();
    }
    format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &job).created()))
}

fn reads(shop: &TestShop, job: &str, panel: &str, when: &str, spots: &[(&str, f64)]) {
    let spot = |(name, um): &(&str, f64)| match *name {
        "" => json!({"um": um}),
        name => json!({"spot": name, "um": um}),
    };
    let spots: Vec<Value> = spots.iter().map(spot).collect();
    let reading = json!({"panel": panel, "when": when, "spots": spots});
    shop.technician.post(&format!("{job}/paint-readings"), &reading).created();
}

fn panel<'p>(paint: &'p Value, name: &str) -> &'p Value {
    paint["panels"].as_array().unwrap().iter().find(|panel| panel["panel"] == name).unwrap()
}

fn close(value: &Value, wanted: f64) {
    let value = value.as_f64().unwrap();
    assert!((value - wanted).abs() < 1e-9, "{value} is not {wanted}");
}

/// What was removed by spot: differences 2, 3 and 4, so the mean is 3 and the 95 % interval 3 ± 4.302653/√3 (Student's
/// t(0.975, 2) of any printed table). By means: the pair of `tests/core/readings.rs`, which scipy worked out.
fn what_polishing_took_off_is_worked_out_panel_by_panel(shop: TestShop) {
    let (_, job) = open_job(&shop, json!({}));
    reads(&shop, &job, "bonnet", "before", &[("front", 120.0), ("middle", 110.0), ("rear", 131.0)]);
    reads(&shop, &job, "bonnet", "after", &[("rear", 127.0), ("front", 118.0)]);
    reads(&shop, &job, "bonnet", "after", &[("middle", 107.0)]);
    reads(&shop, &job, "roof", "before", &[("", 100.0), ("", 101.0), ("", 102.0)]);
    reads(&shop, &job, "roof", "after", &[("", 95.0), ("", 95.0), ("", 99.0), ("", 99.0)]);
    // One reading that does not belong to the others is shown and counts.
    let odd: Vec<(&str, f64)> =
        [101.0, 99.0, 100.0, 102.0, 98.0, 100.0, 180.0].iter().map(|um| ("", *um)).collect();
    reads(&shop, &job, "boot", "before", &odd);
    let paint = shop.desk.get(&format!("{job}/paint")).ok();
    let bonnet = panel(&paint, "bonnet");
    assert_eq!(bonnet["ground"], "paint");
    assert_eq!((&bonnet["before"]["n"], &bonnet["after"]["n"]), (&json!(3), &json!(3)));
    close(&bonnet["before"]["mean_um"], 361.0 / 3.0);
    assert_eq!((&bonnet["before"]["min_um"], &bonnet["before"]["max_um"]), (&json!(110.0), &json!(131.0)));
    assert_eq!(bonnet["before"]["range_um"], 21.0);
    assert_eq!((&bonnet["removed"]["mean_um"], &bonnet["removed"]["by"]), (&json!(3.0), &json!("spot")));
    let reach = 3.0 - bonnet["removed"]["low_um"].as_f64().unwrap();
    assert!((reach - 4.302_653 / 3.0_f64.sqrt()).abs() < 1e-6, "{reach}");
    assert_eq!(bonnet["flags"], json!([]));
    let roof = panel(&paint, "roof");
    assert_eq!((&roof["removed"]["mean_um"], &roof["removed"]["by"]), (&json!(4.0), &json!("mean")));
    close(&roof["removed"]["low_um"], 0.507_926_702_239_859);
    let boot = panel(&paint, "boot");
    assert_eq!(boot["before"]["outliers"], json!([{"um": 180.0}]));
    assert_eq!(
        (&boot["before"]["n"], &boot["removed"], &boot["after"]),
        (&json!(7), &json!(null), &json!(null))
    );
    close(&boot["before"]["mean_um"], 780.0 / 7.0);
    // The median of 352/3, 97 and 780/7.
    close(&paint["median_um"], 780.0 / 7.0);
    assert_eq!(paint["limits_are_common_practice"], true);

    let signed = shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
    assert_eq!(signed["state"], "signed_off");
    assert_eq!(shop.desk.get(&format!("{job}/paint")).ok(), paint, "what was read stays");
    let late = json!({"panel": "roof", "when": "after", "spots": [{"um": 95.0}]});
    shop.technician.post(&format!("{job}/paint-readings"), &late).refused(409, "job_not_open");
}

fn film_and_plastic_have_no_paint_to_judge(shop: TestShop) {
    let (_, job) = open_job(&shop, json!({"finishes": {"bonnet": "film"}}));
    let path = format!("{job}/paint-readings");
    reads(&shop, &job, "bonnet", "before", &[("front", 290.0)]);
    reads(&shop, &job, "bonnet", "after", &[("front", 280.0)]);
    reads(&shop, &job, "roof", "before", &[("", 110.0)]);
    let bumper = json!({"panel": "front_bumper", "when": "before", "ground": "plastic"});
    shop.technician.post(&path, &bumper).created();
    let paint = shop.desk.get(&format!("{job}/paint")).ok();
    assert_eq!(paint["median_um"], 110.0, "film counts for nothing");
    let bonnet = panel(&paint, "bonnet");
    assert_eq!((&bonnet["ground"], &bonnet["before"]["mean_um"]), (&json!("film"), &json!(290.0)));
    assert_eq!((&bonnet["removed"], &bonnet["flags"]), (&json!(null), &json!([])));
    // physics.md: film adds 150 to 250 µm.
    assert!(bonnet["detail"].as_str().unwrap().contains("about 150 to 250 µm"), "{bonnet}");
    let bumper = panel(&paint, "front_bumper");
    assert_eq!((&bumper["ground"], &bumper["before"]), (&json!("plastic"), &json!(null)));
    assert!(bumper["detail"].as_str().unwrap().contains("cannot be read"), "{bumper}");

    let faults = |body: Value| shop.technician.post(&path, &body).faults(422, "rule_broken");
    let plastic =
        json!({"panel": "front_bumper", "when": "before", "ground": "plastic", "spots": [{"um": 90.0}]});
    assert_eq!(faults(plastic), [("/spots".to_owned(), "not_readable".to_owned())]);
}

/// Common practice: over 5 µm in one job, over 8 in the vehicle's life.
fn what_was_removed_adds_up_over_the_jobs_of_a_vehicle(shop: TestShop) {
    let (vehicle, first) = open_job(&shop, json!({}));
    reads(&shop, &first, "bonnet", "before", &[("front", 120.0), ("rear", 124.0)]);
    reads(&shop, &first, "bonnet", "after", &[("front", 116.0), ("rear", 120.0)]);
    let cancelled = job_on(&shop, &vehicle, json!({}));
    reads(&shop, &cancelled, "bonnet", "before", &[("front", 116.0)]);
    reads(&shop, &cancelled, "bonnet", "after", &[("front", 100.0)]);
    let job = job_on(&shop, &vehicle, json!({}));
    reads(&shop, &job, "bonnet", "before", &[("front", 116.0), ("rear", 120.0)]);
    reads(&shop, &job, "bonnet", "after", &[("front", 110.5), ("rear", 114.5)]);
    let of = |job: &str| {
        let paint = shop.desk.get(&format!("{job}/paint")).ok();
        let bonnet = panel(&paint, "bonnet").clone();
        (
            bonnet["removed"]["mean_um"].as_f64().unwrap(),
            bonnet["removed_in_life_um"].clone(),
            bonnet["flags"].clone(),
        )
    };
    assert_eq!(of(&job).1, json!(25.5));
    shop.manager.post(&format!("{cancelled}/cancel"), &json!({"reason": "Entered twice."})).ok();
    let wanted = (5.5, json!(9.5), json!(["much_removed_in_job", "much_removed_in_life"]));
    assert_eq!(of(&job), wanted, "a cancelled job took nothing off");
    assert_eq!(of(&first), (4.0, json!(4.0), json!([])), "later jobs are no part of what was so then");
}

fn the_shop_sets_its_own_limits(shop: TestShop) {
    let (_, job) = open_job(&shop, json!({}));
    reads(&shop, &job, "roof", "before", &[("left", 96.0), ("right", 92.0)]);
    reads(&shop, &job, "bonnet", "before", &[("", 120.0)]);
    let flags = || panel(&shop.desk.get(&format!("{job}/paint")).ok(), "roof")["flags"].clone();
    assert_eq!(flags(), json!([]));
    let shop_now = shop.manager.get("/v1/shop").ok();
    // physics.md, common practice.
    let usual = json!({"thin_below_um": 80.0, "refinished_above_median_um": 40.0, "removed_in_job_um": 5.0,
                       "removed_in_life_um": 8.0});
    assert_eq!(shop_now["paint_limits"], usual);
    shop.manager.change("/v1/shop", &json!({"paint_limits": {"thin_below_um": 94}})).ok();
    assert_eq!(flags(), json!(["thin_spot"]), "94 on the whole, 92 at a spot");
    shop.manager.change("/v1/shop", &json!({"paint_limits": {"thin_below_um": 95}})).ok();
    assert_eq!(flags(), json!(["thin"]));
    let paint = shop.desk.get(&format!("{job}/paint")).ok();
    assert_eq!(
        (&paint["limits"]["thin_below_um"], &paint["limits_are_common_practice"]),
        (&json!(95.0), &json!(false))
    );
    assert_eq!(paint["limits"]["removed_in_job_um"], 5.0, "what was not set stays");
    for wrong in [0.0, -1.0, 10_000.5] {
        let tag = shop.manager.get("/v1/shop").header("etag").unwrap().to_owned();
        let change = json!({"paint_limits": {"removed_in_job_um": wrong, "removed_in_life_um": 9}});
        let faults = shop.manager.patch("/v1/shop", &tag, &change).faults(422, "rule_broken");
        assert_eq!(faults, [("/paint_limits/removed_in_job_um".to_owned(), "out_of_range".to_owned())]);
    }
}

fn what_cannot_have_been_read_is_refused(shop: TestShop) {
    let (_, job) = open_job(&shop, json!({}));
    let path = format!("{job}/paint-readings");
    let faults = |body: Value| shop.technician.post(&path, &body).faults(422, "rule_broken");
    let place = |pointer: &str, code: &str| (pointer.to_owned(), code.to_owned());
    let nobody = "01900000-0000-7000-8000-000000000000";
    let wrong = json!({"panel": "roof", "when": "before", "by": nobody, "read_at": "2099-01-01T00:00:00Z",
                       "spots": [{"um": -1}, {"spot": " ", "um": 10_000.5}]});
    assert_eq!(
        faults(wrong),
        [
            place("/spots/0/um", "out_of_range"),
            place("/spots/1/spot", "empty"),
            place("/spots/1/um", "out_of_range"),
            place("/read_at", "in_the_future"),
            place("/by", "unknown_member"),
        ]
    );
    let bare = |spots: Vec<Value>| json!({"panel": "roof", "when": "before", "spots": spots});
    assert_eq!(faults(bare(vec![])), [place("/spots", "empty")]);
    assert_eq!(faults(bare(vec![json!({"um": 100}); 201])), [place("/spots", "too_many")]);
    for edge in [0.0, 10_000.0] {
        shop.technician.post(&path, &bare(vec![json!({"um": edge}); 200])).created();
    }
    for odd in [json!({"panel": "bonnet", "when": "later"}), json!({"when": "before"})] {
        shop.technician.post(&path, &odd).refused(400, "malformed");
    }
}
