//! Work on two processors: what needs the database stays in the thread of the transaction, what does not goes to another.

use std::sync::mpsc::sync_channel;
use std::thread;

use super::{Database, Error};

/// Reads, works and writes part by part, in their order: while a part is worked on, the one before it is written. `at` is
/// what is read from and written to, as a rule a transaction.
///
/// What is read of a part may not depend on what is written of another. The first error ends all; what was written by then is
/// for the transaction to take back. A panic of `work` goes on in the thread of the transaction. One part alone is done in that
/// thread, too.
pub(crate) fn side_by_side<A, P, R: Send, W: Send>(
    at: &mut A,
    parts: impl IntoIterator<Item = P>,
    mut read: impl FnMut(&mut A, P) -> Result<R, Error>,
    mut work: impl FnMut(R) -> Result<W, Error> + Send,
    mut write: impl FnMut(&mut A, W) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut parts = parts.into_iter();
    let Some(first) = parts.next() else { return Ok(()) };
    let Some(second) = parts.next() else {
        let done = work(read(at, first)?)?;
        return write(at, done);
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
            give.send(read(at, part)?).map_err(|_| stopped())?;
            if ahead {
                write(at, written.recv().map_err(|_| stopped())??)?;
            }
            ahead = true;
        }
        if ahead {
            write(at, written.recv().map_err(|_| stopped())??)?;
        }
        Ok(())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    type Log = Vec<String>;

    /// Doubles numbers, and says what happened in which order; whatever is asked of `faulty` at a part fails there.
    fn doubled(parts: &[u32], faulty: (&'static str, u32)) -> (Log, Result<(), Error>) {
        let fails = |what: &str, part: u32| {
            let error = Database::Other(format!("{what} {part}"));
            if faulty == (what, part) { Err(Error::from(error)) } else { Ok(()) }
        };
        let mut log = Log::new();
        let ended = side_by_side(
            &mut log,
            parts.iter().copied(),
            |log, part| {
                fails("read", part)?;
                log.push(format!("read {part}"));
                Ok(part)
            },
            |part| {
                assert!(faulty != ("panic", part), "as asked");
                fails("work", part)?;
                Ok(part * 2)
            },
            |log, done| {
                fails("write", done)?;
                log.push(format!("wrote {done}"));
                Ok(())
            },
        );
        (log, ended)
    }

    #[test]
    fn a_part_is_read_while_the_one_before_it_is_worked_on_and_all_are_written_in_order() {
        let (log, ended) = doubled(&[1, 2, 3], ("nothing", 0));
        assert!(ended.is_ok());
        assert_eq!(log, ["read 1", "read 2", "wrote 2", "read 3", "wrote 4", "wrote 6"]);
        assert_eq!(doubled(&[7], ("nothing", 0)).0, ["read 7", "wrote 14"]);
        assert_eq!(doubled(&[], ("nothing", 0)).0, [""; 0]);
    }

    #[test]
    fn the_first_error_ends_it_wherever_it_comes_from() {
        for (faulty, written) in [
            (("read", 1), &[][..]),
            (("read", 3), &["wrote 2"]),
            (("work", 2), &["wrote 2"]),
            (("work", 3), &["wrote 2", "wrote 4"]),
            (("write", 4), &["wrote 2"]),
        ] {
            let (log, ended) = doubled(&[1, 2, 3], faulty);
            let wrote: Vec<&str> =
                log.iter().map(String::as_str).filter(|line| line.starts_with("wrote")).collect();
            assert_eq!(wrote, written, "{faulty:?}");
            let why = ended.map_err(|error| error.to_string());
            assert!(
                why.as_ref().is_err_and(|why| why.contains(&format!("{} {}", faulty.0, faulty.1))),
                "{why:?}"
            );
        }
        let alone = doubled(&[1], ("work", 1)).1.map_err(|error| error.to_string());
        assert!(alone.is_err_and(|why| why.contains("work 1")));
    }

    #[test]
    fn a_panic_is_not_lost() {
        let ended = std::panic::catch_unwind(|| doubled(&[1, 2, 3], ("panic", 2)));
        assert!(ended.is_err());
    }
}
