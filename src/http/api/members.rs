//! People of the shop.

use crate::app::members::{self, MemberChange, MemberView, NewMember};
use crate::app::page::Page;
use crate::core::ids::MemberId;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The shop's members, newest first.
///
/// Those who may sign in, disabled ones too: their names stand in records.
#[utoipa::path(get, path = "/v1/members", tag = "members",
    params(("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of members.", body = Page<MemberView>)))]
pub async fn list(caller: Caller) -> Answer {
    let wanted = caller.query().page(&())?;
    ok(&caller.run(move |app, who| members::list(app, who, &wanted)).await?)
}

/// Adds a member.
///
/// They sign in with the password that is given here. An address belongs to one member of the installation.
#[utoipa::path(post, path = "/v1/members", tag = "members", request_body = NewMember,
    responses((status = 201, description = "The new member.", body = MemberView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: NewMember = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| members::add(app, who, &input),
            |view| created(view, view.version, &format!("/v1/members/{}", view.id)),
        )
        .await
}

/// One member.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/members/{id}", tag = "members", params(("id" = MemberId, Path)),
    responses((status = 200, description = "The member.", body = MemberView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: MemberId = path.get("id")?;
    let view = caller.run(move |app, who| members::find(app, who, id)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a member by a merge patch.
///
/// Nobody is removed: `disabled` ends all their sessions at once. The last manager cannot be disabled or made
/// something else.
#[utoipa::path(patch, path = "/v1/members/{id}", tag = "members", params(("id" = MemberId, Path)), request_body = MemberChange,
    responses((status = 200, description = "The member as they are now.", body = MemberView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let id: MemberId = path.get("id")?;
    let current = caller.run(move |app, who| members::find(app, who, id)).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view = caller.run(move |app, who| members::change(app, who, id, current.version, &patch)).await?;
    versioned(&view, view.version)
}
