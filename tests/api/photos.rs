//! Photos of a job over HTTP: what is kept of a picture, who sees it, and when its file goes.

use std::fs;
use std::path::{Path, PathBuf};
use std::thread;

use lustrum::core::ids::Digest;
use lustrum::files::{Files, Sort};
use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::pictures::{as_taken, camera_exif, chunk, jpeg, pixels, png, with_chunks};
use crate::support::server::{Answer, Client};
use crate::support::shop::{TestShop, id};

on_both!(
    a_photo_is_kept_without_what_it_tells_of_the_owner,
    what_is_no_picture_is_refused_and_named,
    equal_pictures_are_one_file,
    a_file_is_there_whenever_a_photo_names_it,
    whoever_is_killed_leaves_nothing_that_hinders,
    photos_after_the_sign_off_are_addenda,
    a_mark_shows_a_photo_of_its_job,
    another_shop_sees_no_photo,
    proof_of_a_service_elsewhere_is_a_photo_of_the_visit,
);

impl TestShop {
    /// An open job on a new vehicle; answers its path.
    fn opens_job(&self, plate: &str) -> String {
        let vehicle = self.adds_vehicle(plate);
        let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
        format!("/v1/jobs/{}", id(&self.technician.post("/v1/jobs", &job).created()))
    }

    /// The files that are kept, thumbnails among them.
    fn files(&self) -> Vec<PathBuf> {
        fn under(folder: &Path, found: &mut Vec<PathBuf>) {
            for entry in fs::read_dir(folder).into_iter().flatten() {
                let path = entry.unwrap().path();
                if path.is_dir() { under(&path, found) } else { found.push(path) }
            }
        }
        let mut found = Vec::new();
        under(self.database.files.path(), &mut found);
        found
    }
}

fn sends(who: &Client, job: &str, query: &str, kind: &str, bytes: &[u8]) -> Answer {
    who.send("POST", &format!("{job}/photos{query}"), &[("Content-Type", kind)], Some(bytes))
}

fn sends_jpeg(who: &Client, job: &str, bytes: &[u8]) -> Value {
    sends(who, job, "", "image/jpeg", bytes).created()
}

fn a_photo_is_kept_without_what_it_tells_of_the_owner(shop: TestShop) {
    let (job, who) = (shop.opens_job("QC-1"), &shop.technician);
    let taken = as_taken(&jpeg(900, 600), 6);
    let query = "?panel=other%3Aroof%20rails&taken_at=2026-03-10T07%3A55%3A00Z&note=As+it+came.";
    let answer = sends(who, &job, query, "image/jpeg", &taken);
    let place = answer.header("location").unwrap().to_owned();
    let made = answer.created();
    assert_eq!(place, format!("{job}/photos/{}", id(&made)));
    for (member, value) in [
        ("panel", json!("other:roof rails")),
        ("taken_at", json!("2026-03-10T07:55:00Z")),
        ("note", json!("As it came.")),
        ("media_type", json!("image/jpeg")),
        ("width_px", json!(600)),
        ("height_px", json!(900)),
        ("entered_afterwards", json!(false)),
    ] {
        assert_eq!(made[member], value, "{member}");
    }
    assert_eq!(who.get(&place).ok(), made);
    assert_eq!(who.get(&format!("{job}/photos")).ok(), json!({"items": [made], "next": null}));

    let file = shop.desk.get(&format!("{place}/file"));
    assert_eq!((file.status, file.header("content-type")), (200, Some("image/jpeg")));
    assert_eq!(made["digest"], Digest::of(&file.bytes).to_string());
    assert_eq!(made["bytes"], file.bytes.len());
    let etag = format!("\"{}\"", made["digest"].as_str().unwrap());
    assert_eq!(file.header("etag"), Some(etag.as_str()));
    let kept_for_long = Some("private, max-age=31536000, immutable");
    assert_eq!(file.header("cache-control"), kept_for_long);
    assert_eq!(file.header("x-content-type-options"), Some("nosniff"));
    assert_eq!(file.header("content-length"), Some(file.bytes.len().to_string().as_str()));
    assert_eq!(pixels(&file.bytes), pixels(&taken));
    let exif = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(&file.bytes)).unwrap();
    let told: Vec<String> = exif.fields().map(|field| field.tag.to_string()).collect();
    assert_eq!(told, ["Orientation"], "where it was taken, and by whom, is gone");

    let small = shop.desk.get(&format!("{place}/thumbnail"));
    assert_eq!((small.status, small.header("content-type")), (200, Some("image/jpeg")));
    assert_eq!(small.header("cache-control"), kept_for_long);
    assert_ne!(small.header("etag"), file.header("etag"));
    let seen = pixels(&small.bytes).to_rgb8();
    assert_eq!((seen.width(), seen.height()), (320, 480));
    // Turned to the right: what was left and above is right and above.
    let red = |x, y| seen.get_pixel(x, y)[0] > 160 && seen.get_pixel(x, y)[1] < 90;
    assert!(red(240, 120) && !red(80, 120) && !red(240, 360));

    // What is said of it can be corrected; the picture is as it was.
    let changed = who.change(&place, &json!({"panel": "roof", "note": null})).ok();
    assert_eq!((&changed["panel"], &changed["note"]), (&json!("roof"), &Value::Null));
    assert_eq!(changed["digest"], made["digest"]);
    assert_eq!(who.get(&format!("{place}/file")).bytes, file.bytes);

    let taken =
        with_chunks(&png(30, 20), &[chunk(b"eXIf", &camera_exif(8)), chunk(b"tEXt", b"Serial\0SN-4170")]);
    let made = sends(who, &job, "", "image/png", &taken).created();
    let file = who.get(&format!("{job}/photos/{}/file", id(&made)));
    assert_eq!(file.header("content-type"), Some("image/png"));
    assert_eq!(pixels(&file.bytes), pixels(&taken));
    assert!(!file.bytes.windows(7).any(|window| window == b"SN-4170"));
    assert_eq!((&made["width_px"], &made["height_px"]), (&json!(20), &json!(30)));
}

fn what_is_no_picture_is_refused_and_named(shop: TestShop) {
    let (job, who) = (shop.opens_job("QC-1"), &shop.technician);
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic".as_slice();
    let faults = |kind: &str, bytes: &[u8]| sends(who, &job, "", kind, bytes).faults(422, "rule_broken");
    let one = |code: &str| vec![(String::new(), code.to_owned())];
    for kind in ["image/heic", "image/heif"] {
        let refused = sends(who, &job, "", kind, heic).refused(415, "unsupported_media_type");
        assert!(refused["detail"].as_str().unwrap().contains("JPEG"), "what to do: {refused:#}");
    }
    sends(who, &job, "", "image/gif", b"GIF89a").refused(415, "unsupported_media_type");
    assert_eq!(faults("image/jpeg", heic), one("heic"));
    assert_eq!(faults("image/jpeg", &png(8, 8)), one("wrong_type"));
    assert_eq!(faults("image/png", &jpeg(8, 8)), one("wrong_type"));
    assert_eq!(faults("image/jpeg", &jpeg(80, 80)[..900]), one("truncated"));
    assert_eq!(faults("image/png", b"no picture"), one("not_a_picture"));
    assert_eq!(faults("image/png", b""), one("not_a_picture"));
    let small = png(4, 4);
    let header = [60_000_u32.to_be_bytes(), 60_000_u32.to_be_bytes()].concat();
    let header = chunk(b"IHDR", &[header.as_slice(), &[8, 2, 0, 0, 0]].concat());
    let bomb = [&small[..8], header.as_slice(), &small[33..]].concat();
    assert_eq!(faults("image/png", &bomb), one("too_many_pixels"));

    // What is wrong with the query is told with it, or before.
    let late = "?taken_at=2026-03-10T08%3A00%3A01Z&note=";
    let told = sends(who, &job, late, "image/png", &bomb).faults(422, "rule_broken");
    let wanted = [("taken_at", "in_the_future"), ("note", "empty"), ("", "too_many_pixels")];
    assert_eq!(told, wanted.map(|(place, code)| (place.to_owned(), code.to_owned())));
    let told = sends(who, &job, "?panel=hood", "image/png", &bomb).faults(400, "malformed");
    assert_eq!(told, [("panel".into(), "wrong_type".into())]);

    // Nothing of all this, nor what was only tried, has left anything.
    assert_eq!(
        sends(who, &job, "?validate_only=true", "image/jpeg", &jpeg(8, 8)).ok(),
        json!({"valid": true})
    );
    assert_eq!(who.get(&format!("{job}/photos")).ok()["items"], json!([]));
    assert_eq!(shop.files(), Vec::<PathBuf>::new());
    shop.desk.post(&format!("{job}/cancel"), &json!({"reason": "Another day."})).ok();
    sends(who, &job, "", "image/jpeg", &jpeg(8, 8)).refused(409, "job_not_open");
    assert_eq!(shop.files(), Vec::<PathBuf>::new());
}

fn equal_pictures_are_one_file(shop: TestShop) {
    let (one, other) = (shop.opens_job("QC-1"), shop.opens_job("QC-2"));
    let who = &shop.technician;
    let neighbour = shop.neighbour();
    let vehicle = id(&neighbour.post("/v1/vehicles", &json!({"plate": "HD-1"})).created());
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
    let theirs = format!("/v1/jobs/{}", id(&neighbour.post("/v1/jobs", &job).created()));

    // The same pixels, taken at different places: nothing of that is left.
    let picture = jpeg(60, 40);
    let made = [
        (who, &one, sends_jpeg(who, &one, &picture)),
        (who, &other, sends_jpeg(who, &other, &as_taken(&picture, 1))),
        (&neighbour, &theirs, sends_jpeg(&neighbour, &theirs, &picture)),
    ];
    assert_eq!(made[0].2["digest"], made[1].2["digest"]);
    assert_eq!(shop.files().len(), 2, "one picture and its thumbnail: {:?}", shop.files());
    sends_jpeg(who, &one, &jpeg(60, 41));
    assert_eq!(shop.files().len(), 4);
    for (n, (client, job, photo)) in made.iter().enumerate() {
        let place = format!("{job}/photos/{}", id(photo));
        assert_eq!(pixels(&client.get(&format!("{place}/file")).bytes), pixels(&picture), "{n}");
        assert_eq!(client.delete(&place).status, 204);
        client.get(&format!("{place}/file")).refused(404, "not_found");
        client.get(&format!("{place}/thumbnail")).refused(404, "not_found");
        assert_eq!(shop.files().len(), if n == 2 { 2 } else { 4 }, "the file goes with the last photo");
    }
}

/// Many add, read and remove the same picture at the same time.
fn a_file_is_there_whenever_a_photo_names_it(shop: TestShop) {
    let (job, picture) = (shop.opens_job("QC-1"), jpeg(24, 16));
    let kept = thread::scope(|scope| {
        let one = |n: usize| {
            let (job, picture, who) = (&job, &picture, shop.technician.clone());
            scope.spawn(move || {
                let mut kept = 0;
                for _ in 0..12 {
                    let answer = sends(&who, job, "", "image/jpeg", picture);
                    if answer.status == 503 {
                        // It was removed in this very moment: said so, and nothing was done.
                        continue;
                    }
                    kept += 1;
                    let place = format!("{job}/photos/{}", id(&answer.created()));
                    assert_eq!(who.get(&format!("{place}/file")).status, 200, "writer {n}");
                    assert_eq!(who.get(&format!("{place}/thumbnail")).status, 200, "writer {n}");
                    assert_eq!(who.delete(&place).status, 204);
                }
                kept
            })
        };
        let all: Vec<_> = (0..4).map(one).collect();
        all.into_iter().map(|one| one.join().unwrap()).sum::<usize>()
    });
    assert!(kept > 12, "only {kept} photos were taken");
    assert_eq!(shop.files(), Vec::<PathBuf>::new(), "no photo is left, and no file");
}

fn whoever_is_killed_leaves_nothing_that_hinders(shop: TestShop) {
    let (job, who, picture) = (shop.opens_job("QC-1"), &shop.technician, jpeg(60, 40));
    let files = Files::new(shop.database.files.path());
    // Killed after the file and before the row; in one attempt before the thumbnail.
    files.keep(Digest::of(&picture), Sort::Whole, &picture).unwrap();
    let made = sends_jpeg(who, &job, &picture);
    let place = format!("{job}/photos/{}", id(&made));
    assert_eq!(who.get(&format!("{place}/thumbnail")).status, 200);
    // Killed after the row had gone and before the file: the next one takes it up again, and it goes with that one.
    shop.database.execute("DELETE FROM photos");
    assert_eq!(shop.files().len(), 2);
    let made = sends_jpeg(who, &job, &picture);
    assert_eq!(shop.files().len(), 2);
    assert_eq!(who.delete(&format!("{job}/photos/{}", id(&made))).status, 204);
    assert_eq!(shop.files(), Vec::<PathBuf>::new());
    // Killed after the file had gone and before that was committed.
    let made = sends_jpeg(who, &job, &picture);
    shop.database.execute("DELETE FROM photos");
    files.remove(made["digest"].as_str().unwrap().parse().unwrap()).unwrap();
    let made = sends_jpeg(who, &job, &picture);
    assert_eq!(who.get(&format!("{job}/photos/{}/file", id(&made))).bytes, picture);
}

fn photos_after_the_sign_off_are_addenda(shop: TestShop) {
    let (job, who) = (shop.opens_job("QC-1"), &shop.technician);
    let before = sends_jpeg(who, &job, &jpeg(60, 40));
    who.post(&format!("{job}/sign-off"), &json!({})).ok();
    let after = sends(who, &job, "?note=The%20finished%20bonnet.", "image/jpeg", &jpeg(60, 41)).created();
    assert_eq!((&before["entered_afterwards"], &after["entered_afterwards"]), (&json!(false), &json!(true)));
    for photo in [&before, &after] {
        let place = format!("{job}/photos/{}", id(photo));
        who.delete(&place).refused(409, "job_not_open");
        who.change(&place, &json!({"panel": "roof"})).refused(409, "job_not_open");
    }
    let handover = json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}});
    shop.desk.post(&format!("{job}/handover"), &handover).created();
    assert_eq!(sends_jpeg(who, &job, &jpeg(60, 42))["entered_afterwards"], true);
    assert_eq!(who.get(&format!("{job}/photos")).ok()["items"].as_array().unwrap().len(), 3);
}

fn a_mark_shows_a_photo_of_its_job(shop: TestShop) {
    let (job, other, who) = (shop.opens_job("QC-1"), shop.opens_job("QC-2"), &shop.technician);
    let photo = id(&sends_jpeg(who, &job, &jpeg(60, 40)));
    let mark = json!({"panel": "boot", "kind": "dent", "photo": photo});
    let marked = who.post(&format!("{job}/marks"), &mark).created();
    assert_eq!(marked["photo"], photo);
    let unknown = who.post(&format!("{other}/marks"), &mark).faults(422, "rule_broken");
    assert_eq!(unknown, [("/photo".into(), "unknown_photo".into())]);
    let tried = who.post(&format!("{other}/marks?validate_only=true"), &mark).faults(422, "rule_broken");
    assert_eq!(tried, unknown);

    let (place, mark) = (format!("{job}/photos/{photo}"), format!("{job}/marks/{}", id(&marked)));
    who.delete(&place).refused(409, "photo_in_use");
    assert_eq!(who.get(&format!("{place}/file")).status, 200);
    who.change(&mark, &json!({"photo": null})).ok();
    assert_eq!(who.delete(&place).status, 204);
    let gone = who.change(&mark, &json!({"photo": photo})).faults(422, "rule_broken");
    assert_eq!(gone, unknown);
}

fn another_shop_sees_no_photo(shop: TestShop) {
    let (job, neighbour) = (shop.opens_job("QC-1"), shop.neighbour());
    let place = format!("{job}/photos/{}", id(&sends_jpeg(&shop.technician, &job, &jpeg(60, 40))));
    let tag = shop.technician.get(&format!("{place}/file")).header("etag").unwrap().to_owned();
    for rest in ["", "/file", "/thumbnail"] {
        neighbour.get(&format!("{place}{rest}")).refused(404, "not_found");
        neighbour
            .call("GET", &format!("{place}{rest}"), &[("If-None-Match", &tag)], None)
            .refused(404, "not_found");
        shop.technician.anonymous().get(&format!("{place}{rest}")).refused(401, "not_signed_in");
    }
    neighbour.call("DELETE", &place, &[("If-Match", "\"1\"")], None).refused(404, "not_found");
    sends(&neighbour, &job, "", "image/jpeg", &jpeg(8, 8)).refused(404, "not_found");
    assert_eq!(shop.files().len(), 2);
}

fn proof_of_a_service_elsewhere_is_a_photo_of_the_visit(shop: TestShop) {
    let vehicle = shop.adds_vehicle("QC-9");
    let visit = json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "inspection"}],
                       "done_by": {"kind": "other_shop", "name": "Hillside Care", "proof": "Invoice 2026-118"}});
    let visit = format!("/v1/visits/{}", id(&shop.desk.post("/v1/visits", &visit).created()));
    let invoice = jpeg(60, 80);
    let answer = sends(&shop.desk, &visit, "?note=Invoice+2026-118", "image/jpeg", &as_taken(&invoice, 1));
    let place = answer.header("location").unwrap().to_owned();
    let made = answer.created();
    assert_eq!((&made["note"], &made["width_px"]), (&json!("Invoice 2026-118"), &json!(60)));
    assert_eq!(shop.technician.get(&place).ok(), made);
    assert_eq!(shop.technician.get(&format!("{visit}/photos")).ok()["items"], json!([made]));
    let file = shop.technician.get(&format!("{place}/file"));
    assert_eq!((file.status, file.header("content-type")), (200, Some("image/jpeg")));
    assert_eq!(shop.technician.get(&format!("{place}/thumbnail")).status, 200);

    // The same picture on a job is the same file: it goes with the last photo that names it.
    let job = shop.opens_job("QC-8");
    let again = format!("{job}/photos/{}", id(&sends_jpeg(&shop.technician, &job, &invoice)));
    assert_eq!(shop.files().len(), 2);
    let removes = |who: &Client, place: &str| {
        let version = who.get(place).header("etag").unwrap().to_owned();
        who.call("DELETE", place, &[("If-Match", &version)], None)
    };
    assert_eq!(removes(&shop.technician, &again).status, 204);
    assert_eq!(shop.files().len(), 2);
    assert_eq!(removes(&shop.technician, &place).status, 403);
    assert_eq!(removes(&shop.desk, &place).status, 204);
    assert_eq!(shop.files(), Vec::<PathBuf>::new());
    assert_eq!(shop.desk.get(&place).status, 404);

    // That it came and went stays on record; a note is no part of what cannot be erased.
    let (came, went) = (shop.records("addendum"), shop.records("correction"));
    let ([came], [went]) = (came.as_slice(), went.as_slice()) else { panic!("{came:#?} {went:#?}") };
    assert_eq!((&came["photo"]["digest"], &came["photo"]["note"]), (&made["digest"], &made["note"]));
    assert_eq!((&went["photo_removed"]["digest"], &went["visit"]), (&made["digest"], &came["visit"]));
    assert_eq!(sends(&shop.desk, &visit, "", "image/heic", &invoice).status, 415);
    assert_eq!(sends(&shop.neighbour(), &visit, "", "image/jpeg", &invoice).status, 404);
}
