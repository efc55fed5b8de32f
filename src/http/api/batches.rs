//! Batches.

use crate::app::batches::{self, BatchInput, BatchVehicle, BatchView, Filter};
use crate::app::page::Page;
use crate::core::ids::BatchId;
use crate::core::words::BatchState;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The shop's batches, newest first.
///
/// Filter by `product` and `number` to find the bottle that somebody holds in their hand, or by `state` for what
/// must not be used.
#[utoipa::path(get, path = "/v1/batches", tag = "batches",
    params(("product" = Option<String>, Query), ("number" = Option<String>, Query), ("state" = Option<BatchState>, Query),
           ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of batches.", body = Page<BatchView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let filter = Filter {
        product: query.text("product"),
        number: query.text("number"),
        state: query.parsed("state", "usable, quarantined or recalled"),
    };
    let wanted = query.page(&filter)?;
    ok(&caller.run(move |app, who| batches::list(app, who, &filter, &wanted)).await?)
}

/// Registers a batch.
///
/// Coats name a batch by product and number. A coat from a batch that is not registered is taken all the same and
/// stops the sign-off until it is.
#[utoipa::path(post, path = "/v1/batches", tag = "batches", request_body = BatchInput,
    responses((status = 201, description = "The new batch.", body = BatchView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: BatchInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| batches::add(app, who, input),
            |view| created(view, view.version, &format!("/v1/batches/{}", view.id)),
        )
        .await
}

/// One batch.
///
/// `/vehicles` below it says where it went.
#[utoipa::path(get, path = "/v1/batches/{id}", tag = "batches", params(("id" = BatchId, Path)),
    responses((status = 200, description = "The batch.", body = BatchView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: BatchId = path.get("id")?;
    let view = caller.run(move |app, who| batches::find(app, who, id)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a batch by a merge patch; its state is the manager's.
///
/// What everybody may correct is what stands on the bottle. `state` is the manager's: `quarantined` and `recalled`
/// stop the sign-off of every job with a coat from it.
#[utoipa::path(patch, path = "/v1/batches/{id}", tag = "batches", params(("id" = BatchId, Path)), request_body = BatchInput,
    responses((status = 200, description = "The batch as it is now.", body = BatchView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let id: BatchId = path.get("id")?;
    let current = caller.run(move |app, who| batches::find(app, who, id)).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view = caller.run(move |app, who| batches::change(app, who, id, current.version, &patch)).await?;
    versioned(&view, view.version)
}

/// The vehicles on which a batch went, with panels and present owner.
///
/// What a recall needs: each vehicle, the panels of each coat, the job, and the present owner with how to reach
/// them.
#[utoipa::path(get, path = "/v1/batches/{id}/vehicles", tag = "batches",
    params(("id" = BatchId, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of vehicles.", body = Page<BatchVehicle>)))]
pub async fn vehicles(caller: Caller, path: Path) -> Answer {
    let id: BatchId = path.get("id")?;
    caller.run(move |app, who| batches::find(app, who, id)).await?;
    let wanted = caller.query().page(&id)?;
    ok(&caller.run(move |app, who| batches::vehicles(app, who, id, &wanted)).await?)
}
