//! What owners were told by mail. Only what is on record: what is merely foreseen has not happened.

use super::Clerk;
use crate::app::Error;
use crate::core::ids::{Digest, MessageId};
use crate::db::{Conn, notices, outbox};
use crate::documents::dispute_file::notices::{MailOnPaper, NoticeOnPaper};

impl Clerk<'_> {
    /// The notices about the vehicle by when they were planned for, and the mails that carry them.
    pub(super) fn notices(
        &mut self,
        conn: &mut Conn,
    ) -> Result<(Vec<NoticeOnPaper>, Vec<MailOnPaper>), Error> {
        let shop = self.office.shop;
        let (mut told, mut mails) = (Vec::new(), Vec::new());
        let mut messages: Vec<MessageId> = Vec::new();
        for row in notices::of_vehicle(conn, &shop, self.vehicle)? {
            let known = row.message.map(|id| (id, messages.iter().position(|other| *other == id)));
            let mail = match known {
                None => None,
                Some((_, Some(place))) => Some(place + 1),
                Some((id, None)) => {
                    messages.push(id);
                    mails.push(self.mail(conn, id)?);
                    Some(messages.len())
                }
            };
            told.push(NoticeOnPaper {
                kind: row.kind,
                subject: row.subject,
                planned_for: self.office.local(row.planned_for),
                to: self.customer(conn, row.customer)?,
                state: row.state,
                because: row.because,
                mail,
            });
        }
        Ok((told, mails))
    }

    fn mail(&self, conn: &mut Conn, id: MessageId) -> Result<MailOnPaper, Error> {
        let message = outbox::fared(conn, &self.office.shop, id)?;
        Ok(MailOnPaper {
            to: message.recipient,
            written: self.office.local(message.created_at),
            sent: message.sent_at.map(|at| self.office.local(at)),
            attempts: message.attempts,
            message_id: message.message_id,
            digest: Digest::of(&message.bytes),
            bytes: message.bytes.len(),
        })
    }
}
