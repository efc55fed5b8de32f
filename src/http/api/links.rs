//! Links: an owner's to their page, and a vehicle's on its label.

use crate::app::door_links::{self, DoorLinkView};
use crate::app::owner_links::{self, OwnerLinkView, RevokedLinks};
use crate::app::{customers, vehicles};
use crate::core::ids::{CustomerId, VehicleId};
use crate::http::answer::{Answer, fixed, made, ok};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// Makes a link to an owner's page.
///
/// For an owner who has lost theirs, or has no mail: hand it on as it is. It is told here once and kept nowhere. It works
/// for eighteen months after it was last followed, until it is taken back; links that the owner has go on working.
#[utoipa::path(post, path = "/v1/customers/{id}/links", tag = "customers", params(("id" = CustomerId, Path)),
    responses((status = 201, description = "The new link.", body = OwnerLinkView)))]
pub async fn give(caller: Caller, path: Path, body: Body) -> Answer {
    let id: CustomerId = path.get("id")?;
    caller.run(move |app, who| customers::find(app, who, id)).await?;
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(move |app, who| owner_links::give(app, who, id), made).await
}

/// Takes every link to an owner's page back.
///
/// Also those that stand in mails, and those that were to confirm something. What the owner ends mails by goes on working.
#[utoipa::path(post, path = "/v1/customers/{id}/links/revoke", tag = "customers", params(("id" = CustomerId, Path)),
    responses((status = 200, description = "How many worked until now.", body = RevokedLinks)))]
pub async fn revoke(caller: Caller, path: Path, body: Body) -> Answer {
    let id: CustomerId = path.get("id")?;
    caller.run(move |app, who| customers::find(app, who, id)).await?;
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(move |app, who| owner_links::revoke(app, who, id), ok).await
}

/// The link on the label in a vehicle's door frame.
///
/// Whoever follows it sees what is on which panel and how to wash it, and nothing about any person; and can note a wash or
/// a repair, which becomes a task. It does not run out.
#[utoipa::path(get, path = "/v1/vehicles/{id}/door-link", tag = "vehicles", params(("id" = VehicleId, Path)),
    responses((status = 200, description = "The link.", body = DoorLinkView)))]
pub async fn door(caller: Caller, path: Path) -> Answer {
    let id: VehicleId = path.get("id")?;
    let view = caller.run(move |app, who| door_links::find(app, who, id)).await?;
    caller.query().finish()?;
    fixed(&view)
}

/// Gives a vehicle another link for its label.
///
/// Labels with the old one lead nowhere from then on: for one that was copied, or came off in the wrong hands.
#[utoipa::path(post, path = "/v1/vehicles/{id}/door-link", tag = "vehicles", params(("id" = VehicleId, Path)),
    responses((status = 201, description = "The new link.", body = DoorLinkView)))]
pub async fn renew_door(caller: Caller, path: Path, body: Body) -> Answer {
    let id: VehicleId = path.get("id")?;
    caller.run(move |app, who| vehicles::find(app, who, id)).await?;
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(move |app, who| door_links::renew(app, who, id), made).await
}
