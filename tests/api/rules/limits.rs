//! How often somebody may ask, and who is asking behind a proxy.

use lustrum::app::App;
use lustrum::config::Config;
use serde_json::json;

use super::is_problem;
use crate::support::database::Backend;
use crate::support::server::{Answer, Client, Server};
use crate::support::shop::{PASSWORD, TestShop, sign_in};

/// A service with other settings on the shop's database.
fn serving(shop: &TestShop, set: impl FnOnce(&mut Config)) -> Server {
    let mut config = (*shop.app.config).clone();
    set(&mut config);
    Server::start(App::open(config, shop.clock.clone()).unwrap())
}

fn shop() -> TestShop {
    TestShop::open(Backend::Sqlite)
}

/// What the answer says is left of each limit.
fn left(answer: &Answer) -> Vec<(String, u32)> {
    let list = answer.header("ratelimit").unwrap_or_default();
    let one = |item: &str| {
        let mut parts = item.trim().split(';');
        let name = parts.next().unwrap().trim_matches('"').to_owned();
        (name, parts.next().unwrap().strip_prefix("r=").unwrap().parse().unwrap())
    };
    list.split(',').filter(|item| !item.is_empty()).map(one).collect()
}

fn too_many(answer: &Answer) {
    is_problem(answer, 429, "too_many_requests");
    let wait: u32 = answer.header("retry-after").unwrap().parse().unwrap();
    assert!((1..=60).contains(&wait), "{wait}");
}

#[test]
fn an_account_has_its_limit_wherever_it_asks_from() {
    let shop = shop();
    let server = serving(&shop, |config| config.limit_account = "3".parse().unwrap());
    let (desk, manager) =
        (sign_in(&server.url, "dora@quayside.example"), sign_in(&server.url, "ines@quayside.example"));
    for still in [2, 1, 0] {
        let answer = desk.get("/v1/shop");
        assert_eq!(answer.status, 200);
        assert!(left(&answer).contains(&("account".to_owned(), still)), "{:?}", answer.headers);
        let policy = answer.header("ratelimit-policy").unwrap();
        assert!(policy.contains("\"account\";q=3;w=60"), "{policy}");
    }
    let refused = desk.get("/v1/shop");
    too_many(&refused);
    assert!(left(&refused).contains(&("account".to_owned(), 0)));
    assert_eq!(manager.get("/v1/shop").status, 200);
    assert_eq!(desk.anonymous().get("/health/live").status, 200);
}

#[test]
fn an_address_has_its_limit_on_every_route() {
    let shop = shop();
    let server = serving(&shop, |config| config.limit_address = "4".parse().unwrap());
    let nobody = Client::new(&server.url, None);
    nobody.get("/v1/shop").refused(401, "not_signed_in");
    nobody.get("/v1/nothing").refused(404, "not_found");
    nobody.post("/v1/shop", &json!({})).refused(405, "method_not_allowed");
    let last = nobody.get("/health/live");
    assert_eq!(left(&last), [("address".to_owned(), 0)]);
    for path in ["/v1/shop", "/v1/nothing", "/health/live", "/openapi.json"] {
        too_many(&nobody.get(path));
    }
}

#[test]
fn signing_in_has_a_limit_of_its_own() {
    let shop = shop();
    let server = serving(&shop, |config| {
        config.limit_sign_in = "3".parse().unwrap();
        config.trusted_proxies = vec!["127.0.0.1".parse().unwrap()];
    });
    let nobody = Client::new(&server.url, None);
    let attempt = |from: &str, email: &str, password: &str| {
        let body = json!({"email": email, "password": password});
        nobody.call("POST", "/v1/sessions", &[("X-Forwarded-For", from)], Some(&body))
    };
    // Passwords are not guessed from one address, nor for one account from many.
    for n in 0..3 {
        attempt("192.0.2.1", &format!("nobody-{n}@quayside.example"), "a guess, and a bad one")
            .refused(401, "sign_in_failed");
        attempt(&format!("198.51.100.{n}"), "Dora@Quayside.example", "a guess, and a bad one")
            .refused(401, "sign_in_failed");
    }
    too_many(&attempt("192.0.2.1", "ines@quayside.example", PASSWORD));
    too_many(&attempt("203.0.113.9", "dora@quayside.example", PASSWORD));
    assert_eq!(attempt("203.0.113.9", "ines@quayside.example", PASSWORD).status, 201);
}

#[test]
fn only_trusted_proxies_say_who_asks() {
    let shop = shop();
    let asks = |server: &Server, forwarded: &str| {
        let headers = [("X-Forwarded-For", forwarded)];
        let answer = Client::new(&server.url, None).call("GET", "/health/live", &headers, None);
        if answer.status == 200 { left(&answer)[0].1 } else { u32::MAX }
    };
    let limit = |config: &mut Config| config.limit_address = "10".parse().unwrap();

    // Nobody is trusted: whatever is claimed, it is one asker.
    let server = serving(&shop, limit);
    assert_eq!((asks(&server, "192.0.2.1"), asks(&server, "192.0.2.2")), (9, 8));

    let server = serving(&shop, |config| {
        limit(config);
        config.trusted_proxies = vec!["127.0.0.0/8".parse().unwrap(), "10.0.0.0/8".parse().unwrap()];
    });
    assert_eq!((asks(&server, "192.0.2.1"), asks(&server, "192.0.2.2")), (9, 9));
    // What stands before the first that is not trusted was written by whoever asks.
    assert_eq!(asks(&server, "198.51.100.7, 192.0.2.1"), 8);
    assert_eq!(asks(&server, "192.0.2.1, 10.1.1.1"), 7);
    // IPv6 addresses are counted by their first 64 bits.
    assert_eq!(
        (asks(&server, "2001:db8::1"), asks(&server, "2001:db8::ffff:2"), asks(&server, "2001:db8:0:1::1")),
        (9, 8, 9)
    );
    // What is no address ends the chain at the last that is one.
    assert_eq!((asks(&server, "unknown"), asks(&server, "")), (9, 8));
}

#[test]
fn limits_can_be_off() {
    let shop = shop();
    let server = serving(&shop, |config| {
        for limit in [&mut config.limit_address, &mut config.limit_account, &mut config.limit_sign_in] {
            *limit = "off".parse().unwrap();
        }
    });
    let answer = sign_in(&server.url, "dora@quayside.example").get("/v1/shop");
    assert_eq!((answer.status, answer.header("ratelimit")), (200, None));
}
