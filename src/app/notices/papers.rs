//! Documents that go with mails. They are printed before the mail is written: nothing is printed while others wait for
//! the database.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use super::letters;
use crate::app::{App, Error, documents, shops};
use crate::core::ids::{CustomerId, NoticeId};
use crate::core::notices::{About, Occasion};
use crate::db::notices::{self, NoticeRow};
use crate::db::{Shop, customers, warranties};
use crate::mail::Attachment;

/// What goes with each notice about a handover: the certificate of its warranty, if it has one.
pub(super) struct Papers(BTreeMap<NoticeId, Option<Attachment>>);

impl Papers {
    /// Prints what goes with the notices whose time has come for an owner.
    pub(super) fn print(app: &App, shop: &Shop, owner: CustomerId, at: DateTime<Utc>) -> Result<Self, Error> {
        let gathered = app.db.read::<_, Error>(|c| {
            let customer = customers::find(c, shop, owner)?;
            let language = letters::language_of(&customer, &shops::settings(c, app, shop)?);
            let mut gathered = Vec::new();
            for row in notices::planned_for(c, shop, owner, at)? {
                let About::Record(Occasion::Handover(job)) = row.about else { continue };
                let issued = warranties::of_job(c, shop, job)?.into_iter().rfind(|row| row.voided.is_none());
                let paper = issued
                    .filter(|_| customer.mail_history)
                    .map(|issued| documents::certificate(c, app, shop, issued.id, language))
                    .transpose()?;
                gathered.push((row.id, paper));
            }
            Ok(gathered)
        })?;
        let print = |(id, paper): (NoticeId, Option<_>)| {
            let document = paper.map(|paper| documents::printed(app, &paper)).transpose()?;
            Ok((id, document.map(|document| Attachment::pdf(&document.name, document.bytes))))
        };
        Ok(Self(gathered.into_iter().map(print).collect::<Result<_, Error>>()?))
    }

    /// Whether what goes with a notice is there. It is not with one that was planned since: that waits for the next
    /// turn.
    pub(super) fn ready_for(&self, row: &NoticeRow) -> bool {
        !matches!(row.about, About::Record(Occasion::Handover(_))) || self.0.contains_key(&row.id)
    }

    /// What goes with a notice.
    pub(super) fn of(&self, row: &NoticeRow) -> Option<Attachment> {
        self.0.get(&row.id)?.clone()
    }
}
