//! Passes: a manager lets a finding that stops be, with a reason that stays in the record.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::checks::findings;
use super::jobs::must_be_open;
use super::records::Document;
use super::{App, Error, Who, job_sheet, new_id, wanted_text};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{JobId, MemberId, PassId};
use crate::core::words::{RecordKind, Severity};
use crate::db::jobs;
use crate::db::passes::{self, PassRow};

/// What a manager lets be.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PassInput {
    /// Which check.
    pub code: String,
    /// The subject of its finding.
    pub subject: String,
    /// Why; 1–2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

/// A pass as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct PassView {
    /// The pass.
    pub id: PassId,
    /// Which check.
    pub code: String,
    /// The subject of its finding.
    pub subject: String,
    /// Why it was let be.
    pub reason: String,
    /// Who let it be.
    pub member: MemberId,
    /// When.
    pub passed_at: DateTime<Utc>,
}

/// Lets a finding that stops be; it holds for the finding as it is.
pub fn add(app: &App, who: &Who, id: JobId, input: PassInput) -> Result<PassView, Error> {
    let mut faults: Vec<Fault> = wanted_text("/reason", &input.reason, 2_000).into_iter().collect();
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        jobs::lock(tx, &who.shop, id)?;
        let row = jobs::find(tx, &who.shop, id)?;
        let found = findings(tx, &who.shop, who.zone, &row)?.into_iter().map(|(finding, _)| finding).find(
            |finding| {
                finding.severity == Severity::Stops
                    && finding.code == input.code
                    && finding.subject == input.subject
            },
        );
        let Some(finding) = found else {
            let detail = format!("no {} stops {} on this job", input.code, input.subject);
            faults.push(Fault::new("/subject", "no_such_stop", detail));
            return Err(Rule::rules(faults).into());
        };
        all_clear(faults)?;
        let row = must_be_open(row)?;
        let pass = PassRow {
            id: new_id(),
            job: id,
            code: input.code,
            subject: input.subject,
            finding: finding.digest,
            reason: input.reason,
            member: who.member,
            passed_at: now,
        };
        passes::add(tx, &who.shop, &pass)?;
        let body = json!({
            "job": job_sheet::job(tx, &who.shop, &row)?, "pass": job_sheet::pass(&pass), "finding": finding,
        });
        Document::new(RecordKind::Pass, format!("job:{id}"), &body)?
            .personal(&["/pass/reason"])
            .keep(tx, &who, now)?;
        Ok(PassView {
            id: pass.id,
            code: pass.code,
            subject: pass.subject,
            reason: pass.reason,
            member: pass.member,
            passed_at: pass.passed_at,
        })
    })
}
