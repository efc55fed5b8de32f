//! Taking what a shop had before from its files.

use actix_web::web;

use crate::app::imports::{self, Asked, Imported};
use crate::core::imports::{DayOrder, Kind};
use crate::http::answer::{Answer, made};
use crate::http::auth::Caller;
use crate::http::body::Body;
use crate::http::{Service, error::Problem};

/// Takes a file in: all of it, or nothing.
///
/// A table as CSV (delimiter, encoding and headers are found out; `read_as` says what each header was taken for) or as
/// JSON Lines with the names of the columns. Each row is known by its `ref`, or by what it says where the file has none:
/// a file that is sent again, in whatever order, adds what is new and nothing twice. With anything wrong in it nothing is
/// taken: each fault is told with `line`, `column` and `value`.
///
/// Customers come first, then vehicles, jobs, services and events, since each names what came before. An event has a
/// `kind` (`reading`, `sale`, `transfer`, `repair`, `recoat`, `breach`, `close`, `waive`, `extend`) and the columns that
/// this kind needs; the export of events has all of them.
#[utoipa::path(post, path = "/v1/imports", tag = "imports",
    params(("kind" = Kind, Query, description = "What the file is about."),
           ("days" = Option<DayOrder>, Query, description = "Which way round days with slashes are, where the file does not decide it."),
           ("validate_only" = Option<bool>, Query)),
    request_body(content((String = "text/csv", example = "ref;Name;E-Mail\nK-17;Ada Ferro;ada@example.org\n"),
                         (String = "application/jsonl", example = "{\"ref\": \"K-17\", \"name\": \"Ada Ferro\"}\n")),
                 description = "The file, up to 64 MiB."),
    responses((status = 201, description = "What became of it.", body = Imported),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn take(caller: Caller, service: web::Data<Service>, body: Body) -> Answer {
    let file = body.file().await?;
    let mut query = caller.query();
    let kind = query.needed::<Kind>("kind", &Kind::WORDS.join(", "));
    let days = query.parsed::<DayOrder>("days", &DayOrder::WORDS.join(" or "));
    let validate_only = query.flag("validate_only");
    query.finish()?;
    let asked = Asked { kind: kind.ok_or_else(|| Problem::internal("no kind after all"))?, days };
    // One file at a time is in memory.
    let _turn = service.file_turn().await?;
    caller
        .once_or_try(
            move |app, who| imports::take(app, who, &crate::http::body::whole(file)?, asked, validate_only),
            made,
        )
        .await
}
