//! `Idempotency-Key` on every POST there is: sent again, nothing is done again, and the answer is the same.

use lustrum::http::ROUTES;
use lustrum::http::auth::Access;
use serde_json::json;

use super::idempotency::{keyed, said};
use super::samples::Scene;
use crate::migrations::contents;
use crate::support::database::on_both;

on_both!(whatever_is_sent_again_is_done_once);

fn whatever_is_sent_again_is_done_once(scene: Scene) {
    let posts = ROUTES.iter().filter(|route| route.method == "POST" && route.access != Access::Public);
    for (i, route) in posts.enumerate() {
        let call = scene.sample(route);
        let key = format!("again-{i}");
        let first = call.send_with(&[("Idempotency-Key", &key)]);
        assert_eq!(first.status, call.status, "{}: {:#}", first.what, first.body);
        let before = contents(&scene.shop.database);
        for _ in 0..2 {
            let again = call.send_with(&[("Idempotency-Key", &key)]);
            assert_eq!(said(&again), said(&first), "{}", again.what);
        }
        assert_eq!(contents(&scene.shop.database), before, "{}: it was done again", first.what);
        // The key is that of this request alone.
        keyed(&call.client, &key, "/v1/customers", &json!({"name": "Ada Ferro"}))
            .refused(422, "idempotency_key_reused");
    }
}
