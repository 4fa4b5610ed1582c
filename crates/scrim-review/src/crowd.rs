//! How many clients there are at once, and who goes when one more comes: whoever has waited longest without being let in.

use std::collections::VecDeque;
use std::net::{Shutdown, TcpStream};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

/// Clients at once, a thread each. A browser opens some six.
const MOST: usize = 32;

/// The clients that there are.
#[derive(Default)]
pub(crate) struct Crowd {
    inside: Mutex<Inside>,
    somebody_left: Condvar,
}

#[derive(Default)]
struct Inside {
    count: usize,
    next: u64,
    /// Those that have not been let in yet, the oldest first, each with a handle that closes its stream.
    strangers: VecDeque<(u64, TcpStream)>,
}

/// A client's place, given back when it is dropped.
pub(crate) struct Place<'c> {
    crowd: &'c Crowd,
    number: u64,
}

impl Crowd {
    /// A place for one more. When there is none, the stranger who came first is sent away.
    pub(crate) fn place(&self, stream: &TcpStream) -> std::io::Result<Place<'_>> {
        let handle = stream.try_clone()?;
        let mut inside = self.inside();
        while inside.count >= MOST {
            if let Some((_, oldest)) = inside.strangers.pop_front() {
                // Gone already, it needs no closing.
                let _ = oldest.shutdown(Shutdown::Both);
            }
            inside = self
                .somebody_left
                .wait(inside)
                .unwrap_or_else(PoisonError::into_inner);
        }
        inside.count += 1;
        inside.next += 1;
        let number = inside.next;
        inside.strangers.push_back((number, handle));
        Ok(Place { crowd: self, number })
    }

    fn inside(&self) -> MutexGuard<'_, Inside> {
        self.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Place<'_> {
    /// Its client knows the token: it is sent away for nobody.
    pub(crate) fn let_in(&self) {
        let strangers = &mut self.crowd.inside().strangers;
        strangers.retain(|(number, _)| *number != self.number);
    }
}

impl Drop for Place<'_> {
    fn drop(&mut self) {
        self.let_in();
        self.crowd.inside().count -= 1;
        self.crowd.somebody_left.notify_one();
    }
}
