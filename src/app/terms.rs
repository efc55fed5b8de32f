//! Warranty terms: drafted with every fault in sight, published once and for all, tried out on made-up facts.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::page::{Page, Wanted};
use super::products::document;
use super::records::Document;
use super::{App, Error, Who, new_id, packages};
use crate::core::assess::{ExplainedAssessment, Verdict, assess};
use crate::core::calendar::{Day, instant};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::facts::Facts;
use crate::core::ids::{Digest, MemberId, TermsId};
use crate::core::record::canonical;
use crate::core::terms::{Rules, Terms, cautions};
use crate::core::words::{RecordKind, TermsState};
use crate::db::terms::{self, TermsRow};
use crate::db::{Conn, Shop, people};

/// The longest code that a draft is kept under, in characters; whether it is a code is a matter of its faults.
const LONGEST_CODE: usize = 200;

/// An edition of terms as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct TermsView {
    /// The edition.
    pub id: TermsId,
    /// What all its editions share.
    pub code: String,
    /// From 1 on.
    pub edition: u32,
    /// Where it stands.
    pub state: TermsState,
    /// The document, as it was written.
    #[schema(value_type = Object)]
    pub document: Value,
    /// SHA-256 of the document in canonical form (RFC 8785).
    pub digest: Digest,
    /// What is wrong with it; an edition with faults cannot be published.
    pub faults: Vec<Fault>,
    /// What to think about before publishing it.
    pub cautions: Vec<Fault>,
    /// When it was entered.
    pub created_at: DateTime<Utc>,
    /// When it was published; null for a draft.
    pub published_at: Option<DateTime<Utc>>,
    /// Who published it, despite its cautions; null for a draft.
    pub published_by: Option<Publisher>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

/// Who published an edition.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct Publisher {
    /// The member.
    pub member: MemberId,
    /// Their name.
    pub name: String,
}

/// Made-up facts on which an edition is tried out.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PreviewInput {
    /// Start, surfaces and events, as the engine reads them.
    #[schema(value_type = Object)]
    pub facts: Value,
    /// The day to judge; the shop's today unless given.
    #[serde(default)]
    pub as_of: Option<Day>,
    /// By what was known at this instant; all unless given.
    #[serde(default)]
    #[schema(format = DateTime)]
    pub known_at: Option<String>,
}

/// What reading a document brought to light.
fn judged(document: &Value) -> (Vec<Fault>, Vec<Fault>) {
    match Terms::read(document) {
        Ok(terms) => (Vec::new(), cautions(&terms)),
        Err(faults) => (faults, Vec::new()),
    }
}

fn view(conn: &mut Conn, shop: &Shop, row: TermsRow) -> Result<TermsView, Error> {
    let document = document(&row.document)?;
    let (faults, cautions) = judged(&document);
    let published_by = match row.published_by {
        Some(member) => Some(Publisher { member, name: people::member_of(conn, shop, member)?.name }),
        None => None,
    };
    Ok(TermsView {
        id: row.id,
        code: row.code,
        edition: row.edition,
        state: row.state,
        document,
        digest: row.digest,
        faults,
        cautions,
        created_at: row.created_at,
        published_at: row.published_at,
        published_by,
        version: row.version,
    })
}

/// A document on its way to be kept: what it is filed under, and its canonical form.
struct Draft {
    code: String,
    edition: i64,
    document: String,
    digest: Digest,
}

/// Takes any object with a text `code` and a whole `edition` as a draft; all else that is wrong is a fault of it.
fn draft(document: &Value) -> Result<Draft, Error> {
    let mut faults = Vec::new();
    let Some(members) = document.as_object() else {
        let fault = Fault::new("", "wrong_type", "terms are a JSON object");
        return Err(Rule::Malformed(vec![fault]).into());
    };
    let mut member = |name: &str, wanted: &str| {
        let found = members.get(name).filter(|value| !value.is_null());
        if found.is_none() {
            faults.push(Fault::new(format!("/{name}"), "missing", format!("{wanted} is needed here")));
        }
        found.cloned()
    };
    let code = member("code", "a text");
    let edition = member("edition", "a whole number");
    let mut wrong = |name: &str, given: &Value, wanted: &str| {
        let detail = format!("{given} was given where {wanted} is asked for");
        faults.push(Fault::new(format!("/{name}"), "wrong_type", detail));
    };
    let code = code.and_then(|value| {
        let text = value.as_str().map(str::to_owned);
        if text.is_none() {
            wrong("code", &value, "a text");
        }
        text
    });
    let edition = edition.and_then(|value| {
        let number = whole(&value);
        if number.is_none() {
            wrong("edition", &value, "a whole number");
        }
        number
    });
    let (Some(code), Some(edition)) = (code, edition) else { return Err(Rule::Malformed(faults).into()) };
    let length = code.chars().count();
    if length > LONGEST_CODE {
        let detail = format!("{length} characters; allowed are up to {LONGEST_CODE}");
        return Err(Rule::rule("/code", "too_long", detail).into());
    }
    let bytes = canonical(document).map_err(|fault| Rule::Malformed(vec![fault]))?;
    let digest = Digest::of(&bytes);
    let document = String::from_utf8(bytes).map_err(|e| crate::db::Error::Other(e.to_string()))?;
    Ok(Draft { code, edition, document, digest })
}

/// A whole number, however JSON writes it: 2 and 2.0 are one.
fn whole(value: &Value) -> Option<i64> {
    value.as_i64().or_else(|| {
        let number = value.as_f64()?;
        // A number beyond every edition is whole too; it fits no place, and is refused as skipping.
        #[expect(
            clippy::cast_possible_truncation,
            reason = "beyond the range it becomes the end of the range"
        )]
        (number.fract() == 0.0).then_some(number as i64)
    })
}

/// The edition that a new draft becomes: the last one and one.
fn next(conn: &mut Conn, shop: &Shop, draft: &Draft) -> Result<u32, Error> {
    let last = terms::last(conn, shop, &draft.code, None)?.map_or(0, |row| row.edition);
    let wanted = last + 1;
    if draft.edition == i64::from(wanted) {
        return Ok(wanted);
    }
    if (1..=i64::from(last)).contains(&draft.edition) {
        return Err(edition_exists(&draft.code, draft.edition));
    }
    let detail = format!("edition {} was given; the next of {:?} is {wanted}", draft.edition, draft.code);
    Err(Rule::rule("/edition", "edition_skips", detail).into())
}

fn edition_exists(code: &str, edition: i64) -> Error {
    Rule::state("edition_exists", format!("{code:?} has an edition {edition} already")).into()
}

fn published(row: &TermsRow) -> Error {
    let detail = format!("edition {} of {:?} is published and stays as it is", row.edition, row.code);
    Rule::state("edition_published", detail).into()
}

/// Keeps a document as a draft, its faults with it; with `only_check`, nothing is written and nothing answered.
///
/// Refused: what has no text `code` or whole `edition`; an edition that is there (`edition_exists`), or that is not
/// the next.
pub fn add(app: &App, who: &Who, document: &Value, only_check: bool) -> Result<Option<TermsView>, Error> {
    let draft = draft(document)?;
    let (shop, at) = (who.shop, app.now());
    if only_check {
        app.db.read(|c| next(c, &shop, &draft))?;
        return Ok(None);
    }
    app.db.write(move |tx| {
        let row = TermsRow {
            id: new_id(),
            edition: next(tx, &shop, &draft)?,
            code: draft.code,
            state: TermsState::Draft,
            document: draft.document,
            digest: draft.digest,
            created_at: at,
            published_at: None,
            published_by: None,
            version: 1,
        };
        match terms::add(tx, &shop, &row) {
            Err(crate::db::Error::Conflict(_)) => Err(edition_exists(&row.code, row.edition.into())),
            other => {
                other?;
                view(tx, &shop, row).map(Some)
            }
        }
    })
}

/// One edition.
pub fn find(app: &App, who: &Who, code: &str, edition: u32) -> Result<TermsView, Error> {
    app.db.read(|c| {
        let row = terms::find(c, &who.shop, code, edition)?;
        view(c, &who.shop, row)
    })
}

/// A page of editions, newest first, perhaps of one code or state only.
pub fn list(
    app: &App,
    who: &Who,
    code: Option<&str>,
    state: Option<TermsState>,
    wanted: &Wanted<TermsId>,
) -> Result<Page<TermsView>, Error> {
    app.db.read(|c| {
        let rows = terms::list(c, &who.shop, code, state, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| view(c, &who.shop, row)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}

/// Replaces a draft, if it is still of `version`.
pub fn replace(
    app: &App,
    who: &Who,
    code: &str,
    edition: u32,
    version: i64,
    document: &Value,
) -> Result<TermsView, Error> {
    let draft = draft(document)?;
    let mut faults = Vec::new();
    if draft.code != code {
        faults.push(Fault::new("/code", "does_not_match", format!("{:?} is not {code:?}", draft.code)));
    }
    if draft.edition != i64::from(edition) {
        faults.push(Fault::new("/edition", "does_not_match", format!("{} is not {edition}", draft.edition)));
    }
    all_clear(faults)?;
    let shop = who.shop;
    app.db.write(move |tx| {
        let row = terms::find(tx, &shop, &draft.code, edition)?;
        if row.state != TermsState::Draft {
            return Err(published(&row));
        }
        let row = TermsRow { document: draft.document, digest: draft.digest, version, ..row };
        stored(tx, &shop, row)
    })
}

fn stored(tx: &mut crate::db::Tx<'_>, shop: &Shop, mut row: TermsRow) -> Result<TermsView, Error> {
    if !terms::change(tx, shop, &row)? {
        return Err(Rule::Stale.into());
    }
    row.version += 1;
    view(tx, shop, row)
}

fn faulty(faults: Vec<Fault>) -> Error {
    let detail = format!("the terms have {} fault(s)", faults.len());
    Rule::Refused { code: "terms_faulty", detail, faults, more: Map::new() }.into()
}

/// Publishes a draft: from then on it never changes. Kept as a record with its cautions, and with the name of who
/// published it all the same.
///
/// Refused: an edition that is published (`edition_published`), one with faults (`terms_faulty`).
pub fn publish(app: &App, who: &Who, code: &str, edition: u32) -> Result<TermsView, Error> {
    let draft = app.db.read(|c| terms::find(c, &who.shop, code, edition))?;
    if draft.state != TermsState::Draft {
        return Err(published(&draft));
    }
    let text = document(&draft.document)?;
    let (faults, cautions) = judged(&text);
    if !faults.is_empty() {
        return Err(faulty(faults));
    }
    let body = json!({
        "terms": draft.id,
        "code": draft.code,
        "edition": draft.edition,
        "document": text,
        "digest": draft.digest,
        "cautions": cautions,
    });
    let record = Document::new(RecordKind::Publication, format!("terms:{}", draft.id), &body)?;
    let (who, at) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let row = TermsRow {
            state: TermsState::Published,
            published_at: Some(at),
            published_by: Some(who.member),
            ..draft
        };
        // Whoever changed or published the draft in between was first: this one was never seen as it is now.
        let view = match stored(tx, &who.shop, row.clone()) {
            Err(Error::Rule(Rule::Stale)) => return Err(published(&row)),
            other => other?,
        };
        record.keep(tx, &who, at)?;
        packages::terms_changed(tx, &who.shop, &view.code)?;
        Ok(view)
    })
}

/// Retires a published edition: no new warranties on it; those issued keep it. Retiring it again changes nothing.
pub fn retire(app: &App, who: &Who, code: &str, edition: u32) -> Result<TermsView, Error> {
    let (shop, code) = (who.shop, code.to_owned());
    app.db.write(move |tx| {
        let row = terms::find(tx, &shop, &code, edition)?;
        match row.state {
            TermsState::Draft => Err(Rule::rule("", "not_published", "a draft cannot be retired").into()),
            TermsState::Retired => view(tx, &shop, row),
            TermsState::Published => {
                let view = stored(tx, &shop, TermsRow { state: TermsState::Retired, ..row })?;
                packages::terms_changed(tx, &shop, &code)?;
                Ok(view)
            }
        }
    })
}

/// Tries an edition out on made-up facts; nothing is written.
///
/// Refused: terms with faults (`terms_faulty`), facts with faults, each at its place below `/facts`.
pub fn preview(
    app: &App,
    who: &Who,
    code: &str,
    edition: u32,
    input: &PreviewInput,
) -> Result<ExplainedAssessment, Error> {
    let row = app.db.read(|c| terms::find(c, &who.shop, code, edition))?;
    let known_at = match input.known_at.as_deref().map(instant) {
        Some(Err(fault)) => return Err(Rule::Malformed(vec![fault.within("/known_at")]).into()),
        Some(Ok(at)) => Some(at),
        None => None,
    };
    let as_of = input.as_of.unwrap_or_else(|| who.day(app.now()).into());
    let terms = Terms::read(&document(&row.document)?).map_err(faulty)?;
    let rules = Rules::compile(&terms);
    let mut faults: Vec<Fault> = super::usual_day("/as_of", as_of).into_iter().collect();
    let facts = match Facts::read(&input.facts, &rules) {
        Ok(facts) if faults.is_empty() => facts,
        read => {
            faults.extend(read.err().unwrap_or_default().into_iter().map(|fault| fault.within("/facts")));
            return Err(Rule::rules(faults).into());
        }
    };
    let mut verdict = Verdict::default();
    assess(&rules, &facts, as_of, known_at, &mut verdict);
    Ok(ExplainedAssessment::of(&rules, &facts, &verdict))
}
