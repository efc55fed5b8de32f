//! Whether the service lives, and whether it can do its work.

use actix_web::HttpRequest;

use crate::http::answer::{Answer, ok};
use crate::http::service;

/// The process runs.
///
/// For whatever restarts a process that hangs.
#[utoipa::path(get, path = "/health/live", tag = "operations", responses((status = 200, description = "It runs.", body = serde_json::Value)))]
pub async fn live() -> Answer {
    ok(&serde_json::json!({"live": true}))
}

/// The database answers; a drill says so.
///
/// For whatever sends traffic. `drill` says that everything here is invented.
#[utoipa::path(get, path = "/health/ready", tag = "operations", responses((status = 200, description = "It can work.", body = serde_json::Value)))]
pub async fn ready(request: HttpRequest) -> Answer {
    let drill = service(&request)?.run(|app| crate::app::setup::drill(&app.db)).await?;
    ok(&serde_json::json!({"ready": true, "drill": drill}))
}
