//! Terms: drafted with every fault and caution shown, published once for good, retired.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::page::{Page, Wanted};
use super::records::Document;
use super::{App, Error, Who, new_id};
use crate::core::assess::{ExplainedAssessment, Verdict, assess};
use crate::core::calendar::{Day, instant};
use crate::core::error::{Error as Rule, Fault};
use crate::core::facts::Facts;
use crate::core::ids::{Digest, MemberId, TermsId};
use crate::core::record::canonical;
use crate::core::terms::{Rules, Terms, cautions};
use crate::core::words::{RecordKind, TermsState};
use crate::db::terms::{self, TermsRow};
use crate::db::{self, Tx};

/// An edition of terms as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct TermsView {
    /// The edition.
    pub id: TermsId,
    /// Shared by all editions.
    pub code: String,
    /// From 1 on.
    pub edition: u32,
    /// Draft, published or retired.
    pub state: TermsState,
    /// The document.
    #[schema(value_type = Object)]
    pub document: Value,
    /// What hinders publishing.
    #[schema(value_type = Vec<Object>)]
    pub faults: Vec<Fault>,
    /// What a manager should think about before publishing.
    #[schema(value_type = Vec<Object>)]
    pub cautions: Vec<Fault>,
    /// When it was first drafted.
    pub created_at: DateTime<Utc>,
    /// When it was published.
    pub published_at: Option<DateTime<Utc>>,
    /// Who published it, cautions notwithstanding.
    pub published_by: Option<MemberId>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

/// Facts that somebody made up to see what terms make of them.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Preview {
    /// Facts, as the terms judge them.
    #[schema(value_type = Object)]
    pub facts: Value,
    /// The day of which the verdict is asked.
    pub as_of: String,
    /// By what was known at an instant; all unless given.
    #[serde(default)]
    pub known_at: Option<String>,
}

fn view(row: TermsRow) -> Result<TermsView, Error> {
    let document: Value = serde_json::from_str(&row.document).map_err(|e| db::Error::Other(e.to_string()))?;
    let (faults, cautions) = match Terms::read(&document) {
        Ok(terms) => (Vec::new(), cautions(&terms)),
        Err(faults) => (faults, Vec::new()),
    };
    Ok(TermsView {
        id: row.id,
        code: row.code,
        edition: row.edition,
        state: row.state,
        document,
        faults,
        cautions,
        created_at: row.created_at,
        published_at: row.published_at,
        published_by: row.published_by,
        version: row.version,
    })
}

/// The two members without which a document is not even a draft.
fn named(document: &Value) -> Result<(String, i64), Error> {
    let mut faults = Vec::new();
    let code = document.get("code").and_then(Value::as_str).map(str::to_owned);
    if code.is_none() {
        faults.push(Fault::new("/code", "missing", "`code` is needed, a text"));
    }
    let edition = document.get("edition").and_then(|edition| {
        #[expect(clippy::cast_possible_truncation, reason = "within ±2^31, where it is exact")]
        let whole = |n: f64| (n.fract() == 0.0 && n.abs() < 2.0e9).then_some(n as i64);
        edition.as_f64().and_then(whole)
    });
    if edition.is_none() {
        faults.push(Fault::new("/edition", "missing", "`edition` is needed, a whole number"));
    }
    match (code, edition) {
        (Some(code), Some(edition)) => Ok((code, edition)),
        _ => Err(Rule::Malformed(faults).into()),
    }
}

/// A document as it is kept: canonical JSON (RFC 8785), so that its digest is the same however it was laid out.
fn written(document: &Value) -> Result<String, Error> {
    let bytes = canonical(document).map_err(|fault| Rule::rules(vec![fault]))?;
    Ok(String::from_utf8(bytes).map_err(|e| db::Error::Other(e.to_string()))?)
}

/// The edition must be the one after the last.
fn next_edition(tx: &mut Tx<'_>, who: &Who, code: &str, edition: i64) -> Result<u32, Error> {
    let last = terms::last(tx, &who.shop, code, None)?.map_or(0, |row| row.edition);
    let next = last + 1;
    if (1..=i64::from(last)).contains(&edition) {
        let detail = format!("{code} has an edition {edition} already; next is {next}");
        return Err(Rule::state("edition_exists", detail).into());
    }
    if edition != i64::from(next) {
        return Err(Rule::rule(
            "/edition",
            "edition_skips",
            format!("{edition}: the next edition is {next}"),
        )
        .into());
    }
    Ok(next)
}

/// Takes a document as a draft; what is wrong with it is told, and hinders publishing only. `validate_only` writes
/// nothing, and refuses what the real call would refuse.
pub fn add(app: &App, who: &Who, document: Value, validate_only: bool) -> Result<Option<TermsView>, Error> {
    let (code, edition) = named(&document)?;
    if code.trim().is_empty() {
        return Err(Rule::rule("/code", "empty", "a code of 1 to 64 of a-z, 0-9 and - is needed").into());
    }
    let (who, now) = (who.clone(), app.now());
    let text = written(&document)?;
    app.db.write(move |tx| {
        let edition = next_edition(tx, &who, &code, edition)?;
        if validate_only {
            return Ok(None);
        }
        let row = TermsRow {
            id: new_id(),
            code,
            edition,
            state: TermsState::Draft,
            digest: Digest::of(text.as_bytes()),
            document: text,
            created_at: now,
            published_at: None,
            published_by: None,
            version: 1,
        };
        terms::add(tx, &who.shop, &row)?;
        view(row).map(Some)
    })
}

/// One edition.
pub fn find(app: &App, who: &Who, code: &str, edition: u32) -> Result<TermsView, Error> {
    view(app.db.read(|c| terms::find(c, &who.shop, code, edition))?)
}

/// A page of editions, newest first; in one state if asked.
pub fn list(
    app: &App,
    who: &Who,
    state: Option<TermsState>,
    wanted: &Wanted<TermsId>,
) -> Result<Page<TermsView>, Error> {
    let rows = app.db.read(|c| terms::list(c, &who.shop, None, state, wanted.after, wanted.rows()))?;
    let views: Result<Vec<_>, Error> = rows.into_iter().map(view).collect();
    Ok(wanted.page(views?, |view| view.id))
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
    let given = named(document)?;
    let mut faults = Vec::new();
    if given.0 != code {
        faults.push(Fault::new("/code", "other_terms", format!("the path names {code:?}")));
    }
    if given.1 != i64::from(edition) {
        faults.push(Fault::new("/edition", "other_edition", format!("the path names {edition}")));
    }
    crate::core::error::all_clear(faults)?;
    let (shop, code, text) = (who.shop, code.to_owned(), written(document)?);
    app.db.write(move |tx| {
        let row = terms::find(tx, &shop, &code, edition)?;
        if row.state != TermsState::Draft {
            return Err(Rule::state(
                "edition_published",
                format!("{code} edition {edition} has been published: it never changes"),
            )
            .into());
        }
        let mut row = TermsRow { digest: Digest::of(text.as_bytes()), document: text, version, ..row };
        if !terms::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        view(row)
    })
}

/// Publishes a draft that has no faults; cautions do not hinder, and who published despite them is on record.
pub fn publish(app: &App, who: &Who, code: &str, edition: u32) -> Result<TermsView, Error> {
    let (who, code, now) = (who.clone(), code.to_owned(), app.now());
    app.db.write(move |tx| {
        let row = terms::find(tx, &who.shop, &code, edition)?;
        if row.state != TermsState::Draft {
            return Err(Rule::state(
                "edition_published",
                format!("{code} edition {edition} has been published before"),
            )
            .into());
        }
        let document: Value =
            serde_json::from_str(&row.document).map_err(|e| db::Error::Other(e.to_string()))?;
        let read = Terms::read(&document).map_err(|faults| Rule::Refused {
            code: "terms_faulty",
            detail: format!("the terms have {} faults", faults.len()),
            faults,
            more: Map::new(),
        })?;
        let mut row = TermsRow {
            state: TermsState::Published,
            published_at: Some(now),
            published_by: Some(who.member),
            ..row
        };
        if !terms::change(tx, &who.shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        let body = json!({
            "terms": row.id, "code": row.code, "edition": row.edition, "document": document,
            "digest": row.digest, "cautions": cautions(&read),
        });
        Document::new(RecordKind::Publication, format!("terms:{}", row.id), &body)?.keep(tx, &who, now)?;
        view(row)
    })
}

/// Retires an edition: no new warranties on it, those that are keep it.
pub fn retire(app: &App, who: &Who, code: &str, edition: u32) -> Result<TermsView, Error> {
    let (shop, code) = (who.shop, code.to_owned());
    app.db.write(move |tx| {
        let row = terms::find(tx, &shop, &code, edition)?;
        if row.state == TermsState::Retired {
            return view(row);
        }
        let mut row = TermsRow { state: TermsState::Retired, ..row };
        if !terms::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        view(row)
    })
}

/// What an edition makes of facts that somebody made up.
pub fn preview(
    app: &App,
    who: &Who,
    code: &str,
    edition: u32,
    input: &Preview,
) -> Result<ExplainedAssessment, Error> {
    let current = find(app, who, code, edition)?;
    let read = Terms::read(&current.document).map_err(|faults| Rule::Refused {
        code: "terms_faulty",
        detail: format!("the terms have {} faults", faults.len()),
        faults,
        more: Map::new(),
    })?;
    let rules = Rules::compile(&read);
    let wrong = |pointer: &str, fault: Fault| Rule::Malformed(vec![fault.within(pointer)]);
    let as_of: Day = input.as_of.parse().map_err(|fault| wrong("/as_of", fault))?;
    let known_at =
        input.known_at.as_deref().map(instant).transpose().map_err(|fault| wrong("/known_at", fault))?;
    let facts = Facts::read(&input.facts, &rules)
        .map_err(|faults| Rule::rules(faults.into_iter().map(|fault| fault.within("/facts")).collect()))?;
    let mut verdict = Verdict::default();
    assess(&rules, &facts, as_of, known_at, &mut verdict);
    Ok(ExplainedAssessment::of(&rules, &facts, &verdict))
}
