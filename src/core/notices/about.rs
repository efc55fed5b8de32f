//! What a notice is about, and the one text by which it is known.

use chrono::{DateTime, SecondsFormat, Utc};
use serde::{Deserialize, Serialize};

use super::DueNotice;
use crate::core::calendar::Day;
use crate::core::ids::{
    AppointmentId, BatchId, CustomerId, Digest, EventId, JobId, VehicleId, VisitId, WarrantyId,
};
use crate::core::words::{LinkPurpose, NoticeKind, Panel, Season, Surface};

/// What a `record` was written about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Occasion {
    /// A job was handed over.
    Handover(JobId),
    /// The vehicle came back.
    Visit(VisitId),
}

/// How cover changed by something that was entered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// The vehicle is somebody else's: cover goes with it, or ends.
    Transferred {
        /// Whether cover ends with that.
        ends: bool,
    },
    /// A panel is out of cover: it was repaired or refinished.
    PanelOut {
        /// What the coating lay on.
        surface: Surface,
        /// Which panel.
        panel: Panel,
    },
    /// A panel is in cover again: it was coated anew.
    PanelBack {
        /// What the coating lies on.
        surface: Surface,
        /// Which panel.
        panel: Panel,
    },
    /// Cover is on hold.
    OnHold {
        /// On which surfaces.
        surfaces: Vec<Surface>,
    },
    /// Cover is in force again.
    BackInForce {
        /// On which surfaces.
        surfaces: Vec<Surface>,
    },
    /// Cover has ended.
    Ended {
        /// On which surfaces.
        surfaces: Vec<Surface>,
    },
    /// A batch that was used was recalled.
    Recalled {
        /// The product's title.
        product: String,
        /// The batch.
        batch: String,
        /// Where it lies.
        panels: Vec<Panel>,
    },
}

impl Change {
    /// The word for it in keys: what of one event is told apart.
    fn word(&self) -> String {
        match self {
            Self::Transferred { .. } => "transferred".into(),
            Self::PanelOut { surface, panel } => format!("panel-out/{surface}/{panel}"),
            Self::PanelBack { surface, panel } => format!("panel-back/{surface}/{panel}"),
            Self::OnHold { .. } => "on-hold".into(),
            Self::BackInForce { .. } => "back-in-force".into(),
            Self::Ended { .. } => "ended".into(),
            Self::Recalled { .. } => "recalled".into(),
        }
    }
}

/// What a notice is about, as it is kept until the notice has gone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum About {
    /// A due.
    Due(DueNotice),
    /// What was done.
    Record(Occasion),
    /// What to take care of after a handover, as far as it could be told then.
    Aftercare {
        /// The job that was handed over.
        job: JobId,
        /// From when on the vehicle may meet water.
        first_water: Option<DateTime<Utc>>,
        /// From when on it may be washed.
        first_wash: Option<DateTime<Utc>>,
        /// When it has cured.
        full_cure: Option<DateTime<Utc>>,
    },
    /// The first wash is safe from a day on.
    WashFrom {
        /// The job that was handed over.
        job: JobId,
        /// The day.
        from: Day,
    },
    /// A first look at the work, some weeks after a handover.
    FirstLook(JobId),
    /// A booked day.
    Booked {
        /// The appointment.
        appointment: AppointmentId,
        /// When it is, as it was when this was planned.
        at: DateTime<Utc>,
        /// Whether it reminds of what was confirmed before.
        again: bool,
    },
    /// Care for the season.
    Season {
        /// Which.
        season: Season,
        /// The day on which it begins, for the shop.
        begins: Day,
    },
    /// Cover of a surface ends before long.
    Ending {
        /// The warranty.
        warranty: WarrantyId,
        /// The last day of that cover, as it was when this was planned.
        last_day: Day,
    },
    /// A link that was asked for.
    Link(LinkNotice),
    /// Cover changed by something that was entered.
    Changed {
        /// Whose cover; none where a batch was recalled.
        warranty: Option<WarrantyId>,
        /// By this.
        because: Because,
        /// The day of it.
        on: Day,
        /// How.
        change: Change,
    },
}

/// A link that was asked for, and goes to nobody but its owner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LinkNotice {
    /// What it is for.
    pub purpose: LinkPurpose,
    /// What is kept of the link itself: each is asked for anew.
    pub digest: Digest,
    /// Where it leads; gone as soon as the mail is written.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub url: Option<String>,
}

/// What a change of cover came of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Because {
    /// Something that happened to the vehicle.
    Event(EventId),
    /// A batch was recalled.
    Batch(BatchId),
}

impl About {
    /// The kind of notice.
    pub const fn kind(&self) -> NoticeKind {
        match self {
            Self::Due(notice) => notice.kind(),
            Self::Record(_) => NoticeKind::Record,
            Self::Aftercare { .. } => NoticeKind::Aftercare,
            Self::WashFrom { .. } => NoticeKind::WashFrom,
            Self::FirstLook(_) => NoticeKind::FirstLook,
            Self::Booked { .. } => NoticeKind::Booked,
            Self::Season { .. } => NoticeKind::Season,
            Self::Ending { .. } => NoticeKind::Ending,
            Self::Changed { .. } => NoticeKind::Changed,
            Self::Link(_) => NoticeKind::Link,
        }
    }
}

/// The business key of a notice: what it is about, and whom it goes to. One text, so that planning twice is planning
/// once, and a new owner hears of it for the first time.
///
/// ```
/// use lustrum::core::ids::{CustomerId, JobId, VehicleId};
/// use lustrum::core::notices::{About, Occasion, key_of};
/// use uuid::Uuid;
/// let (vehicle, owner) = (VehicleId::new(Uuid::nil()), CustomerId::new(Uuid::max()));
/// let job = JobId::new(Uuid::nil());
/// assert_eq!(
///     key_of(&About::Record(Occasion::Handover(job)), vehicle, owner),
///     "job/00000000-0000-0000-0000-000000000000/ffffffff-ffff-ffff-ffff-ffffffffffff/record",
/// );
/// let from = "2026-03-17".parse()?;
/// assert_eq!(
///     key_of(&About::WashFrom { job, from }, vehicle, owner),
///     "job/00000000-0000-0000-0000-000000000000/ffffffff-ffff-ffff-ffff-ffffffffffff/wash-from/2026-03-17",
/// );
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn key_of(about: &About, vehicle: VehicleId, owner: CustomerId) -> String {
    let kind = about.kind();
    match about {
        About::Due(notice) => notice.key.clone(),
        About::Record(Occasion::Visit(visit)) => format!("visit/{visit}/{owner}/{kind}"),
        About::Record(Occasion::Handover(job)) | About::Aftercare { job, .. } | About::FirstLook(job) => {
            format!("job/{job}/{owner}/{kind}")
        }
        About::WashFrom { job, from } => format!("job/{job}/{owner}/{kind}/{from}"),
        About::Booked { appointment, at, again } => {
            let days = if *again { super::BOOKED_DAYS } else { 0 };
            let at = at.to_rfc3339_opts(SecondsFormat::Secs, true);
            format!("appointment/{appointment}/{owner}/{kind}/{at}/{days}")
        }
        About::Season { season, begins } => format!("vehicle/{vehicle}/{owner}/{kind}/{season}/{begins}"),
        About::Ending { warranty, last_day } => format!("{warranty}/{owner}/{kind}/{last_day}"),
        About::Changed { because: Because::Event(event), change, warranty, .. } => {
            let warranty = warranty.map(|id| format!("/{id}")).unwrap_or_default();
            format!("event/{event}{warranty}/{owner}/{kind}/{}", change.word())
        }
        About::Link(link) => format!("link/{owner}/{}/{kind}", link.digest),
        About::Changed { because: Because::Batch(batch), change, .. } => {
            format!("batch/{batch}/{vehicle}/{owner}/{kind}/{}", change.word())
        }
    }
}
