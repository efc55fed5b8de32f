//! The work list.

use crate::app::dues::{self, DueQuery, DueView};
use crate::app::page::Page;
use crate::core::assess::DueStatus;
use crate::http::answer::{Answer, ok};
use crate::http::auth::Caller;

/// What falls due, by the day on which its window closes.
///
/// The work list: each due with its warranty, vehicle and owner, its window, and the appointment that is booked for
/// it. Of what lies ahead, the next due of each rule. `from` and `to` hold for the day on which the window closes;
/// `status` may be repeated and is by default everything but `met` and `waived`.
#[utoipa::path(get, path = "/v1/dues", tag = "dues",
    params(("status" = Option<Vec<DueStatus>>, Query, explode, description = "May be repeated; all but met and waived unless given."),
           ("from" = Option<NaiveDate>, Query, description = "Closing on this day or later."),
           ("to" = Option<NaiveDate>, Query, description = "Closing on this day or before."),
           ("upkeep" = Option<String>, Query, description = "The key of one rule."),
           ("answered" = Option<bool>, Query, description = "Whether the owner has answered."),
           ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of dues.", body = Page<DueView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let asked = DueQuery {
        statuses: query.parsed_all("status", "ahead, open, late, missed, met or waived"),
        from: query.day("from"),
        to: query.day("to"),
        upkeep: query.text("upkeep"),
        answered: query.parsed("answered", "true or false"),
    };
    let wanted = query.page(&asked)?;
    ok(&caller.run(move |app, who| dues::list(app, who, &asked, &wanted)).await?)
}
