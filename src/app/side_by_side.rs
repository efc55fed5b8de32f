//! Work on two processors: what needs the database stays in the thread of the transaction, what does not goes to another.

use std::sync::mpsc::sync_channel;
use std::thread;

use super::{Database, Error};
use crate::db::Tx;

/// Reads, works and writes part by part, in their order: while a part is worked on, the one before it is written.
///
/// What is read of a part may not depend on what is written of another. The first error ends all; what was written by then is
/// for the transaction to take back. A panic of `work` goes on in the thread of the transaction. One part alone is done in that
/// thread, too.
pub(crate) fn side_by_side<P, R: Send, W: Send>(
    tx: &mut Tx<'_>,
    parts: impl IntoIterator<Item = P>,
    mut read: impl FnMut(&mut Tx<'_>, P) -> Result<R, Error>,
    mut work: impl FnMut(R) -> Result<W, Error> + Send,
    mut write: impl FnMut(&mut Tx<'_>, W) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut parts = parts.into_iter();
    let Some(first) = parts.next() else { return Ok(()) };
    let Some(second) = parts.next() else {
        let done = work(read(tx, first)?)?;
        return write(tx, done);
    };
    let parts = [first, second].into_iter().chain(parts);
    let stopped = || Database::Other("the work on a part has stopped".into());
    thread::scope(|scope| {
        let (give, given) = sync_channel::<R>(1);
        let (done, written) = sync_channel::<Result<W, Error>>(1);
        scope.spawn(move || {
            for part in given {
                if done.send(work(part)).is_err() {
                    break;
                }
            }
        });
        let mut ahead = false;
        for part in parts {
            give.send(read(tx, part)?).map_err(|_| stopped())?;
            if ahead {
                write(tx, written.recv().map_err(|_| stopped())??)?;
            }
            ahead = true;
        }
        if ahead {
            write(tx, written.recv().map_err(|_| stopped())??)?;
        }
        Ok(())
    })
}
