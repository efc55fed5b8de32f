//! What the owner signed, at check-in and at handover.

use chrono::NaiveDateTime;

use super::entry;
use crate::core::ids::Digest;
use crate::core::signatures::Occasion;
use crate::documents::paper::{Block, Paper};
use crate::language::said;

/// A signature. All times are local.
#[derive(Debug, Clone)]
pub struct SignatureOnPaper {
    /// What it stands under.
    pub of: Occasion,
    /// Who signed, as typed.
    pub name: String,
    /// When it was signed.
    pub at: NaiveDateTime,
    /// When and by whom it was entered.
    pub entered: (NaiveDateTime, String),
    /// SHA-256 of the document that was shown and signed.
    pub document: Digest,
    /// The place of its record.
    pub seq: i64,
    /// The strokes of the pen (SVG).
    pub svg: String,
}

/// Tells of the signatures on a job, in the order in which they were entered.
pub(super) fn tell(paper: &mut Paper, signatures: &[SignatureOnPaper]) {
    let language = paper.language;
    paper.part(language.word("dispute-signatures"));
    if signatures.is_empty() {
        return paper.text(language.word("dispute-signatures-none"));
    }
    for one in signatures {
        let occasion = language.say("dispute-signed", &said!["occasion" => one.of.as_str()]);
        let signed = said!["at" => language.moment(one.at), "by" => &one.name];
        paper.facts(vec![
            (occasion, language.say("job-signed-off-by", &signed)),
            (language.word("dispute-signed-document"), one.document.to_string()),
            (language.word("paper-record"), one.seq.to_string()),
            (language.word("dispute-entered"), entry(language, &one.entered)),
        ]);
        let alt = language.say("dispute-signature-alt", &said!["name" => &one.name]);
        paper.add(Block::Signature { svg: one.svg.clone(), alt });
    }
}
