//! Reports that a mail came back: the address is written to no more about upkeep, and the desk is told to telephone.

use serde::{Deserialize, Serialize};

use super::notices::came_back;
use super::{App, Error, Who};
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::NoticeId;
use crate::db::{self, Shop, outbox};
use crate::mail::bounce::{self, Bounce, Reported};

/// A report that a mail came back.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BounceInput {
    /// The whole report as it came (RFC 3464, multipart/report), headers first.
    #[schema(min_length = 1)]
    pub report: String,
}

/// What was made of a report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct BounceView {
    /// The Message-ID of the mail that it is about.
    pub message_id: String,
    /// Whether the mail will never arrive; if it may yet, nothing was done.
    pub failed: bool,
    /// What the other side said.
    pub words: String,
    /// The notices that the mail carried.
    pub notices: Vec<NoticeId>,
}

fn refused(code: &'static str, detail: &str) -> Error {
    Rule::rule("/report", code, detail.to_owned()).into()
}

/// Takes a report on a mail of the shop of whoever asks.
pub fn take(app: &App, who: &Who, input: &BounceInput) -> Result<BounceView, Error> {
    take_report(app, Some(who.shop), input.report.as_bytes())
}

/// Takes a report on a mail of any shop of the installation, as mail servers hand it to a command.
pub fn take_any(app: &App, report: &[u8]) -> Result<BounceView, Error> {
    take_report(app, None, report)
}

fn take_report(app: &App, of: Option<Shop>, report: &[u8]) -> Result<BounceView, Error> {
    let read = bounce::read(report).map_err(|fault: Fault| Rule::rules(vec![fault.within("/report")]))?;
    let Bounce { about: Some(message_id), recipients } = read else {
        return Err(refused(
            "no_original",
            "the report does not bring back the mail or its headers: no Message-ID",
        ));
    };
    let (everyone, now) = (app.db.installation(), app.now());
    app.db.write(move |tx| {
        let unknown =
            || refused("unknown_message", &format!("no mail of this shop has the Message-ID {message_id}"));
        let found = match outbox::by_message_id(tx, &everyone, &message_id) {
            Ok(found) => found,
            Err(db::Error::NotFound) => return Err(unknown()),
            Err(error) => return Err(error.into()),
        };
        if of.is_some_and(|shop| shop != found.shop) {
            return Err(unknown());
        }
        let to_us = |reported: &&Reported| reported.address.eq_ignore_ascii_case(&found.recipient);
        let last = recipients.iter().filter(to_us).find(|reported| reported.for_good);
        let Some(Reported { words, .. }) = last else {
            let words = recipients.first().map(|reported| reported.words.clone()).unwrap_or_default();
            return Ok(BounceView {
                message_id: message_id.clone(),
                failed: false,
                words,
                notices: Vec::new(),
            });
        };
        let notices = came_back(tx, &found.shop, found.message, &found.recipient, words, now)?;
        Ok(BounceView { message_id: message_id.clone(), failed: true, words: words.clone(), notices })
    })
}
