//! The words of a shop's work and of what it keeps: products, jobs, appointments, terms, people, notices, records.

use super::words;

words! {
    /// What a product is used as.
    ProductRole, "product role" {
        Coating = "coating",
        Topper = "topper",
        /// Takes water at once, so that a vehicle can leave into bad weather.
        WeatherTopper = "weather_topper",
        Cleaner = "cleaner",
        Decontaminant = "decontaminant",
        Polish = "polish",
        PanelWipe = "panel_wipe",
        Other = "other",
    }
}

words! {
    /// Whether a batch of a product may be used.
    BatchState, "batch state" {
        Usable = "usable",
        /// Set aside by the shop until somebody has looked.
        Quarantined = "quarantined",
        /// Called back by whoever made it.
        Recalled = "recalled",
    }
}

words! {
    /// Where a job stands.
    JobState, "job state" {
        Open = "open",
        SignedOff = "signed_off",
        HandedOver = "handed_over",
        Cancelled = "cancelled",
    }
}

words! {
    /// Where an appointment stands.
    AppointmentState, "appointment state" {
        Booked = "booked",
        /// The vehicle was here on that day.
        Kept = "kept",
        /// The day went by without it.
        Missed = "missed",
        Cancelled = "cancelled",
    }
}

words! {
    /// What an owner can choose about mails.
    MailChoice, "mail choice" {
        /// Mails about what falls due.
        Upkeep = "upkeep",
        /// What was done, after handover and each visit.
        History = "history",
    }
}

words! {
    /// A day of the week, in the words of terms.
    DayOfWeek, "day of the week" {
        Monday = "mon",
        Tuesday = "tue",
        Wednesday = "wed",
        Thursday = "thu",
        Friday = "fri",
        Saturday = "sat",
        Sunday = "sun",
    }
}

impl DayOfWeek {
    /// The day as calendars reckon with it.
    pub const fn weekday(self) -> chrono::Weekday {
        use chrono::Weekday;
        match self {
            Self::Monday => Weekday::Mon,
            Self::Tuesday => Weekday::Tue,
            Self::Wednesday => Weekday::Wed,
            Self::Thursday => Weekday::Thu,
            Self::Friday => Weekday::Fri,
            Self::Saturday => Weekday::Sat,
            Self::Sunday => Weekday::Sun,
        }
    }
}

words! {
    /// What a person must do.
    TaskKind, "kind of task" {
        /// A mail could not be delivered: reach the owner otherwise.
        NoticeFailed = "notice_failed",
        /// The owner did not come: ask, and book anew.
        AppointmentMissed = "appointment_missed",
        /// An inspection found something: do what it asks for.
        Remedy = "remedy",
        /// The owner wants to come: book a day with them.
        BookingRequested = "booking_requested",
        /// The owner says that something is wrong: look at it, and answer them.
        ProblemReported = "problem_reported",
        /// The owner says that the vehicle is sold: confirm it, and enter the sale.
        SoldReported = "sold_reported",
        /// Somebody at the vehicle noted a wash or a repair: confirm it, or leave it.
        DoorNote = "door_note",
    }
}

words! {
    /// What a link that was given to an owner is for.
    LinkPurpose, "purpose of a link" {
        /// The owner's page.
        Owner = "owner",
        /// To say that the vehicle is sold: once.
        Transfer = "transfer",
    }
}

words! {
    /// What an owner answered when they were asked to come.
    OwnerAnswer, "answer" {
        /// They will come; the day is still to be booked.
        WillCome = "will_come",
        /// They want to be asked again.
        AskAgain = "ask_again",
        /// They have it done, or had it done, elsewhere.
        Elsewhere = "elsewhere",
        /// They do not want it.
        Declined = "declined",
        /// Nobody could be reached.
        NotReached = "not_reached",
    }
}

words! {
    /// Where an edition of terms stands.
    TermsState, "terms state" {
        Draft = "draft",
        Published = "published",
        /// No new warranties; those issued on it keep it.
        Retired = "retired",
    }
}

words! {
    /// How grave a finding on a job is.
    Severity, "severity" {
        /// Sign-off waits until it is put right, or passed by a manager with a reason.
        Stops = "stops",
        Warns = "warns",
        Tells = "tells",
    }
}

words! {
    /// What a member does in the shop; [`crate::core::access`] says who may what.
    Role, "role" {
        Manager = "manager",
        Technician = "technician",
        Desk = "desk",
    }
}

words! {
    /// The unit in which an odometer shows distance.
    OdometerUnit, "odometer unit" {
        Km = "km",
        Mi = "mi",
    }
}

words! {
    /// Whom a vehicle belongs to.
    CustomerKind, "kind of customer" {
        Owner = "owner",
        /// A dealer's stock: no owner in the sense of the terms.
        Stock = "stock",
    }
}

words! {
    /// One thing that an owner is told by mail.
    NoticeKind, "kind of notice" {
        Record = "record",
        Aftercare = "aftercare",
        WashFrom = "wash-from",
        FirstLook = "first-look",
        Upcoming = "upcoming",
        Booked = "booked",
        LastCall = "last-call",
        Missed = "missed",
        Season = "season",
        Ending = "ending",
        Changed = "changed",
        SignIn = "sign-in",
        Link = "link",
    }
}

words! {
    /// A time of the year for which there is something to say about care.
    Season, "season" {
        /// Before winter.
        Winter = "winter",
        /// In spring.
        Spring = "spring",
    }
}

words! {
    /// Where a notice stands on its way to the owner.
    NoticeState, "notice state" {
        Planned = "planned",
        Queued = "queued",
        /// Committed before the transport is spoken to.
        Sending = "sending",
        Sent = "sent",
        Failed = "failed",
        /// The address takes no such mail.
        Suppressed = "suppressed",
        Cancelled = "cancelled",
        /// No longer true when its time came.
        Stale = "stale",
        /// The least important beyond what an owner gets in a year.
        Dropped = "dropped",
    }
}

words! {
    /// What happened to a vehicle, in the words of the facts that terms are judged by.
    EventKind, "kind of event" {
        Service = "service",
        Reading = "reading",
        Transfer = "transfer",
        Repair = "repair",
        Recoat = "recoat",
        Breach = "breach",
        Waive = "waive",
        Extend = "extend",
        Close = "close",
        Retract = "retract",
    }
}

words! {
    /// A document that people answer for.
    RecordKind, "kind of record" {
        SignOff = "sign_off",
        Addendum = "addendum",
        Pass = "pass",
        Cancellation = "cancellation",
        Handover = "handover",
        Visit = "visit",
        Event = "event",
        Transfer = "transfer",
        Waiver = "waiver",
        Extension = "extension",
        Retraction = "retraction",
        Publication = "publication",
        Void = "void",
        /// An owner signed what was shown.
        Signature = "signature",
        /// What was entered counts in another way from now on: entered again in place of itself.
        Correction = "correction",
        /// What a shop had before, taken from its files.
        Import = "import",
        /// A vehicle turned out to be one that was known by its VIN.
        Identification = "identification",
        /// Personal texts of other records were erased.
        Erasure = "erasure",
        /// What an owner, or somebody at the vehicle, told the shop.
        Report = "report",
    }
}

words! {
    /// Who did a service.
    DoneBy, "doer of a service" {
        /// The shop that enters it.
        Shop = "shop",
        /// Another shop, of which the entering one has seen proof.
        OtherShop = "other_shop",
        /// The owner.
        Owner = "owner",
    }
}

words! {
    /// The size of the pages of a document.
    PaperSize, "paper" {
        /// 210 × 297 mm (ISO 216).
        A4 = "a4",
        /// 8½ × 11 inches.
        Letter = "letter",
    }
}
