//! The one-look answer.

use crate::app::eligibility::{self, By, Eligibility};
use crate::core::error::{Error as Rule, Fault};
use crate::core::vin::Vin;
use crate::http::answer::{Answer, ok};
use crate::http::auth::Caller;

/// Whether cover is in force, on what, why, and what a service would do.
///
/// Give exactly one of `vin` and `plate`. Of a VIN the form is checked; its check digit never refuses. All
/// warranties of the vehicle are answered, ended ones too, void ones not, each with the verdict as of `on` and the
/// reasons that decided it. `today` says for each rule what a service would do on that day: count, reinstate, be
/// too early, or nothing; whether the coating is ready for it is said by `care`, while a coating of the last sixty days may
/// still be curing.
#[utoipa::path(get, path = "/v1/eligibility", tag = "eligibility",
    params(("vin" = Option<String>, Query, description = "Exactly one of `vin` and `plate`."), ("plate" = Option<String>, Query),
           ("on" = Option<NaiveDate>, Query, description = "The shop's today unless given.")),
    responses((status = 200, description = "The verdict with its reasons.", body = Eligibility)))]
pub async fn look_up(caller: Caller) -> Answer {
    let mut query = caller.query();
    let (vin, plate, on) = (query.text("vin"), query.text("plate"), query.day("on"));
    query.finish()?;
    let by = match (vin, plate) {
        (Some(vin), None) => By::Vin(
            vin.parse::<Vin>()
                .map_err(|fault| Rule::Malformed(vec![Fault::new("vin", fault.code, fault.detail)]))?,
        ),
        (None, Some(plate)) => By::Plate(plate),
        _ => {
            let fault = Fault::new("vin", "one_of", "exactly one of vin and plate is needed");
            return Err(Rule::Malformed(vec![fault]).into());
        }
    };
    let asked = by.clone();
    let found = caller.run(move |app, who| eligibility::look_up(app, who, &by, on)).await;
    ok(&found.map_err(|problem| {
        if problem.is_not_found() {
            problem.saying(format!("your shop knows no vehicle with {asked}"))
        } else {
            problem
        }
    })?)
}
