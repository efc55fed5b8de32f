//! Pages for people: what they say, what they weigh, that every link leads somewhere, and that they reach for nothing.

mod browser;
mod doors;
mod examples;
mod links;
mod owners;
mod papers;
mod sales;

use std::collections::BTreeSet;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;

use lustrum::http::{PAGES, ROUTES};
use serde_json::Value;

use crate::support::database::on_both;
use crate::support::server::{Answer, Client};
use crate::support::shop::TestShop;

on_both!(the_first_page_speaks_to_people_and_programs);

/// The most that a page may weigh as it is sent, in bytes.
const HEAVIEST: usize = 60_000;

fn attributes<'h>(html: &'h str, name: &str) -> impl Iterator<Item = &'h str> {
    let before = format!(" {name}=\"");
    html.match_indices(&before)
        .map(|(at, found)| html[at + found.len()..].split('"').next().unwrap_or_default())
        .collect::<Vec<_>>()
        .into_iter()
}

fn page(client: &Client, path: &str) -> Answer {
    let answer = client.anonymous().call("GET", path, &[("Accept", "text/html")], None);
    assert_eq!(answer.status, 200, "{path}: {}", answer.text);
    answer
}

/// Every page that can be come to from the first one, by path.
fn walked(client: &Client) -> Vec<(String, Answer)> {
    let mut pages: Vec<(String, Answer)> = Vec::new();
    let mut waiting = vec!["/".to_owned()];
    while let Some(path) = waiting.pop() {
        if pages.iter().any(|(known, _)| *known == path) {
            continue;
        }
        let answer = page(client, &path);
        let links = attributes(&answer.text, "href").map(|link| link.split('#').next().unwrap_or_default());
        let ours = links.filter(|link| *link == "/" || link.starts_with("/docs"));
        waiting.extend(ours.filter(|link| !link.contains("/assets/")).map(str::to_owned));
        pages.push((path, answer));
    }
    assert!(pages.len() > 12, "{}", pages.len());
    pages
}

/// Text as it was before it was escaped.
fn plain(escaped: &str) -> String {
    let entities = [("&#60;", "<"), ("&#62;", ">"), ("&#34;", "\""), ("&#39;", "'"), ("&#38;", "&")];
    entities.iter().fold(escaped.to_owned(), |text, (entity, plain)| text.replace(entity, plain))
}

/// The shell of every example of a page, in order.
pub(super) fn shell(html: &str) -> Vec<String> {
    let blocks = html.split("<code class=\"run\">").skip(1);
    blocks.map(|block| plain(block.split("</code>").next().unwrap_or_default())).collect()
}

fn the_first_page_speaks_to_people_and_programs(shop: TestShop) {
    let nobody = shop.manager.anonymous();
    let asked = |accept: &[(&str, &str)]| nobody.call("GET", "/", accept, None);
    for accept in [&[][..], &[("Accept", "*/*")], &[("Accept", "text/html,application/xml;q=0.9,*/*;q=0.8")]]
    {
        let answer = asked(accept);
        assert_eq!((answer.status, answer.header("content-type")), (200, Some("text/html; charset=utf-8")));
        assert!(answer.text.contains("<h1>Lustrum</h1>") && answer.text.contains("href=\"/docs\""));
        assert_eq!(answer.header("vary"), Some("accept"));
    }
    for accept in ["application/json", "application/json, text/html;q=0.5"] {
        let answer = asked(&[("Accept", accept)]);
        assert_eq!(answer.body["documentation"], "/docs", "{}", answer.text);
        assert_eq!(nobody.get(answer.body["openapi"].as_str().unwrap()).status, 200);
        assert_eq!(nobody.get(answer.body["health"].as_str().unwrap()).status, 200);
    }
    asked(&[("Accept", "image/png")]).refused(406, "not_acceptable");
    nobody.call("GET", "/docs", &[("Accept", "application/json")], None).refused(406, "not_acceptable");
    nobody.get("/docs/nothing").refused(404, "not_found");
    nobody.get("/docs/assets/nothing.css").refused(404, "not_found");
    let forms = ["/unsubscribe", "/my/{token}/", "/confirm", "/door"];
    for path in PAGES.iter().filter(|path| !forms.iter().any(|before| path.starts_with(before))) {
        let path = path.replace("{name}", "sign-in");
        let answer = nobody.call("POST", &path, &[], None);
        assert_eq!(answer.header("allow"), Some("GET, HEAD"), "{path}");
        answer.refused(405, "method_not_allowed");
    }
    let known = page(&nobody, "/docs");
    let again = nobody.call("GET", "/docs", &[("If-None-Match", known.header("etag").unwrap())], None);
    assert_eq!((again.status, again.text.as_str()), (304, ""));
    assert_eq!(nobody.call("HEAD", "/docs", &[], None).header("etag"), known.header("etag"));
}

#[test]
fn every_link_leads_somewhere_and_nothing_comes_from_elsewhere() {
    let shop = TestShop::open(crate::support::database::Backend::Sqlite);
    let pages = walked(&shop.manager);
    let anchors: BTreeSet<String> = pages
        .iter()
        .flat_map(|(path, page)| attributes(&page.text, "id").map(move |id| format!("{path}#{id}")))
        .collect();
    for (path, page) in &pages {
        let html = &page.text;
        let policy = page.header("content-security-policy").unwrap();
        assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
        assert_eq!(attributes(html, "style").count() + html.matches("<style").count(), 0, "{path}");
        assert_eq!(
            html.matches("<script").count(),
            attributes(html, "src").count(),
            "{path}: an inline script"
        );
        let ids: Vec<&str> = attributes(html, "id").collect();
        assert_eq!(ids.len(), ids.iter().collect::<BTreeSet<_>>().len(), "{path}: an id twice");
        for link in attributes(html, "href").chain(attributes(html, "src")) {
            assert!(link.starts_with('/') || link.starts_with('#'), "{path} reaches for {link}");
            let whole = if link.starts_with('#') { format!("{path}{link}") } else { link.to_owned() };
            match whole.split_once('#') {
                Some(_) => assert!(anchors.contains(&whole), "{path}: nothing is at {whole}"),
                None => assert_eq!(shop.manager.anonymous().get(&whole).status, 200, "{path}: {whole}"),
            }
        }
    }
}

#[test]
fn every_operation_has_its_place_and_its_example() {
    let shop = TestShop::open(crate::support::database::Backend::Sqlite);
    let document: Value = serde_json::from_str(&lustrum::http::openapi::text().unwrap()).unwrap();
    let pages = walked(&shop.manager);
    for route in ROUTES {
        let operation = &document["paths"][route.path][route.method.to_lowercase()];
        let anchor = operation["operationId"].as_str().unwrap().replace('_', "-");
        let mark = format!("id=\"{anchor}\"");
        let told: Vec<&str> = pages
            .iter()
            .flat_map(|(_, page)| page.text.split("<article").filter(|part| part.contains(&mark)))
            .collect();
        let what = format!("{} {}", route.method, route.path);
        let [article] = told[..] else { panic!("{what} is told {} times", told.len()) };
        let example = shell(article).concat();
        assert!(
            example.contains("curl "),
            "{what} has no example: give it one in src/http/pages/chapters, where a shop comes to it"
        );
        let summary = operation["summary"].as_str().unwrap().trim_end_matches('.').replace('\n', " ");
        assert!(plain(article).contains(&summary), "{what}: {summary}");
        let said = operation["description"].as_str().unwrap_or_default();
        assert!(said.len() > 30, "{what} is not described: add a paragraph to the comment of its handler");
    }
}

#[test]
fn pages_are_light() {
    let shop = TestShop::open(crate::support::database::Backend::Sqlite);
    let host = shop.server.url.trim_start_matches("http://");
    let weight = |path: &str| {
        let mut stream = TcpStream::connect(host).unwrap();
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: {host}\r\nAccept-Encoding: gzip\r\nConnection: close\r\n\r\n"
        );
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let head = answer.windows(4).position(|bytes| bytes == b"\r\n\r\n").unwrap();
        let said = String::from_utf8_lossy(&answer[..head]).to_lowercase();
        assert!(said.contains("content-encoding: gzip"), "{path}: {said}");
        answer.len()
    };
    let assets = weight("/docs/assets/pages.css") + weight("/docs/assets/copy.js");
    for (path, _) in walked(&shop.manager) {
        let whole = weight(&path) + assets;
        assert!(whole <= HEAVIEST, "{path} weighs {whole} bytes");
    }
}

/// Codes are words that programs hold on to: each that is answered is told.
#[test]
fn every_code_is_listed() {
    let shop = TestShop::open(crate::support::database::Backend::Sqlite);
    let rules = page(&shop.manager, "/docs/rules").text;
    let mut states = 0;
    for file in std::fs::read_dir("src/app").unwrap().map(|entry| entry.unwrap().path()) {
        let source = std::fs::read_to_string(&file).unwrap_or_default();
        for mark in ["Rule::state(\"", "Rule::State { code: \""] {
            for rest in source.split(mark).skip(1) {
                let code = rest.split('"').next().unwrap();
                assert!(rules.contains(&format!("id=\"{code}\"")), "{}: {code}", file.display());
                states += 1;
            }
        }
    }
    assert!(states > 10, "{states}");
}
