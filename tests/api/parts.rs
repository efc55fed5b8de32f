//! The parts of a job: steps, climate readings, coats and marks, added, read, changed and removed while the job is open.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::server::Client;
use crate::support::shop::{TestShop, id};

on_both!(
    a_part_is_added_read_changed_and_removed,
    a_part_is_tried_without_being_written,
    what_is_wrong_with_a_part_is_told_at_its_place,
    parts_of_a_job_that_is_not_open_stay_as_they_are,
    another_shop_reaches_no_part,
    the_first_fault_in_order_is_told,
    parts_are_listed_newest_first_a_page_at_a_time,
    a_dilution_is_shown_in_ml_for_the_bottle,
);

/// A kind of part: its name in paths, one that is taken, a change with a member set and one cleared.
struct Kind {
    name: &'static str,
    given: Value,
    set: (&'static str, Value),
    cleared: &'static str,
}

fn kinds() -> [Kind; 5] {
    [
        Kind {
            name: "steps",
            given: json!({"kind": "foam", "surfaces": ["paint", "glass"], "panels": ["bonnet"], "dilution": "1:5", "bottle_ml": 750.0,
                          "started_at": "2026-03-09T08:00:00Z", "ended_at": "2026-03-09T08:30:00Z"}),
            set: ("kind", json!("contact_wash")),
            cleared: "ended_at",
        },
        Kind {
            name: "climate",
            given: json!({"at": "2026-03-09T08:55:00Z", "air_c": -4.0, "rh_pct": 80.0, "surface_c": -2.5, "place": "yard"}),
            set: ("air_c", json!(20.5)),
            cleared: "surface_c",
        },
        Kind {
            name: "coats",
            given: json!({"surface": "paint", "panels": ["bonnet", "roof"], "product": "base-30", "batch": "base-30-0417",
                          "started_at": "2026-03-09T09:00:00Z", "ended_at": "2026-03-09T09:40:00Z", "ml": 12.5,
                          "sections": [{"panels": ["bonnet"], "applied_at": "2026-03-09T09:00:00Z",
                                        "levelled_at": "2026-03-09T09:02:00Z"},
                                       {"panels": ["roof"], "applied_at": "2026-03-09T09:10:00Z"}]}),
            set: ("batch", json!("base-30-0418")),
            cleared: "ml",
        },
        Kind {
            name: "marks",
            given: json!({"panel": "left_sill", "surface": "trim", "kind": "scuff", "size_mm": 40.0, "note": "Old.",
                          "seen_at": "2026-03-10T07:50:00Z"}),
            set: ("kind", json!("scratch")),
            cleared: "note",
        },
        Kind {
            name: "paint-readings",
            given: json!({"panel": "bonnet", "when": "before", "ground": "film",
                          "spots": [{"spot": "front", "um": 287.5}, {"um": 291.0}], "read_at": "2026-03-10T07:52:00Z"}),
            set: ("when", json!("after")),
            cleared: "ground",
        },
    ]
}

/// A shop with products, and the path of an open job on a vehicle without terms.
fn open_job(shop: &TestShop) -> String {
    shop.stocks_up();
    format!("/v1/jobs/{}", job_of(&shop.technician, "QC-417"))
}

fn job_of(who: &Client, plate: &str) -> String {
    let vehicle = id(&who.post("/v1/vehicles", &json!({"plate": plate})).created());
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
    id(&who.post("/v1/jobs", &job).created())
}

fn a_part_is_added_read_changed_and_removed(shop: TestShop) {
    let (job, who) = (open_job(&shop), &shop.technician);
    for kind in kinds() {
        let (path, name) = (format!("{job}/{}", kind.name), kind.name);
        let answer = who.post(&path, &kind.given);
        let (place, tag) =
            (answer.header("location").unwrap().to_owned(), answer.header("etag").unwrap().to_owned());
        let made = answer.created();
        assert_eq!(place, format!("{path}/{}", id(&made)));
        for (member, value) in kind.given.as_object().unwrap() {
            assert_eq!(&made[member], value, "{name}/{member}");
        }
        assert_eq!(made["entered_at"], "2026-03-10T08:00:00Z");
        assert_eq!(who.get(&place).ok(), made, "a GET answers what the POST did");
        assert_eq!(who.get(&path).ok(), json!({"items": [made], "next": null}));

        let change = json!({kind.set.0: kind.set.1, kind.cleared: null});
        who.call("PATCH", &place, &[], Some(&change)).refused(428, "precondition_required");
        who.patch(&place, "\"7\"", &change).refused(412, "precondition_failed");
        let answer = who.patch(&place, &tag, &change);
        let newer = answer.header("etag").unwrap().to_owned();
        assert_ne!(newer, tag, "{name}");
        let changed = answer.ok();
        let mut wanted = made.clone();
        wanted[kind.set.0] = kind.set.1;
        wanted.as_object_mut().unwrap().remove(kind.cleared);
        assert_eq!(changed, wanted, "{name}: what the patch does not name stays, a null clears");
        assert_eq!(who.get(&place).ok(), wanted);
        who.patch(&place, &tag, &change).refused(412, "precondition_failed");

        who.call("DELETE", &place, &[], None).refused(428, "precondition_required");
        who.call("DELETE", &place, &[("If-Match", &tag)], None).refused(412, "precondition_failed");
        assert_eq!(who.call("DELETE", &place, &[("If-Match", &newer)], None).status, 204);
        for method in ["GET", "DELETE"] {
            who.call(method, &place, &[("If-Match", &newer)], None).refused(404, "not_found");
        }
        who.patch(&place, &newer, &change).refused(404, "not_found");
        assert_eq!(who.get(&path).ok()["items"], json!([]));
    }
}

fn a_part_is_tried_without_being_written(shop: TestShop) {
    let (job, who) = (open_job(&shop), &shop.technician);
    for kind in kinds() {
        let path = format!("{job}/{}", kind.name);
        let tried = format!("{path}?validate_only=true");
        assert_eq!(who.post(&tried, &kind.given).ok(), json!({"valid": true}));
        assert_eq!(who.get(&path).ok()["items"], json!([]), "{}: nothing is written", kind.name);
        let mut wrong = kind.given.clone();
        let time = wrong.as_object().unwrap().keys().find(|name| name.ends_with("at")).unwrap().clone();
        wrong[&time] = json!("2026-03-10T08:00:00.000001Z");
        let refused = who.post(&path, &wrong).faults(422, "rule_broken");
        assert_eq!(refused, [(format!("/{time}"), "in_the_future".into())]);
        assert_eq!(who.post(&tried, &wrong).faults(422, "rule_broken"), refused);
        who.post(&format!("{path}?validate_only=yes"), &kind.given).refused(400, "malformed");
        who.post(&format!("{path}?dry_run=true"), &kind.given).refused(400, "malformed");
    }
}

fn what_is_wrong_with_a_part_is_told_at_its_place(shop: TestShop) {
    let (job, who) = (open_job(&shop), &shop.technician);
    let nobody = "01890a5d-ac96-774b-bcce-b302099a8057";
    let faults = |name: &str, body: Value| {
        let mut faults = who.post(&format!("{job}/{name}"), &body).faults(422, "rule_broken");
        faults.sort();
        faults
    };
    let step = json!({"kind": "foam", "surfaces": [], "panels": ["roof", "roof"], "product": "foam-9", "dilution": " ",
                      "by": nobody, "ended_at": "2026-03-11T08:00:00Z"});
    let wanted = [
        ("/by", "unknown_member"),
        ("/dilution", "empty"),
        ("/ended_at", "in_the_future"),
        ("/panels/1", "panel_twice"),
        ("/product", "unknown_product"),
        ("/surfaces", "empty"),
    ];
    assert_eq!(faults("steps", step), wanted.map(|(at, code)| (at.to_owned(), code.to_owned())));
    let twice = json!({"kind": "foam", "surfaces": ["paint", "paint"]});
    assert_eq!(faults("steps", twice), [("/surfaces/1".into(), "surface_twice".into())]);

    // The edges of the ranges are taken, the next number is not.
    let reading = |air: f64, humidity: f64, surface: f64| json!({"at": "2026-03-10T08:00:00Z", "air_c": air, "rh_pct": humidity, "surface_c": surface});
    for edge in [reading(-45.0, 0.0, -45.0), reading(60.0, 100.0, 120.0)] {
        who.post(&format!("{job}/climate"), &edge).created();
    }
    let wanted = ["/air_c", "/rh_pct", "/surface_c"].map(|at| (at.to_owned(), "out_of_range".to_owned()));
    for beyond in [reading(-45.1, -0.1, -45.1), reading(60.1, 100.1, 120.1)] {
        assert_eq!(faults("climate", beyond), wanted);
    }

    let mark = |size: f64| json!({"panel": "roof", "kind": "dent", "size_mm": size});
    for edge in [0.01, 5_000.0] {
        who.post(&format!("{job}/marks"), &mark(edge)).created();
    }
    for beyond in [0.0, -1.0, 5_000.1] {
        assert_eq!(faults("marks", mark(beyond)), [("/size_mm".into(), "out_of_range".into())]);
    }
    let long = json!({"panel": "roof", "kind": "dent", "note": "n".repeat(501)});
    assert_eq!(faults("marks", long), [("/note".into(), "too_long".into())]);

    let coat = json!({"surface": "paint", "panels": ["bonnet"], "product": "base-31", "batch": "", "ml": 0.0, "by": nobody,
                      "started_at": "2026-03-09T09:00:00Z", "ended_at": "2026-03-09T08:00:00Z",
                      "sections": [{"panels": ["bonnet", "roof"], "applied_at": "2026-03-11T08:00:00Z"},
                                   {"panels": [], "applied_at": "2026-03-09T09:00:00Z"}]});
    let wanted = [
        ("/batch", "empty"),
        ("/by", "unknown_member"),
        ("/ml", "out_of_range"),
        ("/product", "unknown_product"),
        ("/sections/0/applied_at", "in_the_future"),
        ("/sections/0/panels/1", "panel_not_coated"),
        ("/sections/1/panels", "empty"),
    ];
    assert_eq!(faults("coats", coat), wanted.map(|(at, code)| (at.to_owned(), code.to_owned())));
}

fn parts_of_a_job_that_is_not_open_stay_as_they_are(shop: TestShop) {
    let (job, who) = (open_job(&shop), &shop.technician);
    let made: Vec<(Kind, Value)> = kinds()
        .into_iter()
        .map(|kind| {
            let made = who.post(&format!("{job}/{}", kind.name), &kind.given).created();
            (kind, made)
        })
        .collect();
    who.post(&format!("{job}/sign-off"), &json!({})).ok();
    for (kind, made) in made {
        let path = format!("{job}/{}", kind.name);
        let place = format!("{path}/{}", id(&made));
        for path in [path.clone(), format!("{path}?validate_only=true")] {
            who.post(&path, &kind.given).refused(409, "job_not_open");
        }
        who.change(&place, &json!({kind.set.0: kind.set.1})).refused(409, "job_not_open");
        who.delete(&place).refused(409, "job_not_open");
        assert_eq!(who.get(&place).ok(), made);
    }
}

fn another_shop_reaches_no_part(shop: TestShop) {
    let job = open_job(&shop);
    let neighbour = shop.neighbour();
    let theirs = format!("/v1/jobs/{}", job_of(&neighbour, "HD-1"));
    for kind in kinds() {
        let made = id(&shop.technician.post(&format!("{job}/{}", kind.name), &kind.given).created());
        let tag = shop.technician.etag(&format!("{job}/{}/{made}", kind.name));
        neighbour.get(&format!("{job}/{}", kind.name)).refused(404, "not_found");
        neighbour.post(&format!("{job}/{}", kind.name), &kind.given).refused(404, "not_found");
        let tried = format!("{job}/{}?validate_only=true", kind.name);
        neighbour.post(&tried, &kind.given).refused(404, "not_found");
        // Neither through the job that it belongs to, nor through one of their own.
        for job in [&job, &theirs] {
            let place = format!("{job}/{}/{made}", kind.name);
            neighbour.get(&place).refused(404, "not_found");
            neighbour.patch(&place, &tag, &json!({kind.set.0: kind.set.1})).refused(404, "not_found");
            neighbour.call("DELETE", &place, &[("If-Match", &tag)], None).refused(404, "not_found");
        }
        // Nor does another job of the same shop.
        let other = format!("/v1/jobs/{}", job_of(&shop.technician, kind.name));
        shop.technician.get(&format!("{other}/{}/{made}", kind.name)).refused(404, "not_found");
        shop.technician.get(&format!("{job}/{}/{made}", kind.name)).ok();
    }
    let product = json!({"surface": "paint", "panels": ["roof"], "product": "base-30", "batch": "B",
                         "started_at": "2026-03-09T09:00:00Z", "ended_at": "2026-03-09T09:40:00Z"});
    assert_eq!(
        neighbour.post(&format!("{theirs}/coats"), &product).faults(422, "rule_broken"),
        [("/product".into(), "unknown_product".into())],
        "the product is another shop's"
    );
}

/// Rule 1: 401, 404 of a thing in the path, 415, 413, 428, 412, 400, 422, 409. Each call has all faults from one on.
fn the_first_fault_in_order_is_told(shop: TestShop) {
    let (job, who) = (open_job(&shop), &shop.technician);
    let wrong_type = ("Content-Type", "text/plain");
    let json_type = ("Content-Type", "application/json");
    let broken: &[u8] = b"{";
    let long = vec![b' '; 256 * 1024 + 1];
    let nowhere = "01890a5d-ac96-774b-bcce-b302099a8057";
    let made = kinds().map(|kind| id(&who.post(&format!("{job}/{}", kind.name), &kind.given).created()));
    who.post(&format!("{job}/sign-off"), &json!({})).ok();
    for (kind, made) in kinds().into_iter().zip(made) {
        let path = format!("{job}/{}", kind.name);
        let place = format!("{path}/{made}");
        let tag = who.etag(&place);
        let time = kind.given.as_object().unwrap().keys().find(|name| name.ends_with("at")).unwrap().clone();
        let future = json!({time.clone(): "2026-03-11T08:00:00Z"}).to_string().into_bytes();
        let stale = ("If-Match", "\"7\"");
        let fresh = ("If-Match", tag.as_str());

        let patch = |headers: &[(&str, &str)], body: &[u8]| who.send("PATCH", &place, headers, Some(body));
        let anonymous = who.anonymous();
        anonymous.send("PATCH", &place, &[wrong_type], Some(broken)).refused(401, "not_signed_in");
        let gone = format!("{path}/{nowhere}");
        who.send("PATCH", &gone, &[wrong_type], Some(broken)).refused(404, "not_found");
        patch(&[wrong_type], &long).refused(415, "unsupported_media_type");
        patch(&[json_type], &long).refused(413, "too_large");
        patch(&[json_type], broken).refused(428, "precondition_required");
        patch(&[json_type, stale], broken).refused(412, "precondition_failed");
        patch(&[json_type, fresh], broken).refused(400, "malformed");
        patch(&[json_type, fresh], &future).refused(422, "rule_broken");
        patch(&[json_type, fresh], b"{}").refused(409, "job_not_open");

        let post = |headers: &[(&str, &str)], body: &[u8]| who.send("POST", &path, headers, Some(body));
        anonymous.send("POST", &path, &[wrong_type], Some(broken)).refused(401, "not_signed_in");
        let gone = format!("/v1/jobs/{nowhere}/{}", kind.name);
        who.send("POST", &gone, &[wrong_type], Some(broken)).refused(404, "not_found");
        post(&[wrong_type], &long).refused(415, "unsupported_media_type");
        post(&[json_type], &long).refused(413, "too_large");
        post(&[json_type], broken).refused(400, "malformed");
        let mut late = kind.given.clone();
        late[&time] = json!("2026-03-11T08:00:00Z");
        post(&[json_type], late.to_string().as_bytes()).refused(422, "rule_broken");
        post(&[json_type], kind.given.to_string().as_bytes()).refused(409, "job_not_open");
    }
}

fn parts_are_listed_newest_first_a_page_at_a_time(shop: TestShop) {
    let (job, who) = (open_job(&shop), &shop.technician);
    for kind in kinds() {
        let path = format!("{job}/{}", kind.name);
        let mut made: Vec<String> = (0..5).map(|_| id(&who.post(&path, &kind.given).created())).collect();
        made.reverse();
        let ids = |page: &Value| page["items"].as_array().unwrap().iter().map(id).collect::<Vec<_>>();
        let mut seen = Vec::new();
        let mut next = format!("{path}?limit=2");
        loop {
            let page = who.get(&next).ok();
            seen.extend(ids(&page));
            let Some(cursor) = page["next"].as_str() else { break };
            next = format!("{path}?limit=2&cursor={cursor}");
        }
        assert_eq!(seen, made, "{}", kind.name);
        let sections = |page: &Value| page["items"][0]["sections"].as_array().map(Vec::len);
        assert_eq!(sections(&who.get(&path).ok()), (kind.name == "coats").then_some(2));
        who.get(&format!("{path}?limit=0")).refused(400, "malformed");
        let cursor = who.get(&format!("{path}?limit=1")).ok()["next"].as_str().unwrap().to_owned();
        let other = format!("/v1/jobs/{}", job_of(who, kind.name));
        who.get(&format!("{other}/{}?cursor={cursor}", kind.name)).refused(400, "malformed");
    }
}

/// physics.md: 50 ml to 250 ml is 1:5, so 125 ml and 625 ml in a bottle of 750 ml.
fn a_dilution_is_shown_in_ml_for_the_bottle(shop: TestShop) {
    let (job, who) = (open_job(&shop), &shop.technician);
    let path = format!("{job}/steps");
    let foam = |dilution: &str| json!({"kind": "foam", "surfaces": ["paint"], "dilution": dilution, "bottle_ml": 750});
    for said in ["1:5", "50 ml to 250 ml", "50 ml in 300 ml"] {
        let made = who.post(&path, &foam(said)).created();
        assert_eq!(made["dilution"], said, "as it was written");
        assert_eq!(
            (&made["mixed"]["ratio_parts"], &made["mixed"]["product_ml"], &made["mixed"]["water_ml"]),
            (&json!(5.0), &json!(125.0), &json!(625.0)),
            "{said}"
        );
        let place = format!("{path}/{}", id(&made));
        assert_eq!(who.get(&place).ok(), made);
        let larger = who.change(&place, &json!({"bottle_ml": 600, "dilution": "20 %"})).ok();
        assert_eq!(
            (&larger["mixed"]["product_ml"], &larger["mixed"]["water_ml"]),
            (&json!(120.0), &json!(480.0))
        );
        let undiluted = who.change(&place, &json!({"dilution": null})).ok();
        assert!(undiluted.get("mixed").is_none(), "{undiluted}");
    }
    let bare = who.post(&path, &json!({"kind": "foam", "surfaces": ["paint"], "dilution": "25%"})).created();
    assert_eq!(bare["mixed"], json!({"ratio_parts": 3.0, "percent_v": 25.0}));
    let wrong = |dilution: &str| who.post(&path, &foam(dilution)).faults(422, "rule_broken");
    for (dilution, code) in
        [("a splash", "not_a_dilution"), ("120 %", "out_of_range"), ("50 ml in 40 ml", "out_of_range")]
    {
        assert_eq!(wrong(dilution), [("/dilution".to_owned(), code.to_owned())]);
    }
    let bottle = json!({"kind": "foam", "surfaces": ["paint"], "bottle_ml": 0, "mixed": {}});
    who.post(&path, &bottle).refused(400, "malformed");
    let bottle = json!({"kind": "foam", "surfaces": ["paint"], "bottle_ml": 0});
    assert_eq!(
        who.post(&path, &bottle).faults(422, "rule_broken"),
        [("/bottle_ml".to_owned(), "out_of_range".to_owned())]
    );
    let package = json!({"code": "foam-only", "title": "Foam", "steps": [{"kind": "foam", "surfaces": ["paint"], "dilution": "some"}]});
    let faults = shop.manager.post("/v1/packages", &package).faults(422, "rule_broken");
    assert_eq!(faults, [("/steps/0/dilution".to_owned(), "not_a_dilution".to_owned())]);
}
