//! Everything of a kind as one file.

use std::io::{Seek as _, SeekFrom};

use actix_web::body::SizedStream;
use actix_web::http::header;
use actix_web::web::Bytes;
use actix_web::{HttpResponse, Responder};
use futures_util::stream;
use tokio::io::AsyncReadExt as _;

use crate::app::{Database, Error, exports};
use crate::core::imports::{Format, Kind};
use crate::http::auth::{Caller, Path};
use crate::http::error::Problem;

/// How much is read of a file at a time.
const PIECE: usize = 64 * 1024;

/// Everything of a kind as one file.
///
/// An import reads it back, here or in another shop, and the same rows give the same bytes: two files can be compared by
/// their digest. With the files of all kinds a shop that has the same terms, products and accreditations comes to the
/// same verdicts. Cells that a spreadsheet would take for a formula are written so that it does not.
#[utoipa::path(get, path = "/v1/exports/{kind}", tag = "imports",
    params(("kind" = Kind, Path, description = "What the file is about."),
           ("format" = Option<Format>, Query, description = "How its rows are written; CSV unless given.")),
    responses((status = 200, description = "The file; its ETag is the SHA-256 of its bytes.",
               content((String = "text/csv; charset=utf-8"), (String = "application/jsonl")))))]
pub async fn write(caller: Caller, path: Path) -> Result<impl Responder, Problem> {
    let kind: Kind = path.get("kind")?;
    let mut query = caller.query();
    let format = query.parsed::<Format>("format", &Format::WORDS.join(" or ")).unwrap_or(Format::Csv);
    query.finish()?;
    let (file, exported) = caller
        .run(move |app, who| {
            let broken =
                |e: std::io::Error| Error::from(Database::Other(format!("a file for the export: {e}")));
            let mut file = std::io::BufWriter::new(tempfile::tempfile().map_err(broken)?);
            let exported = exports::write(app, who, kind, format, &mut file)?;
            let mut file = file.into_inner().map_err(|e| broken(e.into_error()))?;
            file.seek(SeekFrom::Start(0)).map_err(broken)?;
            Ok((file, exported))
        })
        .await?;
    let pieces = stream::unfold(tokio::fs::File::from_std(file), |mut file| async move {
        let mut piece = vec![0; PIECE];
        match file.read(&mut piece).await {
            Ok(0) => None,
            Ok(read) => {
                piece.truncate(read);
                Some((Ok(Bytes::from(piece)), file))
            }
            Err(error) => Some((Err(error), file)),
        }
    });
    let media = match format {
        Format::Csv => "text/csv; charset=utf-8",
        Format::Jsonl => "application/jsonl",
    };
    Ok(HttpResponse::Ok()
        .content_type(media)
        .insert_header((header::ETAG, format!("\"{}\"", exported.digest)))
        .insert_header((header::CONTENT_DISPOSITION, format!("attachment; filename=\"{kind}.{format}\"")))
        .body(SizedStream::new(exported.bytes, pieces)))
}
