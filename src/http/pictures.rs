//! Pictures that are sent and answered as they are: received in few at a time, read one at a time, sent piece by piece.

use std::sync::Arc;
use std::time::Duration;

use actix_web::body::{BoxBody, SizedStream};
use actix_web::http::StatusCode;
use actix_web::http::header;
use actix_web::web::{self, Bytes, BytesMut};
use actix_web::{HttpRequest, HttpResponse, Responder};
use futures_util::stream;
use tokio::io::AsyncReadExt as _;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use super::auth::Caller;
use super::body::Body;
use super::error::Problem;
use crate::app::photos::Sort;
use crate::core::error::Fault;
use crate::core::ids::Digest;
use crate::core::pictures::{HEIC, LONGEST, MediaType, Picture};

/// So many pictures are received and worked on at a time, 15 MiB each; the others wait.
const AT_A_TIME: usize = 8;

/// Over poor Wi-Fi 15 MiB take their time; what trickles in for longer is cut off.
const SLOWEST: Duration = Duration::from_mins(2);

/// So many forms with photos are received at a time, 40 MiB each; the others wait.
const FORMS_AT_A_TIME: usize = 2;

/// Whoever waits so long for a place is told to come again.
const LONGEST_WAIT: Duration = Duration::from_secs(30);

/// A file goes out in pieces of this length.
const PIECE: usize = 64 * 1024;

/// Where pictures wait for their turn.
pub(super) struct Places {
    received: Arc<Semaphore>,
    /// Reading one takes up to 0.5 GB for a moment, so it is one at a time.
    read: Arc<Semaphore>,
    /// Forms of pages that have photos with them.
    forms: Arc<Semaphore>,
}

impl Places {
    /// Waits until nobody else reads a picture.
    pub(super) async fn turn(&self) -> Result<OwnedSemaphorePermit, Problem> {
        place(&self.read).await
    }

    /// Waits for a place in which a form with photos is received.
    pub(super) async fn form_place(&self) -> Result<OwnedSemaphorePermit, Problem> {
        place(&self.forms).await
    }
}

impl Default for Places {
    fn default() -> Self {
        let places = |number| Arc::new(Semaphore::new(number));
        Self { received: places(AT_A_TIME), read: places(1), forms: places(FORMS_AT_A_TIME) }
    }
}

async fn place(of: &Arc<Semaphore>) -> Result<OwnedSemaphorePermit, Problem> {
    match tokio::time::timeout(LONGEST_WAIT, of.clone().acquire_owned()).await {
        Ok(place) => place.map_err(|e| Problem::internal(e.to_string())),
        Err(_) => Err(Problem::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "unavailable",
            "many pictures are waiting; nothing was done, try again in a moment",
        )),
    }
}

/// A picture that was received, and the place that it takes up.
pub(super) struct Received {
    said: MediaType,
    bytes: Bytes,
    place: OwnedSemaphorePermit,
}

/// A picture that was read, or what is wrong with it, and the place that it takes up until it is dropped.
pub(super) struct Read {
    pub(super) picture: Result<Picture, Fault>,
    _place: OwnedSemaphorePermit,
}

/// The type that a body is said to be, if it is one of pictures.
fn said(content_type: Option<&str>) -> Result<MediaType, Problem> {
    let kind =
        content_type.unwrap_or_default().split(';').next().unwrap_or_default().trim().to_ascii_lowercase();
    kind.parse().map_err(|_| {
        let detail = match kind.as_str() {
            "image/heic" | "image/heif" | "image/heic-sequence" | "image/heif-sequence" => HEIC.to_owned(),
            _ => format!("send the picture itself, as one of {}", MediaType::WORDS.join(", ")),
        };
        Problem::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "unsupported_media_type", detail)
    })
}

/// Receives a picture without looking into it: 415 and 413.
pub(super) async fn receive(caller: &Caller, body: Body) -> Result<Received, Problem> {
    let said = said(body.content_type())?;
    body.is_at_most(LONGEST)?;
    let place = place(&caller.places().received).await?;
    let bytes = body.bytes(LONGEST, SLOWEST).await?;
    Ok(Received { said, bytes, place })
}

impl Received {
    /// Reads the picture off the serving threads.
    pub(super) async fn read(self, caller: &Caller) -> Result<Read, Problem> {
        let turn = place(&caller.places().read).await?;
        let read = web::block(move || {
            let _turn = turn;
            Picture::read(self.said, &self.bytes)
        });
        let picture = read.await.map_err(|e| Problem::internal(e.to_string()))?;
        Ok(Read { picture, _place: self.place })
    }
}

/// A file as it is answered. It never changes: whoever has it need not ask again.
pub struct FileReply {
    media_type: MediaType,
    etag: String,
    file: std::fs::File,
    bytes: u64,
}

impl FileReply {
    /// The file of a photo, or its thumbnail.
    pub(super) fn of(
        digest: Digest,
        media_type: MediaType,
        sort: Sort,
        file: std::fs::File,
        bytes: u64,
    ) -> Self {
        match sort {
            Sort::Whole => Self { media_type, etag: format!("\"{digest}\""), file, bytes },
            Sort::Thumbnail => {
                Self { media_type: MediaType::Jpeg, etag: format!("\"{digest}-thumbnail\""), file, bytes }
            }
        }
    }
}

impl Responder for FileReply {
    type Body = BoxBody;

    fn respond_to(self, _: &HttpRequest) -> HttpResponse {
        let file = tokio::fs::File::from_std(self.file);
        let pieces = stream::unfold(file, |mut file| async move {
            let mut piece = BytesMut::with_capacity(PIECE);
            match file.read_buf(&mut piece).await {
                Ok(0) => None,
                read => Some((read.map(|_| piece.freeze()), file)),
            }
        });
        HttpResponse::Ok()
            .content_type(self.media_type.as_str())
            .insert_header((header::ETAG, self.etag))
            .insert_header((header::CACHE_CONTROL, "private, max-age=31536000, immutable"))
            .body(SizedStream::new(self.bytes, Box::pin(pieces)))
    }
}
