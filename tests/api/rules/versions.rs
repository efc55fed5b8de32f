//! Whoever changes something has seen it as it is; whoever has it already is not sent it again.

use std::sync::Barrier;
use std::thread;

use lustrum::http::{ROUTES, Route};
use serde_json::json;

use super::call::Call;
use super::is_problem;
use super::samples::Scene;
use crate::support::database::on_both;

on_both!(
    changes_are_of_what_was_seen,
    what_is_known_is_not_sent_again,
    of_a_hundred_who_have_seen_the_same_one_changes_it,
);

/// What asks for `If-Match`: signing out changes nothing that has a version.
fn changing() -> impl Iterator<Item = &'static Route> {
    ROUTES.iter().filter(|route| {
        matches!(route.method, "PATCH" | "PUT" | "DELETE") && !route.path.starts_with("/v1/sessions")
    })
}

fn tagged(call: &Call, etag: Option<&str>) -> Call {
    Call { etag: etag.map(str::to_owned), ..call.at(call.path.clone()) }
}

fn changes_are_of_what_was_seen(scene: Scene) {
    for route in changing() {
        let call = scene.sample(route);
        let etag = call.etag.clone().unwrap();
        is_problem(&tagged(&call, None).send(), 428, "precondition_required");
        for stale in ["\"0\"", "\"\"", "W/\"1\"", "1", "nonsense"] {
            is_problem(&tagged(&call, Some(stale)).send(), 412, "precondition_failed");
        }
        if call.body.is_some() {
            let text = [("Content-Type", "text/plain")];
            is_problem(&tagged(&call, None).send_bytes(&text, b"{}"), 415, "unsupported_media_type");
            let json = [("Content-Type", "application/json")];
            is_problem(&tagged(&call, None).send_bytes(&json, b"{"), 428, "precondition_required");
        }
        let nonsense = format!("{}?colour=blue", call.path);
        is_problem(&tagged(&call, Some("\"0\"")).at(nonsense).send(), 412, "precondition_failed");

        let answer = tagged(&call, Some(&format!("\"0\", {etag}"))).send();
        assert_eq!(answer.status, call.status, "{}: {:#}", answer.what, answer.body);
        if answer.status == 204 {
            is_problem(&scene.shop.manager.get(&call.path), 404, "not_found");
            continue;
        }
        let now = answer.header("etag").unwrap_or_else(|| panic!("{} has no ETag", answer.what));
        assert_ne!(now, etag, "{}: changed, and of the same version", answer.what);
        assert_eq!(scene.shop.manager.etag(&call.path), now, "{}", answer.what);
        is_problem(&call.send(), 412, "precondition_failed");
    }
}

/// Whether a GET answers one thing, and not a list or something that was worked out.
fn single(route: &Route) -> bool {
    route.method == "GET"
        && route.path.starts_with("/v1")
        && (["}", "/file", "/thumbnail"].iter().any(|end| route.path.ends_with(end))
            || route.path == "/v1/shop")
}

fn what_is_known_is_not_sent_again(scene: Scene) {
    for route in ROUTES.iter().filter(|route| single(route)) {
        let call = scene.sample(route);
        let etag =
            call.send().header("etag").unwrap_or_else(|| panic!("{} has no ETag", route.path)).to_owned();
        assert!(etag.starts_with('"'), "{}: {etag} is not strong", route.path);
        for known in [etag.clone(), format!("\"other\", {etag}"), format!("W/{etag}"), "*".to_owned()] {
            let answer = call.send_with(&[("If-None-Match", &known)]);
            assert_eq!((answer.status, answer.text.as_str()), (304, ""), "{} {known}", answer.what);
            assert_eq!(answer.header("etag"), Some(etag.as_str()), "{}", answer.what);
        }
        assert_eq!(call.send_with(&[("If-None-Match", "\"other\"")]).status, 200, "{}", route.path);
    }
}

/// The others are told that it has changed since; nothing of theirs is lost without a word.
fn of_a_hundred_who_have_seen_the_same_one_changes_it(scene: Scene) {
    let desk = &scene.shop.desk;
    let path = format!("/v1/customers/{}", scene.shop.adds_customer("Ada Ferro", "ada@example.org"));
    let (etag, together) = (desk.etag(&path), Barrier::new(100));
    let answers: Vec<(usize, u16)> = thread::scope(|scope| {
        let one = |n: usize| {
            let (path, etag, together) = (&path, &etag, &together);
            move || {
                together.wait();
                (n, desk.patch(path, etag, &json!({"phone": format!("+351 {n}")})).status)
            }
        };
        let all: Vec<_> = (0..100).map(|n| scope.spawn(one(n))).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    let done: Vec<usize> = answers.iter().filter(|(_, status)| *status == 200).map(|(n, _)| *n).collect();
    assert_eq!(done.len(), 1, "{answers:?}");
    assert_eq!(answers.iter().filter(|(_, status)| *status == 412).count(), 99, "{answers:?}");
    assert_eq!(desk.get(&path).ok()["phone"], format!("+351 {}", done[0]));
}
