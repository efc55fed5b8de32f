//! What every answer has, whatever is asked: success with its headers, and refusals as problem documents.

use std::collections::BTreeSet;

use lustrum::core::access::may;
use lustrum::core::words::Role;
use lustrum::http::ROUTES;
use lustrum::http::auth::Access;

use super::samples::Scene;
use super::{besides_json, is_problem, operation};
use crate::support::database::on_both;

on_both!(
    every_route_does_what_it_is_for,
    whoever_is_not_signed_in_is_told_how,
    whoever_may_not_is_refused,
    what_another_shop_has_is_not_there,
    what_nobody_asked_for_in_the_query_is_refused,
    other_methods_are_refused_with_those_there_are,
    head_is_get_without_a_body,
    what_is_not_offered_is_not_answered,
);

fn every_route_does_what_it_is_for(scene: Scene) {
    for route in ROUTES {
        let what = format!("{} {}", route.method, route.path);
        let call = scene.sample(route);
        let answer = call.send();
        assert_eq!(answer.status, call.status, "{what}: {:#}", answer.body);
        let success: Vec<String> = operation(route)["responses"]
            .as_object()
            .unwrap()
            .keys()
            .filter(|status| status.starts_with('2'))
            .cloned()
            .collect();
        assert!(success.contains(&call.status.to_string()), "{what}: the document knows {success:?}");
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"), "{what}");
        if answer.status == 204 {
            assert_eq!(answer.text, "", "{what}");
            continue;
        }
        let kind = answer.header("content-type").unwrap_or_default();
        if besides_json(route).is_empty() {
            assert_eq!(kind, "application/json", "{what}");
            assert!(answer.body.is_object(), "{what}: the top level is an object");
        } else {
            assert!(besides_json(route).iter().any(|of| *of == kind), "{what}: {kind}");
            assert!(!answer.bytes.is_empty(), "{what}");
        }
        let described = &operation(route)["responses"][answer.status.to_string()]["headers"];
        for (name, _) in described.as_object().unwrap() {
            assert!(answer.header(name).is_some(), "{what}: the document promises {name}");
        }
        if answer.status == 201 && described["Location"].is_object() {
            let location = answer.header("location").unwrap_or_else(|| panic!("{what}: no Location"));
            let read = scene.shop.manager.get(location);
            assert_eq!(read.status, 200, "{what}: {location}: {:#}", read.body);
            assert_eq!(read.header("etag"), answer.header("etag"), "{what}: {location}");
        } else {
            assert_eq!(answer.header("location"), None, "{what}");
        }
    }
}

fn whoever_is_not_signed_in_is_told_how(scene: Scene) {
    let url = &scene.shop.server.url;
    let stranger = crate::support::server::Client::new(url, Some("lus_nobody".into()));
    for route in ROUTES.iter().filter(|route| route.access != Access::Public) {
        let call = scene.sample(route);
        for client in [scene.shop.manager.anonymous(), stranger.clone()] {
            let answer = call.send_by(&client, &[]);
            is_problem(&answer, 401, "not_signed_in");
            assert_eq!(answer.header("www-authenticate"), Some("Bearer"), "{}", answer.what);
        }
    }
}

fn whoever_may_not_is_refused(scene: Scene) {
    let people = [(Role::Technician, &scene.shop.technician), (Role::Desk, &scene.shop.desk)];
    for route in ROUTES {
        let Access::Member(action) = route.access else { continue };
        for (role, client) in people {
            let call = scene.sample(route);
            let answer = call.send_by(client, &[]);
            if may(role, action) {
                assert_ne!(answer.status, 403, "{role}: {}", answer.what);
            } else {
                is_problem(&answer, 403, "forbidden");
            }
        }
    }
}

fn what_another_shop_has_is_not_there(scene: Scene) {
    let neighbour = scene.shop.neighbour();
    let unknown = uuid::Uuid::now_v7().to_string();
    // A kind of export is the same word in every shop.
    for route in ROUTES.iter().filter(|route| route.path.contains('{') && !route.path.contains("{kind}")) {
        let call = scene.sample(route);
        let theirs = call.send_by(&neighbour, &[]);
        is_problem(&theirs, 404, "not_found");
        let place = route.path.split('/').position(|segment| segment.starts_with('{')).unwrap();
        let plain = call.path.split('?').next().unwrap();
        let mut segments: Vec<&str> = plain.split('/').collect();
        segments[place] = &unknown;
        let nobodys = call.at(segments.join("/")).send();
        is_problem(&nobodys, 404, "not_found");
        let said = |answer: &crate::support::server::Answer| {
            let mut body = answer.body.clone();
            body["request_id"].take();
            body
        };
        assert_eq!(said(&theirs), said(&nobodys), "{}", theirs.what);
    }
}

fn what_nobody_asked_for_in_the_query_is_refused(scene: Scene) {
    for route in ROUTES.iter().filter(|route| route.path.starts_with("/v1")) {
        let call = scene.sample(route);
        let mark = if call.path.contains('?') { '&' } else { '?' };
        for (query, code) in
            [("colour=blue", "unknown_parameter"), ("q%00=1", "not_text"), ("q=%ff", "not_text")]
        {
            let answer = call.at(format!("{}{mark}{query}", call.path)).send();
            is_problem(&answer, 400, "malformed");
            let fault = &answer.body["errors"][0];
            assert_eq!(fault["code"], code, "{}: {:#}", answer.what, answer.body);
            assert!(fault["parameter"].is_string(), "{}: {:#}", answer.what, answer.body);
        }
    }
}

fn other_methods_are_refused_with_those_there_are(scene: Scene) {
    let paths: BTreeSet<&str> = ROUTES.iter().map(|route| route.path).collect();
    for path in paths {
        let mut there: BTreeSet<&str> =
            ROUTES.iter().filter(|route| route.path == path).map(|route| route.method).collect();
        if there.contains("GET") {
            there.insert("HEAD");
        }
        for method in ["GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "BREW"] {
            if there.contains(method) {
                continue;
            }
            // Whether it is there, and who asks, is looked at later.
            let filled =
                path.replace("{id}", "x").replace("{code}", "x").replace("{n}", "1").replace("{row}", "x");
            let answer = scene.shop.manager.anonymous().call(method, &filled, &[], None);
            assert_eq!(answer.status, 405, "{method} {path}");
            let allow = answer.header("allow").unwrap_or_default();
            assert_eq!(allow.split(", ").collect::<BTreeSet<_>>(), there, "{method} {path}");
            if method != "HEAD" {
                is_problem(&answer, 405, "method_not_allowed");
            }
        }
    }
    is_problem(&scene.shop.manager.get("/v1/nothing"), 404, "not_found");
    is_problem(&scene.shop.manager.anonymous().get("/v1/nothing"), 404, "not_found");
}

fn head_is_get_without_a_body(scene: Scene) {
    for route in ROUTES.iter().filter(|route| route.method == "GET") {
        let call = scene.sample(route);
        let (get, head) = (call.send(), call.client.call("HEAD", &call.path, &[], None));
        assert_eq!((head.status, head.text.as_str()), (200, ""), "{}", head.what);
        for name in ["content-type", "etag"] {
            assert_eq!(head.header(name), get.header(name), "{}", head.what);
        }
    }
}

fn what_is_not_offered_is_not_answered(scene: Scene) {
    for route in ROUTES.iter().filter(|route| route.path.starts_with("/v1")) {
        let call = scene.sample(route);
        is_problem(&call.send_with(&[("Accept", "text/html")]), 406, "not_acceptable");
        let besides = besides_json(route).last().and_then(|kind| kind.split('/').next());
        let taken = format!("{}/*", besides.unwrap_or("application"));
        let answer = call.send_with(&[("Accept", &format!("text/html, {taken};q=0.5"))]);
        assert_eq!(answer.status, call.status, "{}: {:#}", answer.what, answer.body);
    }
}
