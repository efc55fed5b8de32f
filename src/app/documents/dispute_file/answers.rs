//! What owners answered when they were asked to come.

use super::Clerk;
use crate::app::Error;
use crate::db::{Conn, answers};
use crate::documents::dispute_file::answers::AnswerOnPaper;

impl Clerk<'_> {
    /// What owners answered, the earliest first.
    pub(super) fn answers(&self, conn: &mut Conn) -> Result<Vec<AnswerOnPaper>, Error> {
        let mut told = Vec::new();
        for (warranty, _) in &self.warranties {
            for row in answers::of_warranty(conn, &self.office.shop, *warranty)?.into_iter().rev() {
                told.push(AnswerOnPaper {
                    on: row.on,
                    due: self.due(*warranty, &row.upkeep, row.number),
                    answer: row.answer,
                    note: row.note,
                    entered: self.entry(row.entered_at, row.entered_by),
                });
            }
        }
        told.sort_by_key(|answer| (answer.on, answer.entered.0));
        Ok(told)
    }
}
