//! The manager drafts warranty terms, sees what is wrong with them, and publishes them once and for all.

use serde_json::{Map, Value, json};

use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(
    terms_are_drafted_put_right_and_published,
    a_faulty_document_is_kept_as_a_draft_with_each_fault_at_its_place,
    what_cannot_be_a_draft_is_refused,
    editions_follow_one_another,
    cautions_do_not_hinder_and_who_published_is_on_record,
    terms_are_retired,
    terms_are_tried_out_on_made_up_facts,
    terms_of_another_shop_are_not_there,
);

/// Terms without faults or cautions.
pub(crate) fn two_coat_five() -> Value {
    json!({
        "terms": "lustrum-terms/1",
        "code": "two-coat-five",
        "edition": 1,
        "title": "Five years, two coats",
        "cover": [
            { "surface": "paint", "lasts": { "years": 5 }, "up_to_km": 120000 },
            { "surface": "glass", "lasts": { "months": 18 } }
        ],
        "upkeep": [
            { "key": "annual", "service": ["inspection", "reconditioning"], "by": "shop",
              "counted_from": "start", "every": { "years": 1 },
              "early": { "days": 60 }, "late": { "days": 30 },
              "if_missed": [
                  { "effect": "suspend", "make_good_within": { "days": 60 }, "with": "reconditioning" },
                  { "effect": "end" }
              ] },
            { "key": "wash", "service": "maintenance wash", "by": "owner",
              "counted_from": "last", "first_after": { "days": 14 }, "not_before": { "days": 7 },
              "every": { "weeks": 6 }, "late": { "weeks": 2 }, "every_km": 3000, "late_km": 500,
              "surfaces": ["paint"], "if_missed": { "effect": "note" } }
        ],
        "breaches": [
            { "key": "abrasive-wash", "effect": "suspend", "with": "reconditioning", "make_good_within": { "days": 30 } },
            { "key": "polished-elsewhere", "surfaces": ["paint"], "effect": "note" }
        ],
        "transfer": { "allowed": true, "tell_within": { "days": 30 }, "owners": 2 },
        "repair": { "restores": true, "recoat_within": { "days": 90 } },
        "entry_within": { "days": 7 },
        "working_days": ["mon", "tue", "wed", "thu", "fri", "sat"],
        "holidays": ["2027-01-01"],
        "begins": { "on": "handover", "after": { "days": 0 } },
        "build": [ { "surface": "paint", "coats": [ { "product": "base-30", "min": 1 } ], "prep": ["panel_wipe"] } ],
        "claims": { "report_within": { "days": 30 } },
        "limits": { "contact_angle_deg": { "min": 80 } },
        "notices": { "upcoming_days": [45, 14] },
        "wording": { "en": { "excludes": ["stone chips"], "law": "The law of the place of the shop." } }
    })
}

/// Puts `value` at a JSON pointer of `document`: a missing member is added, null takes one away.
pub(crate) fn set(document: &mut Value, pointer: &str, value: Value) {
    let (parent, name) = pointer.rsplit_once('/').unwrap();
    let parent = document.pointer_mut(parent).unwrap_or_else(|| panic!("nothing at {parent}"));
    match parent {
        Value::Object(members) if value.is_null() => drop(members.remove(name)),
        Value::Object(members) => drop(members.insert(name.to_owned(), value)),
        Value::Array(items) => {
            let place: usize = name.parse().unwrap();
            if place == items.len() { items.push(value) } else { items[place] = value }
        }
        other => panic!("{other} at the parent of {pointer}"),
    }
}

/// Places and codes of a list of faults.
fn told(faults: &Value) -> Vec<(String, String)> {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    faults.as_array().unwrap().iter().map(|fault| (text(&fault["pointer"]), text(&fault["code"]))).collect()
}

const FIRST: &str = "/v1/terms/two-coat-five/editions/1";

fn terms_are_drafted_put_right_and_published(shop: TestShop) {
    let mut document = two_coat_five();
    document["upkeep"][0]["early"] = json!({"days": 340});
    shop.desk.post("/v1/terms", &document).refused(403, "forbidden");
    let drafted = shop.manager.post("/v1/terms", &document);
    assert_eq!(drafted.header("location"), Some(FIRST));
    let etag = drafted.header("etag").unwrap().to_owned();
    let body = drafted.created();
    assert_eq!(
        (&body["code"], &body["edition"], &body["state"]),
        (&json!("two-coat-five"), &json!(1), &json!("draft"))
    );
    assert_eq!((&body["document"], &body["cautions"]), (&document, &json!([])));
    // 340 days early and 30 late are more than the shortest year.
    assert_eq!(told(&body["faults"]), [("/upkeep/0/every".into(), "windows_overlap".into())]);
    assert_eq!(shop.technician.get(FIRST).ok(), body);

    let faults = shop.manager.post(&format!("{FIRST}/publish"), &json!({})).faults(422, "terms_faulty");
    assert_eq!(faults, told(&body["faults"]));
    shop.manager.call("PUT", FIRST, &[], Some(&two_coat_five())).refused(428, "precondition_required");
    let right = shop.manager.call("PUT", FIRST, &[("If-Match", &etag)], Some(&two_coat_five())).ok();
    assert_eq!((&right["faults"], &right["state"], &right["id"]), (&json!([]), &json!("draft"), &body["id"]));
    assert_eq!(right["document"], two_coat_five());
    assert_ne!(right["digest"], body["digest"]);
    shop.manager
        .call("PUT", FIRST, &[("If-Match", &etag)], Some(&document))
        .refused(412, "precondition_failed");
    let mut other = two_coat_five();
    other["code"] = json!("three-coat-five");
    other["edition"] = json!(2);
    let now = shop.manager.etag(FIRST);
    let faults =
        shop.manager.call("PUT", FIRST, &[("If-Match", &now)], Some(&other)).faults(422, "rule_broken");
    assert_eq!(
        faults,
        [("/code".into(), "does_not_match".into()), ("/edition".into(), "does_not_match".into())]
    );

    shop.desk.post(&format!("{FIRST}/publish"), &json!({})).refused(403, "forbidden");
    let published = shop.manager.post(&format!("{FIRST}/publish"), &json!({})).ok();
    assert_eq!(
        (&published["state"], &published["published_at"]),
        (&json!("published"), &json!("2026-03-10T08:00:00Z"))
    );
    assert_eq!(shop.desk.get(FIRST).ok(), published);
    // From now on it never changes.
    let now = shop.manager.etag(FIRST);
    shop.manager.call("PUT", FIRST, &[("If-Match", &now)], Some(&document)).refused(409, "edition_published");
    shop.manager.post(&format!("{FIRST}/publish"), &json!({})).refused(409, "edition_published");
    assert_eq!(shop.desk.get(FIRST).ok(), published);
}

/// The refusals that the description of terms lists, each alone in an otherwise faultless document: what is put
/// where, and which fault is told at which place.
fn faulty() -> Vec<(&'static str, Value, &'static str, &'static str)> {
    let many: Vec<Value> =
        (0..51).map(|i| json!({"surface": format!("part-{i}"), "lasts": {"years": 1}})).collect();
    // The whole of January and the first of February: 32 days on end.
    let winter: Vec<String> =
        (1..=31).map(|day| format!("2027-01-{day:02}")).chain(["2027-02-01".to_owned()]).collect();
    vec![
        // Wrong shape.
        ("/title", Value::Null, "/title", "missing"),
        ("/upkeep/0/if_missed", Value::Null, "/upkeep/0/if_missed", "missing"),
        ("/colour", json!("red"), "/colour", "unknown_member"),
        ("/upkeep/0/evry", json!({"years": 1}), "/upkeep/0/evry", "unknown_member"),
        ("/wording/en/warranty", json!("none"), "/wording/en/warranty", "unknown_member"),
        ("/entry_within", json!(7), "/entry_within", "wrong_type"),
        ("/terms", json!("lustrum-terms/2"), "/terms", "unknown_word"),
        ("/breaches/1/effect", json!("fine"), "/breaches/1/effect", "unknown_word"),
        ("/upkeep/1/by", json!("anybody"), "/upkeep/1/by", "unknown_word"),
        ("/upkeep/1/counted_from", json!("sale"), "/upkeep/1/counted_from", "unknown_word"),
        ("/working_days/0", json!("monday"), "/working_days/0", "unknown_word"),
        ("/holidays/0", json!("2027-02-29"), "/holidays/0", "not_a_day"),
        ("/code", json!("Two Coats"), "/code", "not_a_code"),
        ("/cover/1/lasts", json!({}), "/cover/1/lasts", "period_empty"),
        ("/upkeep/0/service", json!([]), "/upkeep/0/service", "empty"),
        ("/upkeep/0/if_missed", json!([]), "/upkeep/0/if_missed", "empty"),
        ("/breaches/0/with", json!([]), "/breaches/0/with", "empty"),
        // Names.
        ("/cover/2", json!({"surface": "paint", "lasts": {"years": 1}}), "/cover/2/surface", "surface_twice"),
        ("/breaches/0/key", json!("wash"), "/breaches/0/key", "key_twice"),
        ("/upkeep/1/surfaces/0", json!("wheels"), "/upkeep/1/surfaces/0", "surface_without_cover"),
        ("/build/0/surface", json!("wheels"), "/build/0/surface", "surface_without_cover"),
        ("/upkeep/1/key", json!("Wash"), "/upkeep/1/key", "bad_name"),
        ("/upkeep/1/service", json!("wash "), "/upkeep/1/service", "bad_name"),
        // Sizes.
        ("/upkeep/0/every", json!({"days": 0}), "/upkeep/0/every", "period_zero"),
        ("/cover/1/lasts", json!({"years": 101}), "/cover/1/lasts", "period_too_long"),
        ("/cover/0/up_to_km", json!(0), "/cover/0/up_to_km", "out_of_range"),
        ("/transfer/owners", json!(0), "/transfer/owners", "out_of_range"),
        ("/upkeep/1/times", json!(0), "/upkeep/1/times", "out_of_range"),
        ("/upkeep/1/every_km", json!(99), "/upkeep/1/every_km", "out_of_range"),
        ("/upkeep/1/late_km", json!(-1), "/upkeep/1/late_km", "out_of_range"),
        ("/limits/contact_angle_deg/max", json!(70), "/limits/contact_angle_deg", "upside_down"),
        (
            "/cover",
            Value::from([two_coat_five()["cover"].as_array().unwrap().clone(), many].concat()),
            "/cover",
            "too_many",
        ),
        // What goes with what.
        ("/upkeep/0/every_km", json!(3000), "/upkeep/0/every_km", "does_not_go_with"),
        ("/upkeep/1/early", json!({"days": 1}), "/upkeep/1/early", "does_not_go_with"),
        ("/upkeep/1/every_km", Value::Null, "/upkeep/1/late_km", "does_not_go_with"),
        ("/breaches/1/take_off", json!({"days": 1}), "/breaches/1/take_off", "does_not_go_with"),
        ("/working_days", Value::Null, "/holidays", "does_not_go_with"),
        ("/repair/restores", json!(false), "/repair/recoat_within", "does_not_go_with"),
        ("/breaches/0/make_good_within", json!({"days": 0}), "/breaches/0/make_good_within", "period_zero"),
        ("/upkeep/0/if_missed/2", json!({"effect": "note"}), "/upkeep/0/if_missed/2", "after_end"),
        ("/holidays", json!(winter), "/holidays", "no_working_day"),
        // What nobody could keep.
        ("/upkeep/0/early", json!({"days": 335}), "/upkeep/0/every", "windows_overlap"),
        ("/upkeep/1/not_before", json!({"days": 29}), "/upkeep/1/not_before", "never_in_time"),
        ("/upkeep/1/first_after", json!({"years": 6}), "/upkeep/1/first_after", "after_cover"),
    ]
}

fn a_faulty_document_is_kept_as_a_draft_with_each_fault_at_its_place(shop: TestShop) {
    for (i, (pointer, value, place, code)) in faulty().into_iter().enumerate() {
        let mut document = two_coat_five();
        document["code"] = json!(format!("faulty-{i}"));
        set(&mut document, pointer, value.clone());
        let body = shop.manager.post("/v1/terms", &document).created();
        assert_eq!(body["document"], document, "kept as it was written");
        assert_eq!(told(&body["faults"]), [(place.to_owned(), code.to_owned())], "{value} at {pointer}");
        let detail = body["faults"][0]["detail"].as_str().unwrap();
        assert!(detail.chars().count() > 10, "{place}: a sentence for people, not {detail:?}");
        if document["code"] == json!(format!("faulty-{i}")) {
            let path = format!("/v1/terms/faulty-{i}/editions/1/publish");
            let faults = shop.manager.post(&path, &json!({})).faults(422, "terms_faulty");
            assert_eq!(faults, [(place.to_owned(), code.to_owned())]);
        }
    }
    // All at once, in one document.
    let mut document = two_coat_five();
    set(&mut document, "/title", Value::Null);
    set(&mut document, "/cover/1/lasts", json!({"months": 0}));
    set(&mut document, "/upkeep/1/by", json!("anybody"));
    set(&mut document, "/transfer/allowed", json!(false));
    set(&mut document, "/colour", json!(null));
    document["colour"] = json!("red");
    let body = shop.manager.post("/v1/terms", &document).created();
    let places: Vec<String> = told(&body["faults"]).into_iter().map(|(place, _)| place).collect();
    assert_eq!(
        places,
        ["/title", "/cover/1/lasts", "/upkeep/1/by", "/transfer/tell_within", "/transfer/owners", "/colour"]
    );
    // A code that is no code makes a draft too, and can be reached.
    let mut document = two_coat_five();
    document["code"] = json!("Fünf Jahre/2");
    let drafted = shop.manager.post("/v1/terms", &document);
    let location = drafted.header("location").unwrap().to_owned();
    let body = drafted.created();
    assert_eq!(told(&body["faults"]), [("/code".into(), "not_a_code".into())]);
    assert_eq!(location, "/v1/terms/F%C3%BCnf%20Jahre%2F2/editions/1");
}

fn what_cannot_be_a_draft_is_refused(shop: TestShop) {
    let with = |changes: &[(&str, Value)]| {
        let mut members: Map<String, Value> = two_coat_five().as_object().unwrap().clone();
        members.extend(changes.iter().map(|(name, value)| ((*name).to_owned(), value.clone())));
        Value::Object(members)
    };
    let cases = [
        (json!({}), vec![("/code", "missing"), ("/edition", "missing")]),
        (
            with(&[("code", json!(5)), ("edition", json!("1"))]),
            vec![("/code", "wrong_type"), ("/edition", "wrong_type")],
        ),
        (with(&[("edition", json!(1.5))]), vec![("/edition", "wrong_type")]),
        (with(&[("code", Value::Null)]), vec![("/code", "missing")]),
    ];
    for (document, expected) in cases {
        for path in ["/v1/terms", "/v1/terms?validate_only=true"] {
            let faults = shop.manager.post(path, &document).faults(400, "malformed");
            let faults: Vec<(&str, &str)> =
                faults.iter().map(|(place, code)| (place.as_str(), code.as_str())).collect();
            assert_eq!(faults, expected, "{document}");
        }
    }
    shop.manager.post("/v1/terms", &json!([two_coat_five()])).refused(400, "malformed");
    let twice = br#"{"code": "a", "edition": 1, "code": "b"}"#;
    let faults = shop
        .manager
        .send("POST", "/v1/terms", &[("Content-Type", "application/json")], Some(twice))
        .faults(400, "malformed");
    assert_eq!(faults, [(String::new(), "member_twice".into())]);
    let long = with(&[("code", json!("a".repeat(3000)))]);
    let faults = shop.manager.post("/v1/terms", &long).faults(422, "rule_broken");
    assert_eq!(faults, [("/code".into(), "too_long".into())]);
    assert_eq!(shop.manager.get("/v1/terms").ok()["items"], json!([]));
}

fn editions_follow_one_another(shop: TestShop) {
    let edition = |n: i64| {
        let mut document = two_coat_five();
        document["edition"] = json!(n);
        document
    };
    let skips = [(String::from("/edition"), String::from("edition_skips"))];
    for n in [0, -1, 2, 9_000_000_000_000_000] {
        assert_eq!(
            shop.manager.post("/v1/terms", &edition(n)).faults(422, "rule_broken"),
            skips,
            "{n} before 1"
        );
    }
    assert_eq!(shop.manager.post("/v1/terms?validate_only=true", &edition(1)).ok(), json!({"valid": true}));
    shop.manager.get(FIRST).refused(404, "not_found");
    shop.manager.post("/v1/terms", &edition(1)).created();
    for path in ["/v1/terms", "/v1/terms?validate_only=true"] {
        shop.manager.post(path, &edition(1)).refused(409, "edition_exists");
        assert_eq!(shop.manager.post(path, &edition(3)).faults(422, "rule_broken"), skips);
    }
    shop.manager.post(&format!("{FIRST}/publish"), &json!({})).ok();
    let mut second = edition(2);
    second["edition"] = json!(2.0);
    second["title"] = json!("Five years, two coats, second edition");
    let body = shop.manager.post("/v1/terms", &second).created();
    assert_eq!((&body["edition"], &body["faults"]), (&json!(2), &json!([])));
    assert_eq!(
        shop.manager.get(FIRST).ok()["document"]["title"],
        "Five years, two coats",
        "the first stays as it was"
    );

    let codes = |path: &str| -> Vec<i64> {
        let items = shop.desk.get(path).ok()["items"].clone();
        items.as_array().unwrap().iter().map(|item| item["edition"].as_i64().unwrap()).collect()
    };
    assert_eq!(codes("/v1/terms"), [2, 1]);
    assert_eq!(codes("/v1/terms?state=published"), [1]);
    assert_eq!(codes("/v1/terms?code=two-coat-five&state=draft"), [2]);
    assert_eq!(codes("/v1/terms?code=other"), [0; 0]);
    shop.manager.get("/v1/terms/two-coat-five/editions/3").refused(404, "not_found");
    shop.manager.get("/v1/terms/two-coat-five/editions/99999999999").refused(404, "not_found");
}

fn cautions_do_not_hinder_and_who_published_is_on_record(shop: TestShop) {
    let mut document = two_coat_five();
    set(&mut document, "/upkeep/0/by", json!("accredited"));
    set(&mut document, "/breaches/0", json!({"key": "abrasive-wash", "effect": "end"}));
    set(&mut document, "/transfer/inspect_within", json!({"days": 45}));
    let body = shop.manager.post("/v1/terms", &document).created();
    assert_eq!(body["faults"], json!([]));
    let expected = [
        ("/upkeep/0/by", "accredited_only"),
        ("/upkeep/0/if_missed/0/by", "accredited_only"),
        ("/breaches/0/effect", "ends_at_once"),
        ("/transfer/inspect_within", "accredited_only"),
    ];
    let cautions = told(&body["cautions"]);
    let cautions: Vec<(&str, &str)> =
        cautions.iter().map(|(place, code)| (place.as_str(), code.as_str())).collect();
    assert_eq!(cautions, expected);
    let published = shop.manager.post(&format!("{FIRST}/publish"), &json!({})).ok();
    assert_eq!(published["cautions"], body["cautions"]);
    assert_eq!(published["published_by"]["name"], "The manager");

    // The record can be read alone: the document, its digest, what was cautioned against, and who did it.
    let records = shop.records("publication");
    let [record] = records.as_slice() else { panic!("one publication, not {records:#?}") };
    assert_eq!(record["document"], document);
    assert_eq!(record["cautions"], body["cautions"]);
    assert_eq!(record["entered_by"]["name"], "The manager");
    let text = lustrum::core::record::canonical(&document).unwrap();
    assert_eq!(
        record["digest"],
        json!(lustrum::core::ids::Digest::of(&text)),
        "the digest of what was published"
    );
}

fn terms_are_retired(shop: TestShop) {
    shop.manager.post("/v1/terms", &two_coat_five()).created();
    let faults = shop.manager.post(&format!("{FIRST}/retire"), &json!({})).faults(422, "rule_broken");
    assert_eq!(faults, [(String::new(), "not_published".into())], "a draft was never in use");
    let published = shop.manager.post(&format!("{FIRST}/publish"), &json!({})).ok();
    shop.desk.post(&format!("{FIRST}/retire"), &json!({})).refused(403, "forbidden");
    let retired = shop.manager.post(&format!("{FIRST}/retire"), &json!({})).ok();
    assert_eq!((&retired["state"], &retired["document"]), (&json!("retired"), &published["document"]));
    assert_eq!(
        shop.manager.post(&format!("{FIRST}/retire"), &json!({})).ok(),
        retired,
        "once more changes nothing"
    );
    shop.manager.post(&format!("{FIRST}/publish"), &json!({})).refused(409, "edition_published");
    shop.manager.post(&format!("{FIRST}/retire"), &json!({"reason": "new prices"})).refused(400, "malformed");
}

fn terms_are_tried_out_on_made_up_facts(shop: TestShop) {
    shop.manager.post("/v1/terms", &two_coat_five()).created();
    let preview = format!("{FIRST}/preview");
    // A year and 31 days after the start, nothing was done: the first due closed on Friday 9 April 2027.
    let facts = json!({"start": "2026-03-10", "start_km": 412, "surfaces": ["paint", "glass"]});
    let verdict = shop.desk.post(&preview, &json!({"facts": facts, "as_of": "2027-04-10"})).ok();
    assert_eq!(verdict["cover"]["glass"]["state"], "suspended");
    assert_eq!(verdict["cover"]["glass"]["suspended"][0]["because"], "annual#1");
    let due = &verdict["dues"][0];
    assert_eq!(
        (&due["due"], &due["closes"], &due["missed_from"]),
        (&json!("2027-03-10"), &json!("2027-04-09"), &json!("2027-04-10"))
    );
    assert!(verdict["reasons"].as_array().is_some_and(|reasons| !reasons.is_empty()), "{verdict:#}");
    let today = shop.desk.post(&preview, &json!({"facts": facts})).ok();
    assert_eq!(
        (&today["as_of"], &today["cover"]["paint"]["state"]),
        (&json!("2026-03-10"), &json!("in_force"))
    );

    let faults = shop
        .desk
        .post(
            &preview,
            &json!({"facts": {"start": "2026-03-10", "surfaces": ["roof"]}, "as_of": "2027-04-10"}),
        )
        .faults(422, "rule_broken");
    assert_eq!(faults[0].0, "/facts/surfaces/0");
    let faults = shop
        .desk
        .post(&preview, &json!({"facts": facts, "known_at": "2027-04-10T10:00:00"}))
        .faults(400, "malformed");
    assert_eq!(faults, [("/known_at".into(), "not_an_instant".into())]);
    let mut document = two_coat_five();
    document["cover"] = json!([]);
    let etag = shop.manager.etag(FIRST);
    shop.manager.call("PUT", FIRST, &[("If-Match", &etag)], Some(&document)).ok();
    let faults = shop.desk.post(&preview, &json!({"facts": facts})).faults(422, "terms_faulty");
    assert_eq!(faults[0], ("/cover".into(), "empty".into()));
}

fn terms_of_another_shop_are_not_there(shop: TestShop) {
    shop.manager.post("/v1/terms", &two_coat_five()).created();
    let neighbour = shop.neighbour();
    neighbour.get(FIRST).refused(404, "not_found");
    neighbour.call("PUT", FIRST, &[("If-Match", "*")], Some(&two_coat_five())).refused(404, "not_found");
    for act in ["publish", "retire", "preview"] {
        neighbour.post(&format!("{FIRST}/{act}"), &json!({})).refused(404, "not_found");
    }
    assert_eq!(neighbour.get("/v1/terms").ok()["items"], json!([]));
    // The code is each shop's own.
    neighbour.post("/v1/terms", &two_coat_five()).created();
}
