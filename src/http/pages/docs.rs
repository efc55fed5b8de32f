//! The documentation of the interface: made from its OpenAPI document, in the order in which a shop works.

pub(crate) mod chapters;
mod operations;
mod rules;
mod shapes;

use std::collections::{BTreeMap, BTreeSet};

use actix_web::{HttpRequest, HttpResponse};
use askama::Template;
use serde_json::Value;

use self::chapters::{Chapter, Heading};
use self::operations::Operation;
use self::rules::Code;
use self::shapes::{Shape, Shapes};
use super::words::Line;
use super::{Page, reads_html};
use crate::app::App;
use crate::http::auth::Path;
use crate::http::error::Problem;
use crate::http::{ROUTES, Route, openapi, service};

/// Every page of the documentation, by name; the contents have none.
#[derive(Debug)]
pub struct Docs(BTreeMap<&'static str, Page>);

/// Where a page stands among the others.
struct Place {
    name: &'static str,
    title: String,
    number: usize,
}

/// What is around the text of every page.
struct Frame {
    places: Vec<Place>,
    /// The page that this is.
    name: &'static str,
    drill: bool,
}

impl Frame {
    fn at(&self, step: isize) -> Option<&Place> {
        let here = self.places.iter().position(|place| place.name == self.name)?;
        self.places.get(here.checked_add_signed(step)?)
    }

    fn before(&self) -> Option<&Place> {
        self.at(-1)
    }

    fn after(&self) -> Option<&Place> {
        self.at(1)
    }
}

/// A part of a chapter.
struct Part {
    anchor: String,
    number: String,
    title: String,
    about: Vec<Line>,
    operation: Option<Operation>,
    code: String,
}

#[derive(Template)]
#[template(path = "docs/chapter.html", config = "src/http/pages/askama.toml")]
struct ChapterPage {
    frame: Frame,
    title: String,
    number: usize,
    about: Vec<Line>,
    begin: String,
    parts: Vec<Part>,
    shapes: Vec<Shape>,
    numbered: bool,
}

/// A chapter as the contents show it.
struct Listed {
    place: Place,
    about: Vec<Line>,
    /// Anchor, method, path, what it does.
    operations: Vec<(String, &'static str, &'static str, String)>,
}

#[derive(Template)]
#[template(path = "docs/contents.html", config = "src/http/pages/askama.toml")]
struct ContentsPage {
    frame: Frame,
    chapters: Vec<Listed>,
    count: usize,
}

#[derive(Template)]
#[template(path = "docs/rules.html", config = "src/http/pages/askama.toml")]
struct RulesPage {
    frame: Frame,
    number: usize,
    codes: Vec<Code>,
}

/// The rules that hold for every call stand on a page of their own, before the first chapter of operations.
const RULES: (&str, &str) = ("rules", "What holds for every call");

impl Docs {
    /// Writes all of it for a service that is reached at its public address.
    fn write(app: &App) -> Result<Self, Problem> {
        let document: Value = openapi::text()
            .and_then(|text| serde_json::from_str(&text))
            .map_err(|e| Problem::internal(e.to_string()))?;
        let shapes = Shapes::of(&document);
        let mut all = chapters::all(&app.config.public_url);
        all.insert(1, Chapter { name: RULES.0, title: RULES.1.into(), ..Chapter::default() });
        place_the_rest(&mut all);
        let frame = |name| Frame { places: places(&all), name, drill: app.drill };
        let mut pages = BTreeMap::new();
        let mut listed = Vec::new();
        for (i, chapter) in all.iter().enumerate() {
            let number = i + 1;
            if chapter.name == RULES.0 {
                let page = RulesPage { frame: frame(chapter.name), number, codes: rules::codes() };
                pages.insert(chapter.name, Page::of(&page)?);
            } else {
                let mut used = BTreeSet::new();
                let parts = parts(chapter, number, &document, &shapes, &mut used);
                listed.push(list(chapter, number, &parts));
                let page = ChapterPage {
                    frame: frame(chapter.name),
                    title: chapter.title.clone(),
                    number,
                    about: chapter.about.clone(),
                    begin: chapter.begin.clone(),
                    numbered: parts.iter().all(|part| part.operation.is_none()),
                    parts,
                    shapes: shapes.all(used),
                };
                pages.insert(chapter.name, Page::of(&page)?);
            }
        }
        let contents = ContentsPage { frame: frame(""), chapters: listed, count: ROUTES.len() };
        pages.insert("", Page::of(&contents)?);
        Ok(Self(pages))
    }
}

/// A route that no chapter tells of stands in the last one, without an example.
fn place_the_rest(all: &mut [Chapter]) {
    let told: BTreeSet<(&str, &str)> = all
        .iter()
        .flat_map(|chapter| &chapter.sections)
        .filter_map(|section| match section.heading {
            Heading::Operation(route) => Some((route.method, route.path)),
            _ => None,
        })
        .collect();
    let rest = ROUTES.iter().filter(|route| !told.contains(&(route.method, route.path)));
    let rest: Vec<_> = rest.map(chapters::Section::without_example).collect();
    if let Some(last) = all.last_mut() {
        last.sections.extend(rest);
    }
}

fn places(all: &[Chapter]) -> Vec<Place> {
    let place = |(i, chapter): (usize, &Chapter)| Place {
        name: chapter.name,
        title: chapter.title.clone(),
        number: i + 1,
    };
    all.iter().enumerate().map(place).collect()
}

fn parts(
    chapter: &Chapter,
    number: usize,
    document: &Value,
    shapes: &Shapes,
    used: &mut BTreeSet<String>,
) -> Vec<Part> {
    let mut numbered = 0;
    let mut parts = Vec::new();
    for section in &chapter.sections {
        let operation = match section.heading {
            Heading::Operation(route) => Some(Operation::of(route, document, shapes, used)),
            _ => None,
        };
        let (anchor, title) = match (&section.heading, &operation) {
            (Heading::Operation(route), Some(operation)) => (anchor(route), operation.summary.clone()),
            (Heading::Free(title) | Heading::Call(title), _) => {
                (title.to_lowercase().replace(|c: char| !c.is_ascii_alphanumeric(), "-"), title.clone())
            }
            (Heading::Operation(route), None) => (anchor(route), String::new()),
        };
        let counted = !matches!(section.heading, Heading::Free(_));
        numbered += usize::from(counted);
        let shown = match (&section.heading, counted) {
            (Heading::Call(_), _) => numbered.to_string(),
            (_, true) => format!("{number}.{numbered}"),
            (_, false) => String::new(),
        };
        let (about, code) = (section.about.clone(), section.code.clone());
        parts.push(Part { anchor, number: shown, title, about, operation, code });
    }
    parts
}

fn list(chapter: &Chapter, number: usize, parts: &[Part]) -> Listed {
    let operations = parts.iter().filter_map(|part| {
        let operation = part.operation.as_ref()?;
        Some((part.anchor.clone(), operation.method, operation.path, operation.summary.clone()))
    });
    Listed {
        place: Place { name: chapter.name, title: chapter.title.clone(), number },
        about: chapter.about.first().cloned().into_iter().collect(),
        operations: operations.collect(),
    }
}

/// Where an operation stands on its page.
fn anchor(route: &Route) -> String {
    openapi::operation_id(route).replace('_', "-")
}

/// The documentation, written once.
fn docs(request: &HttpRequest, name: &str) -> Result<HttpResponse, Problem> {
    let service = service(request)?;
    let docs = match service.docs.get() {
        Some(docs) => docs,
        None => {
            let written = Docs::write(&service.app)?;
            service.docs.get_or_init(|| written)
        }
    };
    let page = docs.0.get(name).ok_or_else(Problem::not_found)?;
    reads_html(request.headers())?;
    Ok(page.answer())
}

/// What there is to read.
pub async fn contents(request: HttpRequest) -> Result<HttpResponse, Problem> {
    docs(&request, "")
}

/// One chapter.
pub async fn page(request: HttpRequest, path: Path) -> Result<HttpResponse, Problem> {
    let name: String = path.get("name")?;
    if name.is_empty() {
        return Err(Problem::not_found());
    }
    docs(&request, &name)
}
