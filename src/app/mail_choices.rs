//! What owners choose about mails, by the link that stands in each.

use super::{App, Error, shops};
use crate::core::error::Error as Rule;
use crate::core::ids::CustomerId;
use crate::core::words::MailChoice;
use crate::db::{Conn, Shop, agenda, customers};

/// What an owner is shown who follows such a link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChoiceView {
    /// The shop that writes.
    pub shop: String,
    /// Which mails.
    pub choice: MailChoice,
    /// Whether the owner wants them at present.
    pub wanted: bool,
}

/// Where a mail's link leads by which mails of a kind are ended.
pub(crate) fn link(app: &App, customer: CustomerId, choice: MailChoice) -> String {
    format!("{}/unsubscribe/{}", app.config.public_url, app.links.mail_choice(customer, choice))
}

fn named(
    conn: &mut Conn,
    app: &App,
    token: &str,
) -> Result<(Shop, customers::CustomerRow, MailChoice), Error> {
    let (customer, choice) = app.links.read_mail_choice(token).ok_or(Rule::NotFound)?;
    let shop = customers::shop_of(conn, &app.db.installation(), customer)?;
    Ok((shop, customers::find(conn, &shop, customer)?, choice))
}

fn view(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    customer: &customers::CustomerRow,
    choice: MailChoice,
) -> Result<ChoiceView, Error> {
    let wanted = match choice {
        MailChoice::Upkeep => customer.mail_upkeep,
        MailChoice::History => customer.mail_history,
    };
    Ok(ChoiceView { shop: shops::settings(conn, app, shop)?.name, choice, wanted })
}

/// What such a link is about. Nothing is changed: mail scanners follow links.
pub fn find(app: &App, token: &str) -> Result<ChoiceView, Error> {
    app.db.read(|c| {
        let (shop, customer, choice) = named(c, app, token)?;
        view(c, app, &shop, &customer, choice)
    })
}

/// Ends mails of the kind that the link is about, or takes that back. To say it twice is to say it once.
pub fn choose(app: &App, token: &str, wanted: bool) -> Result<ChoiceView, Error> {
    let (app_in, token) = (app.clone(), token.to_owned());
    app.db.write(move |tx| {
        let (shop, mut customer, choice) = named(tx, &app_in, &token)?;
        let chosen = match choice {
            MailChoice::Upkeep => &mut customer.mail_upkeep,
            MailChoice::History => &mut customer.mail_history,
        };
        if *chosen != wanted {
            *chosen = wanted;
            if !customers::change(tx, &shop, &customer)? {
                return Err(Rule::Stale.into());
            }
            agenda::plan_customer(tx, &shop, customer.id)?;
        }
        view(tx, &app_in, &shop, &customer, choice)
    })
}
