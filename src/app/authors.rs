//! Who answers for what is entered: mostly a member of the shop; what owners enter by their link, they do themselves.

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use serde_json::{Value, json};

use super::Who;
use crate::core::ids::{CustomerId, MemberId};
use crate::core::words::Role;
use crate::db::Shop;

/// Whoever enters something, as records name them.
#[derive(Debug, Clone)]
pub(crate) struct Author {
    /// The shop with which it is entered.
    pub(crate) shop: Shop,
    /// The zone in which the shop's days begin and end.
    pub(crate) zone: Tz,
    /// Who it is.
    pub(crate) by: By,
}

/// Who enters something.
#[derive(Debug, Clone)]
pub(crate) enum By {
    /// A member of the shop.
    Member(MemberId, String, Role),
    /// An owner, by the link that the shop gave them.
    Owner(CustomerId, String),
    /// Somebody who stands at the vehicle and followed the link on its label.
    Door,
}

impl Author {
    /// The member, where it is one.
    pub(crate) fn member(&self) -> Option<MemberId> {
        match self.by {
            By::Member(id, ..) => Some(id),
            By::Owner(..) | By::Door => None,
        }
    }

    /// The owner, where it is one.
    pub(crate) fn owner(&self) -> Option<CustomerId> {
        match self.by {
            By::Owner(id, _) => Some(id),
            By::Member(..) | By::Door => None,
        }
    }

    /// The shop's local day at an instant.
    pub(crate) fn day(&self, at: DateTime<Utc>) -> NaiveDate {
        at.with_timezone(&self.zone).date_naive()
    }

    /// As the body of a record names them.
    pub(crate) fn said(&self) -> Value {
        match &self.by {
            By::Member(id, name, role) => json!({ "member": id, "name": name, "role": role }),
            By::Owner(id, name) => json!({ "customer": id, "name": name }),
            By::Door => json!({ "door": true }),
        }
    }
}

impl From<&Who> for Author {
    fn from(who: &Who) -> Self {
        let by = By::Member(who.member, who.name.clone(), who.role);
        Self { shop: who.shop, zone: who.zone, by }
    }
}
