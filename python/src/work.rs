//! Long work off Python's own thread, so that other Python threads go on and a keyboard interrupt stops it.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use pyo3::prelude::*;

use crate::ScrimError;

/// How long an interrupt may go unheard.
const LISTEN_EVERY: Duration = Duration::from_millis(20);

/// Does `work`; what it is given becomes true when Python is interrupted. Then the interrupt is raised as soon as the work has ended.
pub fn interruptible<T: Send>(py: Python<'_>, work: impl FnOnce(&AtomicBool) -> T + Send) -> PyResult<T> {
    let stop = AtomicBool::new(false);
    std::thread::scope(|scope| {
        let waiting = std::thread::current();
        let stop = &stop;
        let worker = scope.spawn(move || {
            let done = work(stop);
            waiting.unpark();
            done
        });
        let mut interrupted = None;
        while !worker.is_finished() {
            py.detach(|| std::thread::park_timeout(LISTEN_EVERY));
            if interrupted.is_none()
                && let Err(interrupt) = py.check_signals()
            {
                stop.store(true, Ordering::Relaxed);
                interrupted = Some(interrupt);
            }
        }
        let done = worker
            .join()
            .map_err(|_| ScrimError::new_err("a fault of scrim itself; please report it"))?;
        interrupted.map_or(Ok(done), Err)
    })
}
