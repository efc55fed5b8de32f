//! Notices: which mails are due, to whom and when; each one mail to one owner about one thing.
//!
//! All of it is worked out from values. What concerns a due goes in steps: `upcoming` some days before it,
//! `last-call` before its window closes, `missed` after. Of the steps that have come, only the last one is true
//! today: after an outage of any length the earlier ones are not made up for.

mod about;
mod cadence;
mod plan;
mod read;
mod refusal;
mod when;

use std::collections::BTreeSet;

use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use serde::{Deserialize, Serialize};

use crate::core::calendar::{Day, Period};
use crate::core::ids::{CustomerId, Digest, WarrantyId};
use crate::core::words::NoticeKind;

pub use about::{About, Because, Change, LinkNotice, Occasion, key_of};
pub use cadence::{Cadence, Importance, Quiet};
pub use plan::{DueNotice, Ending, Lookout, Stale, endings, lookout, plan, steps, still_holds};
pub use read::{consequence_of, due_views, expected, last_days, make_good_until, rule_views};
pub use refusal::refuses_address;
pub use when::{local_send, retry_at};

/// How long after a warranty was entered mails about it are not counted against the most a year.
pub const FIRST_MONTH: TimeDelta = TimeDelta::days(31);

/// How many days before cover of a surface ends its owner is told.
pub const ENDING_DAYS: u32 = 60;

/// How many days after a handover the vehicle is asked to be brought by for a first look (the trade looks for high spots
/// after two to four weeks; common practice).
pub const FIRST_LOOK_DAYS: u32 = 21;

/// How many days before a booked day its owner is reminded of it.
pub const BOOKED_DAYS: u32 = 2;

/// How long a year is, for counting mails.
pub const A_YEAR: TimeDelta = TimeDelta::days(365);

/// How many days before closing the last call is made.
pub const LAST_CALL_DAYS: u32 = 14;

/// What the planner needs to know of a warranty: its rules, how its dues stand today, and whom it concerns.
#[derive(Debug, Clone)]
pub struct WarrantyView {
    /// The warranty.
    pub id: WarrantyId,
    /// When it was entered: nothing is planned for a moment before.
    pub entered_at: DateTime<Utc>,
    /// Whose the vehicle is now.
    pub owner: OwnerView,
    /// How many days before a due this plan tells of it; none: the shop's.
    pub leads: Option<Vec<u32>>,
    /// The rules of its terms, in their order.
    pub rules: Vec<RuleView>,
    /// Its dues as they stand today; moot ones are not among them.
    pub dues: Vec<DueView>,
    /// The last days of cover that has not ended.
    pub last_days: BTreeSet<Day>,
}

/// Whom notices go to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnerView {
    /// The customer.
    pub id: CustomerId,
    /// Where they live, for a decent hour.
    pub zone: Tz,
    /// The first day on which the vehicle was theirs: what came before concerned somebody else.
    pub since: Day,
    /// Whether they want mails about upkeep.
    pub wants_upkeep: bool,
}

/// A rule of upkeep.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleView {
    /// Its key in the terms.
    pub key: String,
    /// How often it asks; of a rule that asks once, after which time.
    pub interval: Period,
    /// Whether a miss is only noted, whichever it is: such a rule sends no mails of its own.
    pub only_noted: bool,
}

/// A due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DueView {
    /// The place of its rule among the rules.
    pub rule: usize,
    /// From 1 on.
    pub number: u32,
    /// On a rolling clock the day that it is counted from, before which it did not exist; on a rota none.
    pub counted_from: Option<Day>,
    /// The day for which it is asked.
    pub due: Day,
    /// The last day on which it can be met.
    pub closes: Day,
    /// The day on which the vehicle is expected to have run as far as the due asks for; none where distance is not
    /// counted, or not enough is known.
    pub due_by_km: Option<Day>,
    /// The same of the distance at which it closes.
    pub closes_by_km: Option<Day>,
    /// What has become of it.
    pub standing: Standing,
    /// Whether a booking lies inside its window: there is nothing to remind of then.
    pub booked: bool,
}

/// What has become of a due, as far as it matters for telling the owner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It can still be met: `ahead`, `open` or `late`.
    Waiting,
    /// Met or waived.
    Settled,
    /// Missed from this day on, and what that cost has not been made good.
    Missed(Day),
    /// Missed, and made good since.
    MadeGood,
}

/// One of the notices that a due can give rise to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// So many days before the due.
    Upcoming(u32),
    /// [`LAST_CALL_DAYS`] days before the window closes.
    LastCall,
    /// The day from which it is missed.
    Missed,
}

impl Step {
    /// The kind of notice.
    pub const fn kind(self) -> NoticeKind {
        match self {
            Self::Upcoming(_) => NoticeKind::Upcoming,
            Self::LastCall => NoticeKind::LastCall,
            Self::Missed => NoticeKind::Missed,
        }
    }

    /// What tells apart the steps of one kind: the days before (`missed`: after) the day that it is counted from.
    const fn days(self) -> u32 {
        match self {
            Self::Upcoming(days) => days,
            Self::LastCall => LAST_CALL_DAYS,
            Self::Missed => 1,
        }
    }
}

/// The business key of a notice about a due: one text, so that planning twice is planning once, a due that an
/// extension moved is told of again, and a new owner hears of it for the first time.
///
/// ```
/// use lustrum::core::ids::{CustomerId, WarrantyId};
/// use lustrum::core::notices::{Step, due_key};
/// use uuid::Uuid;
/// let (warranty, owner) = (WarrantyId::new(Uuid::nil()), CustomerId::new(Uuid::max()));
/// assert_eq!(
///     due_key(warranty, owner, "annual", 2, "2028-04-09".parse()?, Step::Upcoming(45)),
///     "00000000-0000-0000-0000-000000000000/ffffffff-ffff-ffff-ffff-ffffffffffff/annual/2/2028-04-09/upcoming/45",
/// );
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn due_key(
    warranty: WarrantyId,
    owner: CustomerId,
    rule: &str,
    number: u32,
    closes: Day,
    step: Step,
) -> String {
    format!("{warranty}/{owner}/{rule}/{number}/{closes}/{}/{}", step.kind(), step.days())
}

/// What a message is known by: the digest of the keys of all notices in it, in whatever order they come.
///
/// ```
/// use lustrum::core::notices::message_digest;
/// assert_eq!(message_digest(&["b", "a"]), message_digest(&["a", "b"]));
/// assert_ne!(message_digest(&["a"]), message_digest(&["a", "b"]));
/// ```
pub fn message_digest<K: AsRef<str>>(keys: &[K]) -> Digest {
    let mut keys: Vec<&str> = keys.iter().map(AsRef::as_ref).collect();
    keys.sort_unstable();
    Digest::of(keys.join("\n").as_bytes())
}

/// How urgent a kind of notice is when several fall together: the lowest stands first in the joint mail.
pub const fn urgency(kind: NoticeKind) -> u8 {
    match kind {
        // Asked for, and good for minutes: whoever asked waits for it.
        NoticeKind::SignIn | NoticeKind::Link => 0,
        NoticeKind::Missed => 1,
        NoticeKind::LastCall => 2,
        NoticeKind::Changed => 3,
        NoticeKind::Ending => 4,
        NoticeKind::Upcoming => 5,
        NoticeKind::Booked => 6,
        NoticeKind::WashFrom => 7,
        NoticeKind::Aftercare => 8,
        NoticeKind::FirstLook => 9,
        NoticeKind::Season => 10,
        NoticeKind::Record => 11,
    }
}
