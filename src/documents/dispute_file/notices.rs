//! What owners were told by mail, and the mails as they went.

use chrono::NaiveDateTime;

use super::fitted;
use crate::core::ids::Digest;
use crate::core::words::{NoticeKind, NoticeState};
use crate::documents::paper::{Column, Paper};
use crate::documents::photos::in_halves;
use crate::documents::short;
use crate::language::{Language, said};

/// A notice. All times are local.
#[derive(Debug, Clone)]
pub struct NoticeOnPaper {
    /// What kind of notice.
    pub kind: NoticeKind,
    /// Its subject, in the owner's language.
    pub subject: String,
    /// From when on it could go out.
    pub planned_for: NaiveDateTime,
    /// Whom it is for.
    pub to: String,
    /// Where it stands.
    pub state: NoticeState,
    /// Why, in English or in a server's words.
    pub because: Option<String>,
    /// The mail that carries it, by its place among the mails, from 1 on.
    pub mail: Option<usize>,
}

/// A mail. All times are local.
#[derive(Debug, Clone)]
pub struct MailOnPaper {
    /// The address that it goes to.
    pub to: String,
    /// When it was written.
    pub written: NaiveDateTime,
    /// When a server took it.
    pub sent: Option<NaiveDateTime>,
    /// How often it was tried.
    pub attempts: i32,
    /// The Message-ID, without angle brackets.
    pub message_id: String,
    /// SHA-256 of the whole message, with what is attached.
    pub digest: Digest,
    /// Its length in bytes.
    pub bytes: usize,
}

/// Tells of the notices by when they were planned, and of the mails that carry them.
pub(super) fn tell(paper: &mut Paper, notices: &[NoticeOnPaper], mails: &[MailOnPaper]) {
    let language = paper.language;
    paper.section(language.word("dispute-notices"));
    let columns = vec![
        Column::fitting(language.word("dispute-notice-planned")),
        Column::wide(language.word("dispute-notice"), 4),
        Column::wide(language.word("dispute-notice-to"), 2),
        Column::wide(language.word("history-state"), 2),
        Column::english(language.word("dispute-notice-because"), 3),
    ];
    let row = |one: &NoticeOnPaper| {
        let kind = language.say("dispute-notice-kind", &said!["kind" => one.kind.as_str()]);
        let state = language.say("dispute-notice-state", &said!["state" => one.state.as_str()]);
        let mail = one.mail.map(|mail| language.say("dispute-mail", &said!["number" => mail.to_string()]));
        vec![
            short(language, one.planned_for),
            format!("{kind}\n{}", one.subject),
            one.to.clone(),
            [Some(state), mail].into_iter().flatten().collect::<Vec<_>>().join("\n"),
            one.because.as_deref().map_or_else(String::new, |because| fitted(because, 22)),
        ]
    };
    paper.table(columns, notices.iter().map(row).collect());
    if mails.is_empty() {
        return;
    }
    paper.part(language.word("dispute-mails"));
    paper.text(language.word("dispute-mails-lead"));
    let columns = vec![
        Column::figures(language.word("dispute-seq")),
        Column::wide(language.word("dispute-mail-way"), 5),
        Column::wide(language.word("dispute-mail-proof"), 6),
    ];
    let rows = mails.iter().enumerate().map(|(place, one)| {
        let proof = [
            format!("Message-ID {}", fitted(&one.message_id, 46)),
            format!("SHA-256 {}", in_halves(one.digest)),
            language.say("dispute-mail-bytes", &said!["count" => one.bytes]),
        ];
        vec![(place + 1).to_string(), one.way(language), proof.join("\n")]
    });
    paper.table(columns, rows.collect());
}

impl MailOnPaper {
    fn way(&self, language: Language) -> String {
        let written = said!["at" => short(language, self.written)];
        let mut lines = vec![fitted(&self.to, 40), language.say("dispute-mail-written", &written)];
        if let Some(at) = self.sent {
            lines.push(language.say("dispute-mail-sent", &said!["at" => short(language, at)]));
        }
        lines.push(language.say("dispute-mail-attempts", &said!["count" => self.attempts]));
        lines.join("\n")
    }
}
