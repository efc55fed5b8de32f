//! The one-look answer.

use crate::app::eligibility::{self, By, Eligibility};
use crate::core::error::{Error as Rule, Fault};
use crate::core::vin::Vin;
use crate::http::answer::{Answer, ok};
use crate::http::auth::Caller;

/// Whether cover is in force, on what, why, and what a service would do; by VIN or plate.
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
    ok(&caller.run(move |app, who| eligibility::look_up(app, who, &by, on)).await?)
}
