//! Pictures over HTTP: what they are made of.

use serde_json::json;

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(the_weather_is_not_drawn_as_the_climate_at_the_vehicle);

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
    let asked = [("Accept", "image/svg+xml")];
    let answer = shop.desk.call("GET", &format!("{job}/climate.svg"), &asked, None);
    assert_eq!((answer.status, answer.header("content-type")), (200, Some("image/svg+xml")));
    assert!(
        answer.text.contains("2 readings from") && answer.text.contains("air from 20 to 21 °C"),
        "{}",
        answer.text
    );
}
