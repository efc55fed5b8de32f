//! Pictures over HTTP: what they are made of, and in which language they are.

use serde_json::json;

use crate::api::documents::printed;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    the_weather_is_not_drawn_as_the_climate_at_the_vehicle,
    a_picture_is_in_the_language_of_the_shop,
    pictures_in_a_document_are_in_its_language,
);

fn the_weather_is_not_drawn_as_the_climate_at_the_vehicle(shop: TestShop) {
    let vehicle = shop.adds_vehicle("QC-1");
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
    let job = format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &job).created()));
    let reads = |at: &str, air_c: f64, place: &str| {
        let reading = json!({"at": at, "air_c": air_c, "rh_pct": 50, "surface_c": air_c, "place": place});
        shop.technician.post(&format!("{job}/climate"), &reading).created();
    };
    reads("2026-03-09T09:00:00Z", 20.0, "bay");
    reads("2026-03-09T10:00:00Z", 21.0, "bay");
    reads("2026-03-09T11:00:00Z", -4.0, "outside");
    let picture = drawn(&shop, &format!("{job}/climate.svg"));
    assert!(picture.contains("2 readings: air 20 to 21 °C"), "{picture}");
}

fn drawn(shop: &TestShop, path: &str) -> String {
    let answer = shop.desk.call("GET", path, &[("Accept", "image/svg+xml")], None);
    assert_eq!((answer.status, answer.header("content-type")), (200, Some("image/svg+xml")), "{path}");
    answer.text
}

/// A delivery with more than one reading of the climate, and thin paint; answers the vehicle's id and the warranty's.
fn delivers_with_readings(shop: &TestShop) -> (String, String) {
    shop.stocks_up();
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let vehicle = shop.takes_in(&owner);
    let job = format!("/v1/jobs/{}", shop.coats(&vehicle));
    let climate = json!({"at": "2026-03-09T11:00:00Z", "air_c": 20.4, "rh_pct": 47, "surface_c": 19.5});
    shop.technician.post(&format!("{job}/climate"), &climate).created();
    for (when, um) in [("before", [76.0, 77.0]), ("after", [71.5, 72.0])] {
        let thin = json!({"panel": "bonnet", "when": when, "spots": [{"um": um[0]}, {"um": um[1]}]});
        shop.technician.post(&format!("{job}/paint-readings"), &thin).created();
    }
    for (panel, ground) in [("front_bumper", json!("plastic")), ("boot", json!("film"))] {
        let spots = if ground == "film" { json!([{"um": 290.0}]) } else { json!([]) };
        let read = json!({"panel": panel, "when": "before", "ground": ground, "spots": spots});
        shop.technician.post(&format!("{job}/paint-readings"), &read).created();
    }
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
    let handover = json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}});
    (vehicle, id(&shop.desk.post(&format!("{job}/handover"), &handover).created()["warranty"]))
}

fn a_picture_is_in_the_language_of_the_shop(shop: TestShop) {
    let (_, warranty) = delivers_with_readings(&shop);
    let (job, warranty) = ("/v1/jobs/J-2026-0001", format!("/v1/warranties/{warranty}"));
    let pictures = || {
        [
            drawn(&shop, &format!("{job}/climate.svg")),
            drawn(&shop, &format!("{job}/cure.svg")),
            drawn(&shop, &format!("{job}/panels.svg")),
            drawn(&shop, &format!("{warranty}/cover.svg")),
        ]
    };
    let english = pictures();
    for (picture, said) in english.iter().zip([
        "Climate over job J-2026-0001",
        "base-30 on paint, ",
        "Paint of job J-2026-0001",
        ">Paint</text>",
    ]) {
        assert!(picture.contains(said), "{said:?} in {picture}");
    }
    // Whose language is none of ours is shown English.
    shop.manager.change("/v1/shop", &json!({"language": "nl"})).ok();
    assert_eq!(pictures(), english);
    for (language, wanted) in [
        (
            "de-AT",
            [
                "Klima während des Auftrags J-2026-0001",
                "base-30 auf Lack, ",
                "Lackdicken beim Auftrag J-2026-0001",
                ">Lack</text>",
            ],
        ),
        (
            "fr",
            [
                "Climat pendant l’intervention J-2026-0001",
                "base-30 sur peinture, ",
                "Mesures de peinture de l’intervention J-2026-0001",
                ">en vigueur</text>",
            ],
        ),
    ] {
        shop.manager.change("/v1/shop", &json!({"language": language})).ok();
        for (picture, said) in pictures().iter().zip(wanted) {
            assert!(picture.contains(said), "{said:?} in {picture}");
        }
    }
}

fn pictures_in_a_document_are_in_its_language(mut shop: TestShop) {
    let (vehicle, _) = delivers_with_readings(&shop);
    shop.it_is("2027-05-20T09:00:00Z");
    for (language, cover, climate, paint) in [
        ("de", "Zeitraum einer Fälligkeit", "Taupunkt", ["dünn: nicht mehr polieren", "Kunststoff"]),
        ("es", "Plazo de un vencimiento", "Punto de rocío", ["pintura fina: no pulir más", "Plástico"]),
        ("fr", "Délai d’une échéance", "Point de rosée", ["peinture mince : ne plus polir", "Plastique"]),
        (
            "pt",
            "Prazo de uma data prevista",
            "Ponto de orvalho",
            ["pintura fina: não polir mais", "Plástico"],
        ),
        ("en", "Window of a due", "Dew point", ["thin: polish no more", "Plastic"]),
    ] {
        let path = format!("/v1/vehicles/{vehicle}/history.pdf?language={language}");
        let (_, history) = printed(&shop.desk, &path);
        assert!(history.contains(cover) && history.contains(climate), "{language}: {history}");
        let (_, sheet) = printed(&shop.desk, &format!("/v1/jobs/J-2026-0001/sheet.pdf?language={language}"));
        assert!(sheet.contains(climate), "{language}: {sheet}");
        assert!(paint.iter().all(|said| sheet.contains(said)), "{language}: {sheet}");
    }
}
