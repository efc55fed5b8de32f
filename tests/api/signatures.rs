//! Signatures over HTTP: what was shown is what is signed, and it is seen when it is no longer so.

use lustrum::core::ids::Digest;
use lustrum::core::record::canonical;
use serde_json::{Value, json};

use crate::migrations::contents;
use crate::support::database::on_both;
use crate::support::pictures::jpeg;
use crate::support::server::Client;
use crate::support::shop::{TestShop, id};

on_both!(
    the_owner_signs_what_the_vehicle_came_with,
    what_was_shown_must_still_be_so,
    what_is_wrong_with_a_signature_is_told_at_its_place,
    the_owner_signs_what_they_get_back,
    name_and_strokes_stand_beside_the_record,
);

fn opened(shop: &TestShop) -> String {
    let job = json!({"vehicle_id": shop.adds_vehicle("QC-1"), "odometer": {"value": 412, "unit": "km"},
                     "finishes": {"bonnet": "film"}, "old_coating": {"paint": ["roof"]}});
    format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &job).created()))
}

fn shown(who: &Client, job: &str, what: &str) -> Value {
    let shown = who.get(&format!("{job}/{what}")).ok();
    let digest = Digest::of(&canonical(&shown["document"]).unwrap());
    assert_eq!(shown["digest"], digest.to_string(), "anybody can work the digest out");
    shown
}

fn signature(of: &str, digest: &Value) -> Value {
    json!({"of": of, "digest": digest, "name": "Ada <Ferro>", "strokes": [[[10, 10], [20.5, 15]], [[12, 10]]]})
}

/// Has what is shown now signed; answers the path of the signature.
fn signs(who: &Client, job: &str, of: &str, what: &str) -> String {
    let path = format!("{job}/signatures");
    let made = who.post(&path, &signature(of, &shown(who, job, what)["digest"])).created();
    format!("{path}/{}", id(&made))
}

fn photographed(who: &Client, job: &str, height: u32) -> String {
    let path = format!("{job}/photos");
    let made = who.send("POST", &path, &[("Content-Type", "image/jpeg")], Some(&jpeg(40, height)));
    format!("{path}/{}", id(&made.created()))
}

fn the_owner_signs_what_the_vehicle_came_with(shop: TestShop) {
    let (job, who) = (opened(&shop), &shop.technician);
    let photo = photographed(who, &job, 30);
    let photo = photo.rsplit('/').next().unwrap();
    let mark =
        json!({"panel": "boot", "kind": "dent", "size_mm": 12.5, "note": "Below the lock.", "photo": photo});
    let mark = who.post(&format!("{job}/marks"), &mark).created();

    let shown = shown(who, &job, "check-in");
    let document = &shown["document"];
    assert_eq!(document["vehicle"]["plate"], "QC-1");
    assert_eq!(document["odometer"], json!({"value": 412, "unit": "km"}));
    assert_eq!(
        (&document["finishes"], &document["old_coating"]),
        (&json!({"bonnet": "film"}), &json!({"paint": ["roof"]}))
    );
    assert_eq!(
        document["marks"],
        json!([{"id": mark["id"], "panel": "boot", "surface": "paint", "kind": "dent", "size_mm": 12.5,
                "note": "Below the lock.", "photo": photo}])
    );
    let digest = who.get(&format!("{job}/photos/{photo}")).ok()["digest"].clone();
    assert_eq!(document["photos"][0]["digest"], digest);

    let mut input = signature("check_in", &shown["digest"]);
    input["signed_at"] = json!("2026-03-10T07:59:00Z");
    let answer = who.post(&format!("{job}/signatures"), &input);
    let (place, tag) =
        (answer.header("location").unwrap().to_owned(), answer.header("etag").unwrap().to_owned());
    let made = answer.created();
    assert_eq!(who.etag(&place), tag);
    assert_eq!(who.get(&place).ok(), made);
    assert_eq!(who.get(&format!("{job}/signatures")).ok(), json!({"items": [made], "next": null}));
    assert_eq!(
        (&made["document"], &made["digest"], &made["current"]),
        (document, &shown["digest"], &json!(true))
    );
    assert_eq!((&made["name"], &made["signed_at"]), (&json!("Ada <Ferro>"), &json!("2026-03-10T07:59:00Z")));
    let svg = made["svg"].as_str().unwrap();
    assert!(
        svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=")
            && svg.contains("M0 0L1000 476"),
        "{svg}"
    );
    assert!(!svg.contains("Ferro"), "nothing that was typed is in the picture");

    let neighbour = shop.neighbour();
    for path in [place, format!("{job}/signatures"), format!("{job}/check-in")] {
        neighbour.get(&path).refused(404, "not_found");
    }
}

fn what_was_shown_must_still_be_so(shop: TestShop) {
    let (job, who) = (opened(&shop), &shop.technician);
    let (marks, signatures) = (format!("{job}/marks"), format!("{job}/signatures"));
    let photo = photographed(who, &job, 30);
    let dent = json!({"panel": "boot", "kind": "dent"});
    let dent = format!("{marks}/{}", id(&who.post(&marks, &dent).created()));
    let early = shown(who, &job, "check-in")["digest"].clone();
    let scratch = json!({"panel": "roof", "kind": "scratch"});
    let scratch = format!("{marks}/{}", id(&who.post(&marks, &scratch).created()));
    let stale = who.post(&signatures, &signature("check_in", &early)).faults(422, "rule_broken");
    assert_eq!(stale, [("/digest".into(), "document_changed".into())]);
    assert_eq!(who.get(&signatures).ok()["items"], json!([]));

    let signed = signs(who, &job, "check_in", "check-in");
    let current = || who.get(&signed).ok()["current"].clone();
    // Whatever is photographed while work goes on, and a plate that is corrected, leave it as it was signed.
    photographed(who, &job, 31);
    let vehicle = format!("/v1/vehicles/{}", who.get(&job).ok()["vehicle_id"].as_str().unwrap());
    shop.desk.change(&vehicle, &json!({"colour": "harbour grey"})).ok();
    assert_eq!(current(), true);
    who.change(&scratch, &json!({"size_mm": 30})).ok();
    assert_eq!(current(), false);
    who.change(&scratch, &json!({"size_mm": null})).ok();
    assert_eq!(current(), true, "it is as it was signed again");
    who.delete(&dent);
    assert_eq!(current(), false);
    // What was signed stays to be seen, and the owner can sign anew.
    let kept = who.get(&signed).ok();
    assert_eq!(kept["document"]["marks"].as_array().unwrap().len(), 2);
    let again = signs(who, &job, "check_in", "check-in");
    assert_eq!(who.get(&again).ok()["current"], true);
    assert_eq!(who.delete(&photo).status, 204);
    assert_eq!(who.get(&again).ok()["current"], false, "a photo that was signed is gone");
    let last = signs(who, &job, "check_in", "check-in");
    shop.desk.change(&job, &json!({"odometer": {"value": 413, "unit": "km"}})).ok();
    assert_eq!(who.get(&last).ok()["current"], false);

    let late = signature("check_in", &shown(who, &job, "check-in")["digest"]);
    who.post(&format!("{job}/sign-off"), &json!({})).ok();
    who.post(&signatures, &late).refused(409, "job_not_open");
}

fn what_is_wrong_with_a_signature_is_told_at_its_place(shop: TestShop) {
    let (job, who) = (opened(&shop), &shop.technician);
    let path = format!("{job}/signatures");
    let digest = shown(who, &job, "check-in")["digest"].clone();
    let with = |member: &str, value: Value| {
        let mut input = signature("check_in", &digest);
        input[member] = value;
        who.post(&path, &input)
    };
    let one = |place: &str, code: &str| vec![(place.to_owned(), code.to_owned())];
    assert_eq!(with("name", json!(" ")).faults(422, "rule_broken"), one("/name", "empty"));
    let late = json!("2026-03-10T08:00:01Z");
    assert_eq!(with("signed_at", late).faults(422, "rule_broken"), one("/signed_at", "in_the_future"));
    for (strokes, place, code) in [
        (json!([]), "/strokes", "empty"),
        (json!([[[1, 1]], [[2, 2]]]), "/strokes", "empty"),
        (json!(vec![json!([[0, 0], [1, 1]]); 201]), "/strokes", "too_many"),
        (json!([vec![[0, 0]; 5_001]]), "/strokes", "too_many"),
        (json!([[[0, 0], [1, -100_001]]]), "/strokes/0/1/1", "out_of_range"),
    ] {
        assert_eq!(with("strokes", strokes).faults(422, "rule_broken"), one(place, code));
    }
    for (member, value) in [
        ("strokes", json!("<svg onload='x'/>")),
        ("strokes", json!([[[0, 0, 0]]])),
        ("strokes", json!([[[0, "1"]]])),
        ("of", json!("work")),
        ("digest", json!("abc")),
        ("svg", json!("<svg/>")),
    ] {
        let faults = with(member, value.clone()).faults(400, "malformed");
        assert!(faults[0].0.starts_with(&format!("/{member}")), "{member} {value}: {faults:?}");
    }
    // All at once, before the state: nothing has been handed over yet.
    let input = json!({"of": "handover", "digest": digest, "name": "", "strokes": []});
    let faults = who.post(&path, &input).faults(422, "rule_broken");
    let wanted = [("/name", "empty"), ("/strokes", "empty"), ("/digest", "document_changed")];
    assert_eq!(faults, wanted.map(|(place, code)| (place.to_owned(), code.to_owned())));
    let early = shown(who, &job, "handover");
    assert_eq!(
        (&early["document"]["job_sheet"], &early["document"]["warranty"]),
        (&Value::Null, &Value::Null)
    );
    who.post(&path, &signature("handover", &early["digest"])).refused(409, "job_not_handed_over");
    assert_eq!(who.get(&path).ok()["items"], json!([]));
}

fn the_owner_signs_what_they_get_back(shop: TestShop) {
    shop.stocks_one_coating();
    shop.publishes("two", &json!([]), &json!({}));
    let warranty = shop.hands_over(&shop.adds_vehicle("QC-1"), "two");
    let job = shop.desk.get("/v1/jobs").ok()["items"][0].clone();
    let path = format!("/v1/jobs/{}", id(&job));
    let document = shown(&shop.desk, &path, "handover")["document"].clone();
    assert_eq!(document["job_sheet"], job["record"]);
    assert_eq!((&document["handed_over_on"], &document["odometer_km"]), (&json!("2026-03-10"), &json!(400)));
    let promised = &document["warranty"];
    assert_eq!((&promised["number"], &promised["cover"]), (&warranty["number"], &warranty["cover"]));
    assert_eq!((&promised["terms"]["code"], &promised["terms"]["edition"]), (&json!("two"), &json!(1)));

    let signed = signs(&shop.desk, &path, "handover", "handover");
    assert_eq!(shop.desk.get(&signed).ok()["current"], true);
    let void = json!({"reason": "Issued in error."});
    shop.manager.post(&format!("/v1/warranties/{}/void", id(&warranty)), &void).ok();
    let seen = shop.desk.get(&signed).ok();
    assert_eq!((&seen["current"], &seen["document"]), (&json!(false), &document));
    assert_eq!(shown(&shop.desk, &path, "handover")["document"]["warranty"], Value::Null);
}

fn name_and_strokes_stand_beside_the_record(shop: TestShop) {
    let (job, who) = (opened(&shop), &shop.technician);
    let mark = json!({"panel": "boot", "kind": "dent", "note": "Seen by Ida Brandt."});
    who.post(&format!("{job}/marks"), &mark).created();
    let signed = who.get(&signs(who, &job, "check_in", "check-in")).ok();
    let rows = contents(&shop.database);
    let of =
        |table: &str| rows.iter().filter(|row| row.starts_with(&format!("{table}: "))).collect::<Vec<_>>();
    let records: Vec<_> = of("records").into_iter().filter(|row| row.contains("'signature'")).collect();
    assert_eq!(records.len(), 1);
    assert!(records[0].contains(signed["digest"].as_str().unwrap()));
    for personal in ["Ferro", "20.5", "Brandt"] {
        assert!(!records[0].contains(personal), "{personal} stands in {}", records[0]);
        let beside = of("record_persons").iter().filter(|row| row.contains(personal)).count();
        assert_eq!(beside, 1, "{personal}");
    }
}
