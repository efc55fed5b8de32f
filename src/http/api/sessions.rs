//! Signing in and out.

use actix_web::HttpRequest;

use crate::app::sessions::{self, Refresh, SessionView, SignIn};
use crate::core::error::Error as Rule;
use crate::http::answer::{Answer, made, nothing, ok};
use crate::http::auth::bearer;
use crate::http::body::Body;
use crate::http::query::Query;
use crate::http::service;

/// Signs a member in by e-mail address and password.
///
/// Send the access token as `Authorization: Bearer` with everything else. It lasts `expires_in` seconds; the
/// refresh token gives the next pair. Who is not known and who has another password are answered alike.
#[utoipa::path(post, path = "/v1/sessions", tag = "signing in", request_body = SignIn,
    responses((status = 201, description = "Signed in.", body = SessionView)))]
pub async fn sign_in(request: HttpRequest, body: Body) -> Answer {
    let input: SignIn = body.read().await?;
    Query::of(&request).finish()?;
    let service = service(&request)?;
    service.limits.sign_in(&request, &input.email)?;
    let view = service.run(move |app| sessions::sign_in(app, &input)).await?;
    made(&view)
}

/// Exchanges a refresh token for the next pair of tokens.
///
/// Each refresh token is used once. Used again within a minute it gives the same pair, for a client that lost the
/// answer; later it ends the whole session, as somebody else may have it.
#[utoipa::path(post, path = "/v1/sessions/refresh", tag = "signing in", request_body = Refresh,
    responses((status = 200, description = "The next pair of tokens.", body = SessionView)))]
pub async fn refresh(request: HttpRequest, body: Body) -> Answer {
    let input: Refresh = body.read().await?;
    Query::of(&request).finish()?;
    ok(&service(&request)?.run(move |app| sessions::refresh(app, &input)).await?)
}

/// Ends the session of the access token.
///
/// Its tokens are worth nothing from then on.
#[utoipa::path(delete, path = "/v1/sessions/current", tag = "signing in", security(("bearer" = [])),
    responses((status = 204, description = "Signed out.")))]
pub async fn sign_out(request: HttpRequest) -> Answer {
    let token = bearer(&request).ok_or(Rule::NotSignedIn)?.to_owned();
    Query::of(&request).finish()?;
    service(&request)?.run(move |app| sessions::sign_out(app, &token)).await?;
    nothing()
}
