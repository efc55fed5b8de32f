//! A notice that nobody has put down yet.

use chrono::{DateTime, Utc};
use uuid::Builder;

use super::letters::language_of;
use crate::app::{App, Error, new_id, shops};
use crate::core::ids::{Digest, NoticeId, VehicleId, WarrantyId};
use crate::core::notices::{About, key_of};
use crate::core::words::NoticeState;
use crate::db::customers::CustomerRow;
use crate::db::notices::NoticeRow;
use crate::db::{Conn, Shop};
use crate::mail::said::Section;
use crate::mail::texts::subject_of;

/// What an owner is to be told, and from when on.
pub(super) struct NewNotice {
    pub(super) about: About,
    pub(super) vehicle: VehicleId,
    pub(super) warranty: Option<WarrantyId>,
    /// Whom it goes to.
    pub(super) customer: CustomerRow,
    /// What it says as things stand.
    pub(super) section: Section,
    /// From when on it may go out.
    pub(super) planned_for: DateTime<Utc>,
}

impl NewNotice {
    /// Its business key.
    pub(super) fn key(&self) -> String {
        key_of(&self.about, self.vehicle, self.customer.id)
    }

    /// What it is called until it is put down: made of the key, so that it is the same whenever somebody looks ahead.
    pub(super) fn foreseen_id(&self) -> NoticeId {
        let digest = Digest::of(self.key().as_bytes());
        let mut first = [0; 16];
        first.copy_from_slice(&digest.as_bytes()[..16]);
        NoticeId::from(Builder::from_custom_bytes(first).into_uuid())
    }

    /// The subject of a mail about this alone, in its owner's language.
    pub(super) fn subject(&self, conn: &mut Conn, app: &App, shop: &Shop) -> Result<String, Error> {
        let settings = shops::settings(conn, app, shop)?;
        Ok(subject_of(language_of(&self.customer, &settings), &self.section))
    }

    /// The notice as it is put down: planned.
    pub(super) fn row(
        self,
        conn: &mut Conn,
        app: &App,
        shop: &Shop,
        now: DateTime<Utc>,
    ) -> Result<NoticeRow, Error> {
        Ok(NoticeRow {
            id: new_id(),
            key: self.key(),
            kind: self.about.kind(),
            state: NoticeState::Planned,
            subject: self.subject(conn, app, shop)?,
            customer: self.customer.id,
            vehicle: self.vehicle,
            warranty: self.warranty,
            about: self.about,
            planned_for: self.planned_for,
            message: None,
            because: None,
            created_at: now,
            version: 1,
        })
    }
}
