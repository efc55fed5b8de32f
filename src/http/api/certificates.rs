//! Signed certificates, and the keys by which anybody can check them.

use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse};

use crate::app::certificates;
use crate::http::answer::{Answer, ok, tag_of};
use crate::http::auth::{Caller, Path};
use crate::http::error::Problem;
use crate::http::service;

/// The certificate of a warranty, signed.
///
/// A compact JWS (RFC 7515, EdDSA): what was promised, for which vehicle, on which edition of terms (with its digest),
/// panel by panel. Whoever has it checks it with the keys at `/.well-known/jwks.json`, without asking this service;
/// whether the warranty still stands is said at its `verify` address, which takes the certificate itself, too. Nothing
/// personal stands in it. A warranty that is void has none.
#[utoipa::path(get, path = "/v1/warranties/{id}/certificate.jws", tag = "warranties", params(("id" = String, Path)),
    responses((status = 200, description = "The certificate.", content_type = "application/jose", body = String)))]
pub async fn signed(caller: Caller, path: Path) -> Result<HttpResponse, Problem> {
    let name: String = path.get("id")?;
    let jws = caller.run(move |app, who| certificates::signed(app, who, &name)).await?;
    caller.query().finish()?;
    Ok(HttpResponse::Ok()
        .content_type("application/jose")
        .insert_header((header::ETAG, tag_of(&jws)))
        .insert_header((header::CACHE_CONTROL, "no-cache"))
        .body(jws))
}

/// The public keys by which certificates are checked.
///
/// A JWK set (RFC 7517). Keys that sign no more stay in it: what they signed is good.
#[utoipa::path(get, path = "/.well-known/jwks.json", tag = "operations",
    responses((status = 200, description = "The keys.", body = serde_json::Value)))]
pub async fn keys(request: HttpRequest) -> Answer {
    ok(&service(&request)?.run(certificates::public_keys).await?)
}
