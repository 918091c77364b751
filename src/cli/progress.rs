//! How far a run has come, on one line of a terminal, once it takes longer
//! than a second.

use std::io::Write as _;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use super::terminal::Terminal;
use crate::intake::{IntakeError, Item, Reader};
use crate::report::text::cut;

/// Work that takes less is not worth a word.
const PATIENCE: Duration = Duration::from_secs(1);
/// How often the line is written anew.
const EVERY: Duration = Duration::from_millis(200);

/// A run's progress; what is cloned is of the same run. The line goes with the
/// last of them at the latest.
#[derive(Debug, Clone, Default)]
pub struct Progress(Option<Arc<Drawn>>);

/// The line and the thread that draws it.
#[derive(Debug)]
struct Drawn {
    shared: Arc<Shared>,
    drawer: Mutex<Option<JoinHandle<()>>>,
}

#[derive(Debug)]
struct Shared {
    terminal: Terminal,
    stage: Mutex<Stage>,
    /// How much of the total is done.
    done: AtomicU64,
    /// How many things that is.
    count: AtomicU64,
    over: AtomicBool,
}

/// What is being done.
#[derive(Debug, Clone, Copy)]
struct Stage {
    words: &'static str,
    /// What is counted, where anything is: `ads`.
    things: Option<&'static str>,
    /// How much there is to do, where that is known.
    total: Option<u64>,
    since: Instant,
}

impl Progress {
    /// Progress of a run; drawn on standard error where it `shows`.
    pub(super) fn new(terminal: Terminal, shows: bool) -> Self {
        let shared = Arc::new(Shared {
            terminal,
            stage: Mutex::new(Stage {
                words: "",
                things: None,
                total: None,
                since: Instant::now(),
            }),
            done: AtomicU64::new(0),
            count: AtomicU64::new(0),
            over: AtomicBool::new(!shows),
        });
        let drawn = Arc::clone(&shared);
        // Without a thread there is no line, and nothing else amiss.
        let thread = shows.then(|| std::thread::Builder::new().spawn(move || draw(&drawn)));
        Progress(Some(Arc::new(Drawn {
            shared,
            drawer: Mutex::new(thread.and_then(Result::ok)),
        })))
    }

    fn shared(&self) -> Option<&Shared> {
        self.0.as_ref().map(|drawn| &*drawn.shared)
    }

    /// Begins a stage.
    pub fn begin(&self, words: &'static str, things: Option<&'static str>, total: Option<u64>) {
        let Some(shared) = self.shared() else {
            return;
        };
        self.tell_time();
        *lock(&shared.stage) = Stage {
            words,
            things,
            total,
            since: Instant::now(),
        };
        shared.done.store(0, Relaxed);
        shared.count.store(0, Relaxed);
    }

    /// One more thing of the stage is done, as much of the total as it counts
    /// for.
    pub fn add(&self, amount: u64) {
        if let Some(shared) = self.shared() {
            shared.done.fetch_add(amount, Relaxed);
            shared.count.fetch_add(1, Relaxed);
        }
    }

    fn at(&self, done: u64) {
        if let Some(shared) = self.shared() {
            shared.done.store(done, Relaxed);
            shared.count.fetch_add(1, Relaxed);
        }
    }

    /// Ends the run's progress; the line goes.
    pub fn end(&self) {
        if let Some(drawn) = &self.0 {
            drawn.end();
            self.tell_time();
        }
    }

    /// Says how long the stage took, to those who want to know.
    fn tell_time(&self) {
        if let Some(shared) = self.shared() {
            let stage = *lock(&shared.stage);
            if stage.words.is_empty() {
                return;
            }
            let took = stage.since.elapsed().as_secs_f64();
            let count = shared.count.load(Relaxed);
            shared.terminal.tell_more(|| match stage.things {
                Some(things) => format!("{}: {count} {things}, {took:.2} s", stage.words),
                None => format!("{}: {took:.2} s", stage.words),
            });
        }
    }
}

impl Drawn {
    fn end(&self) {
        self.shared.over.store(true, Relaxed);
        let drawer = lock(&self.drawer).take();
        if let Some(drawer) = drawer {
            drawer.thread().unpark();
            let _ = drawer.join();
        }
    }
}

impl Drop for Drawn {
    fn drop(&mut self) {
        self.end();
    }
}

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // Whole whatever happened to the thread that held it.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Draws the line until the run is over, then takes it away.
fn draw(shared: &Shared) {
    let start = Instant::now();
    let mut drawn = false;
    while !shared.over.load(Relaxed) {
        std::thread::park_timeout(if drawn { EVERY } else { PATIENCE });
        if start.elapsed() < PATIENCE || shared.over.load(Relaxed) {
            continue;
        }
        let stage = *lock(&shared.stage);
        let (done, count) = (shared.done.load(Relaxed), shared.count.load(Relaxed));
        let columns = terminal_size::terminal_size_of(std::io::stderr())
            .map_or(80, |(width, _)| usize::from(width.0));
        let line = line(&stage, done, count, stage.since.elapsed());
        let line = cut(&line, columns.saturating_sub(1));
        let _ = write!(std::io::stderr(), "\r{line}\u{1b}[K");
        drawn = true;
    }
    if drawn {
        let _ = write!(std::io::stderr(), "\r\u{1b}[K");
    }
}

/// `reading ads: 45 %, 12345 ads, 8000 a second, 2 s left`.
fn line(stage: &Stage, done: u64, count: u64, took: Duration) -> String {
    let seconds = took.as_secs_f64();
    let mut out = Vec::new();
    let share = stage.total.filter(|total| *total > 0 && done > 0);
    let share = share.map(|total| (done as f64 / total as f64).min(1.0));
    out.extend(share.map(|share| format!("{:.0} %", (share * 100.0).floor())));
    if let Some(things) = stage.things.filter(|_| count > 0) {
        out.push(format!("{count} {things}"));
        if seconds > 0.0 {
            out.push(format!("{:.0} a second", count as f64 / seconds));
        }
    }
    if let Some(share) = share {
        out.push(left(seconds * (1.0 - share) / share));
    }
    if out.is_empty() {
        return format!("{} ...", stage.words);
    }
    format!("{}: {}", stage.words, out.join(", "))
}

/// `2 s left`, `3 min left`.
fn left(seconds: f64) -> String {
    if seconds < 90.0 {
        format!("{:.0} s left", seconds.ceil())
    } else {
        format!("{:.0} min left", (seconds / 60.0).ceil())
    }
}

/// Ads as they are read, with the progress of it.
pub(super) struct Watched<'a> {
    reader: Reader<'a>,
    progress: Progress,
}

impl<'a> Watched<'a> {
    /// Begins the stage of reading these files.
    pub(super) fn new(reader: Reader<'a>, progress: &Progress, bytes: Option<u64>) -> Self {
        progress.begin("reading ads", Some("rows"), bytes);
        Watched {
            reader,
            progress: progress.clone(),
        }
    }
}

impl Iterator for Watched<'_> {
    type Item = Result<Item, IntakeError>;

    fn next(&mut self) -> Option<Self::Item> {
        let item = self.reader.next();
        if matches!(item, Some(Ok(Item::Warning(_)))) {
            return item;
        }
        if item.is_some() {
            self.progress.at(self.reader.bytes_read());
        }
        item
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_tells_share_rate_and_time_left() {
        let stage = |things, total| Stage {
            words: "reading ads",
            things,
            total,
            since: Instant::now(),
        };
        let took = Duration::from_secs(4);
        let ads = stage(Some("rows"), Some(1000));
        assert_eq!(
            line(&ads, 250, 800, took),
            "reading ads: 25 %, 800 rows, 200 a second, 12 s left"
        );
        assert_eq!(
            line(&stage(Some("rows"), None), 250, 800, took),
            "reading ads: 800 rows, 200 a second"
        );
        assert_eq!(line(&stage(None, None), 0, 0, took), "reading ads ...");
        assert_eq!(line(&ads, 0, 0, took), "reading ads ...");
        assert_eq!(left(500.0), "9 min left");
    }

    #[test]
    fn progress_that_is_not_shown_counts_and_ends_all_the_same() {
        let progress = Progress::new(Terminal::default(), false);
        progress.begin("working", Some("cars"), Some(2));
        progress.add(1);
        progress.end();
        let shared = progress.shared().unwrap();
        assert_eq!(shared.count.load(Relaxed), 1);
        assert!(shared.over.load(Relaxed));
    }
}
