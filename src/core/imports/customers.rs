//! A customer as a file tells of them.

use serde::Serialize;

use super::{Column, Kept, Kind, Row};
use crate::core::email::Email;
use crate::core::words::CustomerKind;

/// A customer as a file tells of them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Customer {
    /// Name, as mails address them; 1–200 characters.
    pub name: String,
    /// An owner, or a dealer's stock, which is none.
    pub kind: CustomerKind,
    /// Where mails go.
    pub email: Option<String>,
    /// Telephone; up to 40 characters.
    pub phone: Option<String>,
    /// BCP 47 language of mails; the shop's unless said.
    pub language: Option<String>,
    /// IANA zone of mails; the shop's unless said.
    pub time_zone: Option<String>,
    /// Whether they want mails about upkeep; yes unless said.
    pub mail_upkeep: bool,
    /// Whether they want the history after each visit; yes unless said.
    pub mail_history: bool,
}

impl Kept for Customer {
    const KIND: Kind = Kind::Customers;

    fn read(row: &mut Row<'_, '_>) -> Option<Self> {
        let before = row.faults();
        let parts = [Column::FirstName, Column::LastName].map(|column| row.text_of(column, 200));
        let joined = parts.into_iter().flatten().collect::<Vec<_>>().join(" ");
        let name = row.text_of(Column::Name, 200).unwrap_or(joined);
        if name.is_empty() && row.faults() == before {
            row.fault(Column::Name, "missing", "`name` is needed here");
        }
        if name.chars().count() > 200 {
            row.fault(
                Column::LastName,
                "too_long",
                "first and last name have at most 199 characters together",
            );
        }
        let time_zone = row.text_of(Column::TimeZone, 100);
        if let Some(zone) = time_zone.as_deref().filter(|zone| zone.parse::<chrono_tz::Tz>().is_err()) {
            let detail = format!("{zone:?} is no IANA time zone such as Europe/Lisbon");
            row.fault(Column::TimeZone, "unknown_zone", detail);
        }
        let said = Self {
            name,
            kind: row.word(Column::Kind).unwrap_or(CustomerKind::Owner),
            email: row.parsed::<Email>(Column::Email).map(|email| email.as_str().to_owned()),
            phone: row.text_of(Column::Phone, 40),
            language: row.text_of(Column::Language, 35),
            time_zone,
            mail_upkeep: row.yes_or_no(Column::MailUpkeep).unwrap_or(true),
            mail_history: row.yes_or_no(Column::MailHistory).unwrap_or(true),
        };
        (row.faults() == before).then_some(said)
    }

    fn cells(&self) -> Vec<(Column, String)> {
        let yes_or_no = |yes| if yes { "yes" } else { "no" }.to_owned();
        let mut cells = vec![
            (Column::Name, self.name.clone()),
            (Column::Kind, self.kind.to_string()),
            (Column::MailUpkeep, yes_or_no(self.mail_upkeep)),
            (Column::MailHistory, yes_or_no(self.mail_history)),
        ];
        for (column, text) in [
            (Column::Email, &self.email),
            (Column::Phone, &self.phone),
            (Column::Language, &self.language),
            (Column::TimeZone, &self.time_zone),
        ] {
            cells.extend(text.clone().map(|text| (column, text)));
        }
        cells
    }
}
