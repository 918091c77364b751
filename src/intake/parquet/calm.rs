//! Decoding that trips is an error like others.
//!
//! The decoder asserts what a well-made file holds. A file that holds something
//! else, by damage or design, makes it panic; this is caught here, and nothing
//! of it is printed.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

use parquet::errors::{ParquetError, Result};

thread_local! {
    static QUIET: Cell<bool> = const { Cell::new(false) };
}

/// Runs what may panic. Nothing of what it worked on may be used after an
/// error, since it may be half done.
pub(super) fn calmly<T>(decode: impl FnOnce() -> Result<T>) -> Result<T> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |what| {
            if !QUIET.get() {
                before(what);
            }
        }));
    });
    QUIET.set(true);
    let done = panic::catch_unwind(AssertUnwindSafe(decode));
    QUIET.set(false);
    done.unwrap_or_else(|_| {
        let words = "its parts contradict each other";
        Err(ParquetError::General(words.to_owned()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_is_an_error_and_the_next_is_heard_again() {
        let tripped: Result<()> = calmly(|| panic!("boom"));
        assert!(tripped.unwrap_err().to_string().contains("contradict"));
        assert_eq!(calmly(|| Ok(7)).unwrap(), 7);
        assert!(!QUIET.get());
    }
}
