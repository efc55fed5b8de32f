//! Customers: whom vehicles belong to, and where their mail goes.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::notices::{Refusal, refusals, vouched_for};
use super::page::{Page, Wanted};
use super::vehicles::refresh_key;
use super::{App, Error, Who, new_id, patched, shops};
use crate::core::email::Email;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::fold::{Sought, search_key};
use crate::core::ids::CustomerId;
use crate::core::words::CustomerKind;
use crate::db::customers::{self, CustomerRow};
use crate::db::{Conn, Shop, agenda, vehicles};

/// Which mails a customer wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MailChoices {
    /// Mails about what falls due.
    #[serde(default = "yes")]
    pub upkeep: bool,
    /// The history after handover and each visit.
    #[serde(default = "yes")]
    pub history: bool,
}

impl Default for MailChoices {
    fn default() -> Self {
        Self { upkeep: true, history: true }
    }
}

fn yes() -> bool {
    true
}

/// What can be said of a customer.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CustomerInput {
    /// Name, as mails address them; 1–200 characters.
    #[schema(min_length = 1, max_length = 200)]
    pub name: String,
    /// An owner, or a dealer's stock, which is none.
    #[serde(default = "owner")]
    pub kind: CustomerKind,
    /// Where mails go; without one there are none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 3, max_length = 254)]
    pub email: Option<String>,
    /// Telephone; up to 40 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 40)]
    pub phone: Option<String>,
    /// BCP 47 language of mails; the shop's unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 35)]
    pub language: Option<String>,
    /// IANA zone, in which mails go out at a decent hour; the shop's unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_zone: Option<String>,
    /// Which mails they want; all unless given.
    #[serde(default)]
    pub mail: MailChoices,
}

fn owner() -> CustomerKind {
    CustomerKind::Owner
}

impl CustomerInput {
    /// Every rule that this input breaks, with pointers from its root.
    pub(crate) fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        faults.extend(super::wanted_text("/name", &self.name, 200));
        if let Some(Err(fault)) = self.email.as_deref().map(str::parse::<Email>) {
            faults.push(fault.within("/email"));
        }
        faults.extend(self.phone.as_deref().and_then(|phone| super::wanted_text("/phone", phone, 40)));
        faults.extend(self.language.as_deref().and_then(|tag| super::wanted_text("/language", tag, 35)));
        faults.extend(self.time_zone.as_deref().and_then(|zone| super::zone("/time_zone", zone).err()));
        faults
    }

    /// The row of a customer that has just been checked.
    pub(crate) fn row(
        self,
        id: CustomerId,
        shop: &shops::ShopSettings,
        created_at: DateTime<Utc>,
        version: i64,
    ) -> CustomerRow {
        let email =
            self.email.and_then(|email| email.parse::<Email>().ok()).map(|email| email.as_str().to_owned());
        let parts = [Some(self.name.as_str()), email.as_deref(), self.phone.as_deref()];
        CustomerRow {
            id,
            search_key: search_key(parts.into_iter().flatten()),
            kind: self.kind,
            email,
            phone: self.phone,
            language: self.language.unwrap_or_else(|| shop.language.clone()),
            time_zone: self.time_zone.unwrap_or_else(|| shop.time_zone.clone()),
            mail_upkeep: self.mail.upkeep,
            mail_history: self.mail.history,
            created_at,
            version,
            name: self.name,
        }
    }
}

/// A customer as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct CustomerView {
    /// The customer.
    pub id: CustomerId,
    /// Everything that can be said of them.
    #[serde(flatten)]
    pub customer: CustomerInput,
    /// What was said of the address, if mails to it come back; about upkeep nothing is written to it then, until it is
    /// entered anew.
    pub email_refused: Option<Refusal>,
    /// When they were added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

impl From<CustomerRow> for CustomerView {
    fn from(row: CustomerRow) -> Self {
        Self {
            id: row.id,
            customer: CustomerInput {
                name: row.name,
                kind: row.kind,
                email: row.email,
                phone: row.phone,
                language: Some(row.language),
                time_zone: Some(row.time_zone),
                mail: MailChoices { upkeep: row.mail_upkeep, history: row.mail_history },
            },
            email_refused: None,
            created_at: row.created_at,
            version: row.version,
        }
    }
}

/// Customers as they are answered.
fn views(conn: &mut Conn, shop: &Shop, rows: Vec<CustomerRow>) -> Result<Vec<CustomerView>, Error> {
    let emails: Vec<Option<&str>> = rows.iter().map(|row| row.email.as_deref()).collect();
    let refusals = refusals(conn, shop, &emails)?;
    let view = |(row, email_refused): (CustomerRow, _)| CustomerView { email_refused, ..row.into() };
    Ok(rows.into_iter().zip(refusals).map(view).collect())
}

/// A customer as they are answered.
fn view(conn: &mut Conn, shop: &Shop, row: CustomerRow) -> Result<CustomerView, Error> {
    let email_refused = refusals(conn, shop, &[row.email.as_deref()])?.into_iter().next().flatten();
    Ok(CustomerView { email_refused, ..row.into() })
}

/// Adds a customer.
pub fn add(app: &App, who: &Who, input: CustomerInput) -> Result<CustomerView, Error> {
    all_clear(input.faults())?;
    let (app, scope) = (app.clone(), who.shop);
    app.db.clone().write(move |tx| {
        let shop = shops::settings(tx, &app, &scope)?;
        let row = input.row(new_id(), &shop, app.now(), 1);
        customers::add(tx, &scope, &row)?;
        if let Some(email) = &row.email {
            vouched_for(tx, &scope, email)?;
        }
        view(tx, &scope, row)
    })
}

/// One customer of the shop.
pub fn find(app: &App, who: &Who, id: CustomerId) -> Result<CustomerView, Error> {
    app.db.read(|c| {
        let row = customers::find(c, &who.shop, id)?;
        view(c, &who.shop, row)
    })
}

/// A page of customers, newest first; `q` is looked for in name, address and telephone.
pub fn list(
    app: &App,
    who: &Who,
    q: Option<&str>,
    wanted: &Wanted<CustomerId>,
) -> Result<Page<CustomerView>, Error> {
    let sought = q.map(Sought::of).filter(|sought| !sought.is_nothing());
    app.db.read(|c| {
        let rows = customers::list(c, &who.shop, sought.as_ref(), wanted.after, wanted.rows())?;
        Ok(wanted.page(views(c, &who.shop, rows)?, |view| view.id))
    })
}

/// Changes a customer by a merge patch, if they are still of `version`.
pub fn change(
    app: &App,
    who: &Who,
    id: CustomerId,
    version: i64,
    patch: &Value,
) -> Result<CustomerView, Error> {
    let current = find(app, who, id)?;
    let input: CustomerInput = patched(&current.customer, patch)?;
    all_clear(input.faults())?;
    let entered_anew = patch.get("email").is_some();
    let (app, scope) = (app.clone(), who.shop);
    app.db.clone().write(move |tx| {
        let shop = shops::settings(tx, &app, &scope)?;
        let mut row = input.row(id, &shop, current.created_at, version);
        if !customers::change(tx, &scope, &row)? {
            return Err(Rule::Stale.into());
        }
        if let Some(email) = row.email.as_deref().filter(|_| entered_anew) {
            vouched_for(tx, &scope, email)?;
        }
        agenda::plan_customer(tx, &scope, id)?;
        for vehicle in vehicles::of_customer(tx, &scope, id)? {
            refresh_key(tx, &scope, vehicle)?;
        }
        row.version += 1;
        view(tx, &scope, row)
    })
}
