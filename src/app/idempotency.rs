//! A request that names itself with a key is done once: its answer is kept in the transaction of the work, and
//! given again to the same request.

use std::sync::Arc;

use chrono::{DateTime, Utc};
use serde_json::Map;

use super::{App, Error, Who};
use crate::core::error::Error as Rule;
use crate::db::idempotency::{self, Once};
pub use crate::db::idempotency::{HOURS, Reply, Request};

/// Does `f` once. `say` makes the answer from what `f` comes to, which is also what its transaction comes to; None
/// from `f` means that it was only tried, and nothing is kept.
///
/// The same request again is given the kept answer. Refused: another request under the same key
/// (`idempotency_key_reused`).
pub fn once<T: Send + 'static>(
    app: &App,
    who: &Who,
    request: &Request,
    f: impl FnOnce(&App, &Who) -> Result<Option<T>, Error>,
    say: impl Fn(&T) -> Result<Reply, Error> + Send + Sync + 'static,
) -> Result<Option<Reply>, Error> {
    if let Some(reply) = again(app, who, request)? {
        return Ok(Some(reply));
    }
    let say = move |done: &T| say(done).map_err(|e| crate::db::Error::Other(e.to_string()));
    let once = Arc::new(Once::new(who.shop, request.clone(), app.now(), say));
    let marked = App { db: app.db.with(once.clone()), ..app.clone() };
    let done = f(&marked, who).and_then(|done| match done {
        // Nothing was written: the answer is kept by itself.
        Some(done) if once.kept().is_none() => marked.db.write::<T, Error>(move |_| Ok(done)).map(Some),
        other => Ok(other),
    });
    match done {
        Ok(None) => Ok(None),
        Ok(Some(_)) => Ok(once.kept().cloned()),
        // Whoever was first may have done the very thing that this one failed at; and a commit whose outcome is
        // unknown is known by the answer that it kept.
        Err(error) => match again(app, who, request) {
            Ok(Some(reply)) => Ok(Some(reply)),
            Err(reused @ Error::Rule(_)) => Err(reused),
            _ => Err(error),
        },
    }
}

/// The answer that this request was given before.
fn again(app: &App, who: &Who, request: &Request) -> Result<Option<Reply>, Error> {
    let kept = app.db.read(|c| idempotency::find(c, &who.shop, request, app.now()))?;
    match kept {
        Some(kept) if kept.digest == request.digest => Ok(Some(kept.reply)),
        Some(_) => Err(Rule::Refused {
            code: "idempotency_key_reused",
            detail: format!("{:?} was the key of another request within {HOURS} hours", request.key),
            faults: Vec::new(),
            more: Map::new(),
        }
        .into()),
        None => Ok(None),
    }
}

/// Removes the answers that are no longer kept; answers how many.
pub fn forget(app: &App, now: DateTime<Utc>) -> Result<usize, Error> {
    let scope = app.db.installation();
    app.db.write(move |tx| Ok(idempotency::forget(tx, &scope, now)?))
}
