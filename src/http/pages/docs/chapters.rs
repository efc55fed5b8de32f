//! The chapters, as they are written: shell scripts whose comments are the text. So the order in which the interface is
//! told, and an example for each operation, stand in one place and can be run as they are.
//!
//! `#!` is the title, `#: begin` what every reader runs first, `#: title` a part in between, `#= METHOD /path` the
//! example of an operation, and `#= title` one of the calls of a guide. The comment right below any of these is its text.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::http::pages::words::{Line, paragraphs};
use crate::http::{ROUTES, Route};

/// What every chapter begins with.
const BEGIN: &str = include_str!("../chapters/begin.sh");

/// Where the demo is reached, unless its port is taken.
const DEMO: &str = "http://127.0.0.1:8080";

/// Name and text of each chapter, in order.
const CHAPTERS: &[(&str, &str)] = &[
    ("ten-calls", include_str!("../chapters/ten_calls.sh")),
    ("eight-calls", include_str!("../chapters/eight_calls.sh")),
    ("sign-in", include_str!("../chapters/sign_in.sh")),
    ("set-up", include_str!("../chapters/set_up.sh")),
    ("take-in", include_str!("../chapters/take_in.sh")),
    ("work", include_str!("../chapters/work.sh")),
    ("hand-over", include_str!("../chapters/hand_over.sh")),
    ("when-it-returns", include_str!("../chapters/when_it_returns.sh")),
    ("keep-up", include_str!("../chapters/keep_up.sh")),
    ("things-that-happen", include_str!("../chapters/things_that_happen.sh")),
    ("work-out", include_str!("../chapters/work_out.sh")),
    ("run-it", include_str!("../chapters/run_it.sh")),
];

/// A chapter.
#[derive(Debug, Default)]
pub(crate) struct Chapter {
    pub(crate) name: &'static str,
    pub(crate) title: String,
    pub(crate) about: Vec<Line>,
    /// What is run before its examples.
    pub(crate) begin: String,
    pub(crate) sections: Vec<Section>,
}

/// What a part of a chapter is about.
#[derive(Debug)]
pub(crate) enum Heading {
    /// A part in between.
    Free(String),
    /// One of the calls of a guide.
    Call(String),
    /// An operation of the interface.
    Operation(&'static Route),
}

/// A part of a chapter.
#[derive(Debug)]
pub(crate) struct Section {
    pub(crate) heading: Heading,
    pub(crate) about: Vec<Line>,
    /// Shell; empty where there is no example.
    pub(crate) code: String,
}

impl Section {
    pub(crate) fn without_example(route: &'static Route) -> Self {
        Self { heading: Heading::Operation(route), about: Vec::new(), code: String::new() }
    }
}

/// All chapters, for a service that is reached at this address.
pub(crate) fn all(url: &str) -> Vec<Chapter> {
    CHAPTERS.iter().map(|(name, text)| read(name, text, url)).collect()
}

fn read(name: &'static str, text: &str, url: &str) -> Chapter {
    let mut chapter = Chapter { name, ..Chapter::default() };
    // What stands before the first mark is nothing: a chapter begins with its title.
    for block in format!("\n{text}").split("\n#").skip(1).fold(Vec::new(), gathered) {
        let (head, body) = block.split_once('\n').unwrap_or((&block, ""));
        let (about, code) = comment(body);
        match (head.chars().next(), head.get(1..).unwrap_or_default().trim()) {
            (Some('!'), title) => {
                title.clone_into(&mut chapter.title);
                chapter.about = about;
            }
            (Some(':'), "begin") => chapter.begin = format!("{}{code}", BEGIN.replace(DEMO, url)),
            (Some(':'), title) => {
                chapter.sections.push(Section { heading: Heading::Free(title.to_owned()), about, code });
            }
            (_, title) => {
                let heading =
                    operation(title).map_or_else(|| Heading::Call(title.to_owned()), Heading::Operation);
                chapter.sections.push(Section { heading, about, code });
            }
        }
    }
    chapter
}

/// Only `#!`, `#:` and `#=` begin a block; any other comment belongs to the one before it.
fn gathered(mut blocks: Vec<String>, next: &str) -> Vec<String> {
    match (next.chars().next(), blocks.last_mut()) {
        (Some('!' | ':' | '='), _) | (_, None) => blocks.push(next.to_owned()),
        (_, Some(last)) => {
            last.push_str("\n#");
            last.push_str(next);
        }
    }
    blocks
}

/// The comment at the top, and what comes after it.
fn comment(body: &str) -> (Vec<Line>, String) {
    let lines: Vec<&str> = body.lines().take_while(|line| line.starts_with('#')).collect();
    let text: Vec<&str> = lines.iter().map(|line| line.trim_start_matches('#').trim()).collect();
    let code: Vec<&str> = body.lines().skip(lines.len()).collect();
    let code = code.join("\n");
    (paragraphs(&text.join("\n")), if code.is_empty() { code } else { format!("{}\n", code.trim_end()) })
}

/// The route of `METHOD /path`.
fn operation(title: &str) -> Option<&'static Route> {
    let (method, path) = title.split_once(' ')?;
    ROUTES.iter().find(|route| route.method == method && route.path == path)
}

/// What stands for a variable of the shell where a document shows the same example.
fn sample(variable: &str) -> &'static str {
    match variable {
        "YESTERDAY" => "2026-03-09",
        "TODAY" => "2026-03-10",
        "TOMORROW" => "2026-03-11",
        "DIGEST" => "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
        "REFRESH" => "eyJhbGciOiJFZERTQSJ9.eyJnIjoxfQ.c2lnbmVk",
        "(( $(date +%Y) + 2 ))" => "2028",
        _ => "019cd3f0-7b2c-7c11-8a54-3d1f0c9e4a77",
    }
}

/// The body that the example of each operation sends, where it sends one: by method and path.
pub(crate) fn bodies() -> BTreeMap<(&'static str, &'static str), Value> {
    let sections = all(DEMO).into_iter().flat_map(|chapter| chapter.sections);
    let body = |section: Section| match section.heading {
        Heading::Operation(route) => Some(((route.method, route.path), body(route, &section.code)?)),
        _ => None,
    };
    sections.filter_map(body).collect()
}

fn body(route: &Route, code: &str) -> Option<Value> {
    // The last call of an example is the one that it is about, but for what it looks up afterwards.
    let path = route.path.split('{').next().unwrap_or(route.path).trim_end_matches('/');
    let call = code.split("curl ").filter(|call| call.contains(path) && call.contains("--json '")).last()?;
    let mut text = String::new();
    let mut rest = call.split_once("--json '")?.1;
    loop {
        let (said, after) = rest.split_once('\'')?;
        text.push_str(said);
        let Some(after) = after.strip_prefix('$') else { break };
        let (variable, next) = after.split_once('\'')?;
        text.push_str(sample(variable));
        rest = next;
    }
    serde_json::from_str(&text).ok()
}

#[cfg(test)]
mod tests {
    use super::{Heading, read};

    #[test]
    fn a_chapter_is_a_shell_script_with_text_in_it() {
        let text = "#! Take in\n# First.\n#\n# Second.\n#: begin\nX=1\n#= GET /v1/shop\ncurl a\n# said by the way\ncurl b\n\
                    #= The bottle\n# Why.\ncurl c\n";
        let chapter = read("take-in", text, "https://shop.example");
        assert_eq!((chapter.title.as_str(), chapter.about.len()), ("Take in", 2));
        assert!(
            chapter.begin.starts_with("LUSTRUM=https://shop.example\n") && chapter.begin.ends_with("X=1\n")
        );
        let [shop, bottle] = &chapter.sections[..] else { panic!("{:?}", chapter.sections) };
        assert!(matches!(shop.heading, Heading::Operation(route) if route.path == "/v1/shop"));
        assert_eq!(shop.code, "curl a\n# said by the way\ncurl b\n");
        assert!(matches!(&bottle.heading, Heading::Call(title) if title == "The bottle"));
        assert_eq!((bottle.about.len(), bottle.code.as_str()), (1, "curl c\n"));
    }
}
