//! Ads in chunks: taken from the files by one thread, worked on by all others,
//! given back in their order.
//!
//! No more than a few chunks are under way at a time, so that a run needs the
//! same memory for ten thousand ads as for a million; and what comes out is
//! the same for any number of threads and any cutting into chunks, since each
//! ad is worked on by itself.

use std::collections::VecDeque;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};

use crate::intake::{IntakeError, Item, Listing};

/// Ads in a chunk: enough that handing it on costs next to nothing.
const ROWS: usize = 256;

/// Ads in each of the first chunks: small ones, so that a short file keeps all
/// threads busy.
const FIRST_ROWS: usize = 32;

/// How many chunks are small.
const FIRST: usize = 32;

/// Bytes of text after which a chunk ends all the same.
const BYTES: usize = 1 << 20;

/// The usual number of ads in each chunk.
pub fn sizes() -> impl Iterator<Item = usize> {
    std::iter::repeat_n(FIRST_ROWS, FIRST).chain(std::iter::repeat(ROWS))
}

/// Brings the listings among `items` through `work`, in chunks, by the threads
/// of the current pool, and hands the results to `give` in the order of the
/// items; what else is among the items goes to `beside`. `sizes` are the ads
/// in each chunk; see [`sizes`].
///
/// # Errors
/// The first error of an item, of `give` or of `beside`; nothing is given
/// after it.
pub fn in_order<T: Send, E: From<IntakeError>>(
    items: impl IntoIterator<Item = Result<Item, IntakeError>>,
    mut sizes: impl Iterator<Item = usize>,
    work: impl Fn(Vec<Listing>) -> T + Sync,
    mut give: impl FnMut(T) -> Result<(), E>,
    mut beside: impl FnMut(Item) -> Result<(), E>,
) -> Result<(), E> {
    let most = 2 * rayon::current_num_threads() + 1;
    let mut items = items.into_iter();
    let work = &work;
    rayon::in_place_scope_fifo(|scope| {
        let (done, results) = channel();
        let mut window = Window::new(results);
        loop {
            let size = sizes.next().unwrap_or(ROWS).max(1);
            let chunk = gather(&mut items, size, &mut beside)?;
            if chunk.is_empty() {
                break;
            }
            let promise = Promise {
                number: window.send(),
                done: done.clone(),
                result: None,
            };
            scope.spawn_fifo(move |_| {
                let mut promise = promise;
                promise.result = Some(work(chunk));
            });
            while window.under_way() >= most {
                if !window.settle(&mut give)? {
                    return Ok(());
                }
            }
        }
        while window.under_way() > 0 && window.settle(&mut give)? {}
        Ok(())
    })
}

/// The next chunk; empty where the items have ended.
fn gather<E: From<IntakeError>>(
    items: &mut impl Iterator<Item = Result<Item, IntakeError>>,
    size: usize,
    beside: &mut impl FnMut(Item) -> Result<(), E>,
) -> Result<Vec<Listing>, E> {
    let mut chunk = Vec::new();
    let mut bytes = 0;
    while chunk.len() < size && bytes < BYTES {
        match items.next().transpose()? {
            None => break,
            Some(Item::Listing(listing)) => {
                bytes += listing.text.len();
                chunk.push(listing);
            }
            Some(other) => beside(other)?,
        }
    }
    Ok(chunk)
}

/// A chunk being worked on. When it goes, its result is sent, or that there is
/// none because the work panicked.
struct Promise<T> {
    number: usize,
    done: Sender<(usize, Option<T>)>,
    result: Option<T>,
}

impl<T> Drop for Promise<T> {
    fn drop(&mut self) {
        // Nobody waits any more after an error.
        let _ = self.done.send((self.number, self.result.take()));
    }
}

/// The chunks that are under way, and the results that wait for their turn.
struct Window<T> {
    results: Receiver<(usize, Option<T>)>,
    given: usize,
    sent: usize,
    waiting: VecDeque<Option<T>>,
}

impl<T> Window<T> {
    fn new(results: Receiver<(usize, Option<T>)>) -> Self {
        Window {
            results,
            given: 0,
            sent: 0,
            waiting: VecDeque::new(),
        }
    }

    fn under_way(&self) -> usize {
        self.sent - self.given
    }

    /// The number of a chunk that goes out.
    fn send(&mut self) -> usize {
        self.waiting.push_back(None);
        self.sent += 1;
        self.sent - 1
    }

    /// Waits for a result and gives all whose turn it is; `false` where the
    /// work panicked, which goes on where the scope ends.
    fn settle<E>(&mut self, give: &mut impl FnMut(T) -> Result<(), E>) -> Result<bool, E> {
        let Some((number, Some(result))) = self.receive() else {
            return Ok(false);
        };
        self.waiting[number - self.given] = Some(result);
        while let Some(Some(_)) = self.waiting.front() {
            if let Some(result) = self.waiting.pop_front().flatten() {
                self.given += 1;
                give(result)?;
            }
        }
        Ok(true)
    }

    fn receive(&self) -> Option<(usize, Option<T>)> {
        loop {
            match self.results.try_recv() {
                Ok(result) => return Some(result),
                Err(TryRecvError::Disconnected) => return None,
                Err(TryRecvError::Empty) => {}
            }
            // A thread of the pool works along while it waits; any other
            // sleeps.
            if rayon::yield_now().is_none() {
                return self.results.recv().ok();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::CliError;
    use crate::intake::{ListingId, Origin};

    fn listing(n: usize) -> Listing {
        let origin = Origin {
            file: "a".into(),
            line: n as u64,
        };
        Listing::new(ListingId(n.to_string()), origin, "Saab", "x")
    }

    fn items(count: usize) -> impl Iterator<Item = Result<Item, IntakeError>> {
        (0..count).map(|n| Ok(Item::Listing(listing(n))))
    }

    fn pool(threads: usize) -> rayon::ThreadPool {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build().unwrap()
    }

    #[test]
    fn results_come_in_order_however_the_ads_are_cut() {
        for threads in [1, 2, 7] {
            for sizes in [vec![], vec![1; 40], vec![3, 1, 11, 2, 5, 1, 1, 8]] {
                let mut ids = Vec::new();
                let run = || {
                    in_order(
                        items(57),
                        sizes.into_iter(),
                        |chunk| chunk.into_iter().map(|l| l.id.0).collect::<Vec<_>>(),
                        |part| {
                            ids.extend(part);
                            Ok(())
                        },
                        |_| Ok::<_, CliError>(()),
                    )
                };
                // From a thread of the pool; the tests below are outside.
                pool(threads).install(run).unwrap();
                let expected: Vec<_> = (0..57).map(|n| n.to_string()).collect();
                assert_eq!(ids, expected);
            }
        }
    }

    #[test]
    fn few_chunks_are_under_way_at_a_time() {
        use std::sync::atomic::{AtomicUsize, Ordering::SeqCst};
        let (taken, given) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let counted = items(500).inspect(|_| {
            taken.fetch_add(1, SeqCst);
            let ahead = taken.load(SeqCst) - given.load(SeqCst);
            assert!(ahead <= 2 * rayon::current_num_threads() + 2, "{ahead}");
        });
        in_order(
            counted,
            std::iter::repeat(1),
            |chunk| chunk.len(),
            |ads| {
                given.fetch_add(ads, SeqCst);
                Ok(())
            },
            |_| Ok::<_, CliError>(()),
        )
        .unwrap();
        assert_eq!(given.load(SeqCst), 500);
    }

    #[test]
    fn an_error_ends_the_run_and_a_panic_is_not_waited_for() {
        let stop = || Err(CliError::Usage("enough".to_owned()));
        let mut given = 0;
        let result = in_order(
            items(1000),
            std::iter::repeat(1),
            |chunk| chunk.len(),
            |_| {
                given += 1;
                if given == 3 { stop() } else { Ok(()) }
            },
            |_| Ok(()),
        );
        assert_eq!(
            (result.unwrap_err().to_string().as_str(), given),
            ("enough", 3)
        );
        let run = || {
            in_order(
                items(9),
                [1].into_iter(),
                |_| panic!("boom"),
                |()| Ok(()),
                |_| Ok::<_, CliError>(()),
            )
        };
        assert!(std::panic::catch_unwind(run).is_err());
    }
}
