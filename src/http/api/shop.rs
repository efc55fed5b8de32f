//! The shop itself.

use crate::app::shops::{self, ShopSettings, ShopView};
use crate::http::answer::{Answer, versioned};
use crate::http::auth::Caller;
use crate::http::body::Body;

/// The shop's name, address, zone and habits.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/shop", tag = "shop", responses((status = 200, description = "The shop.", body = ShopView)))]
pub async fn find(caller: Caller) -> Answer {
    caller.query().finish()?;
    let view = caller.run(shops::find).await?;
    versioned(&view, view.version)
}

/// Changes the shop by a merge patch.
///
/// Zone, language, unit and the hour of mails are what customers and vehicles get unless they say another; those
/// that are there keep theirs.
#[utoipa::path(patch, path = "/v1/shop", tag = "shop", request_body = ShopSettings,
    responses((status = 200, description = "The shop as it is now.", body = ShopView)))]
pub async fn change(caller: Caller, body: Body) -> Answer {
    let current = caller.run(shops::find).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view = caller.run(move |app, who| shops::change(app, who, current.version, &patch)).await?;
    versioned(&view, view.version)
}
