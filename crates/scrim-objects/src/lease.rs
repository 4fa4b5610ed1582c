//! One writer at a time, from any machine: a lock object that its holder renews, written only where it is as it was last seen.
//!
//! Clocks of two machines may differ, so none is compared: whoever finds the lock held watches it. One that is renewed meanwhile is
//! alive; one that is not for [`Times::stale`] was left by a run that was killed. A holder that could not renew it in that time
//! writes no more.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use object_store::{Error, PutMode, PutPayload, PutResult, UpdateVersion};
use scrim_tables::StoreError;
use scrim_tables::ledger::{Busy, Holder, LOCK, LockError, OutputLock};
use serde::{Deserialize, Serialize};
use tracing::{info, warn};

use crate::client::Client;

/// How often a lock is renewed, and how long it is watched before it counts as left behind.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Times {
    pub(crate) renew: Duration,
    /// More than two of the other: a renewal may take one.
    pub(crate) stale: Duration,
}

impl Times {
    /// Renewals that cost next to nothing, and a wait after a killed run that a night does not notice.
    pub(crate) const USUAL: Self = Self {
        renew: Duration::from_secs(10),
        stale: Duration::from_secs(60),
    };
}

/// What the lock object says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct LockText {
    /// Who has it, or had it last without getting to the end of the work; `None` after one that did.
    holder: Option<Holder>,
    /// Whether it can be taken.
    is_free: bool,
    /// Another for each taking.
    token: String,
    /// Makes each renewal another text, and so another version.
    renewals: u64,
}

/// Whether what is locked may be written.
#[derive(Debug, Default)]
pub(crate) struct Right {
    lost: AtomicBool,
    /// The lock counts as held until then; `None` before it is taken.
    until: Mutex<Option<Instant>>,
}

impl Right {
    /// Whether another may be writing by now. Also where the renewer itself does not come to notice: a process that was stopped goes on
    /// with whatever it was about to write.
    pub(crate) fn is_lost(&self) -> bool {
        let until = *self.until.lock().unwrap_or_else(PoisonError::into_inner);
        self.lost.load(Ordering::Acquire) || until.is_some_and(|until| Instant::now() > until)
    }

    pub(crate) fn lose(&self) {
        self.lost.store(true, Ordering::Release);
    }

    /// Held, by a renewal that was begun then.
    fn hold(&self, begun: Instant, times: Times) {
        // Whoever watches may have begun right then; and what is under way takes its time.
        *self.until.lock().unwrap_or_else(PoisonError::into_inner) = Some(begun + times.stale - times.renew);
    }

    fn give_back(&self) {
        *self.until.lock().unwrap_or_else(PoisonError::into_inner) = None;
    }
}

/// The right to write below an address.
#[derive(Debug)]
pub(crate) struct Lease {
    held: Arc<Held>,
    renewer: Option<JoinHandle<()>>,
    unfinished: Option<Holder>,
}

#[derive(Debug)]
struct Held {
    client: Client,
    times: Times,
    state: Mutex<State>,
    stop: Condvar,
    right: Arc<Right>,
}

#[derive(Debug)]
struct State {
    text: LockText,
    version: UpdateVersion,
    is_over: bool,
}

/// What came of writing the lock.
enum Written {
    Done(UpdateVersion),
    /// Somebody was faster; what the lock says now.
    NotAsSeen(Option<LockText>),
}

impl Lease {
    /// Takes it; waits while it is not clear whether its holder is alive.
    pub(crate) fn take(
        client: &Client,
        holder: &Holder,
        times: Times,
        right: Arc<Right>,
    ) -> Result<Self, LockError> {
        let nanos = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        let text = LockText {
            holder: Some(holder.clone()),
            is_free: false,
            token: format!("{}-{}-{}", holder.host, holder.process, nanos.as_nanos()),
            renewals: 0,
        };
        let found = wait_until_it_may_be_taken(client, times)?;
        let mode = match &found {
            None => PutMode::Create,
            Some((_, version)) => PutMode::Update(version.clone()),
        };
        let begun = Instant::now();
        let version = match write(client, &text, mode)? {
            Written::Done(version) => version,
            Written::NotAsSeen(now) => return Err(busy(client, now).into()),
        };
        right.hold(begun, times);
        let held = Arc::new(Held {
            client: client.clone(),
            times,
            state: Mutex::new(State {
                text,
                version,
                is_over: false,
            }),
            stop: Condvar::new(),
            right,
        });
        let renewer = std::thread::Builder::new().name("lock".into()).spawn({
            let held = Arc::clone(&held);
            move || held.renew()
        });
        let renewer = renewer.map_err(|error| StoreError::Remote {
            place: client.address().below(LOCK),
            action: "be renewed",
            source: error.into(),
        })?;
        Ok(Self {
            held,
            renewer: Some(renewer),
            unfinished: found.and_then(|(found, _)| found?.holder),
        })
    }

    /// Ends the renewals, and says in the lock that it is free.
    fn release(&mut self, is_finished: bool) -> Result<(), StoreError> {
        let Some(renewer) = self.renewer.take() else {
            return Ok(());
        };
        self.held.state().is_over = true;
        self.held.stop.notify_all();
        // It never panics; if it did, the lock is left to be found stale.
        let _ = renewer.join();
        let place = || self.held.client.address().to_string();
        if self.held.right.is_lost() {
            return Err(StoreError::LockLost { place: place() });
        }
        let state = self.held.state();
        let text = LockText {
            holder: state.text.holder.clone().filter(|_| !is_finished),
            is_free: true,
            ..state.text.clone()
        };
        match write(&self.held.client, &text, PutMode::Update(state.version.clone()))? {
            Written::Done(_) => {
                self.held.right.give_back();
                Ok(())
            }
            Written::NotAsSeen(_) => Err(StoreError::LockLost { place: place() }),
        }
    }
}

impl OutputLock for Lease {
    fn unfinished(&self) -> Option<&Holder> {
        self.unfinished.as_ref()
    }

    fn finish(mut self: Box<Self>) -> Result<(), StoreError> {
        self.release(true)
    }
}

impl Drop for Lease {
    fn drop(&mut self) {
        // Best effort: one that is not given back is found stale.
        let _ = self.release(false);
    }
}

impl Held {
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn renew(&self) {
        loop {
            let state = self.state();
            let (state, _) = self
                .stop
                .wait_timeout_while(state, self.times.renew, |state| !state.is_over)
                .unwrap_or_else(PoisonError::into_inner);
            if state.is_over {
                return;
            }
            let mut text = state.text.clone();
            text.renewals += 1;
            let mode = PutMode::Update(state.version.clone());
            drop(state);
            let begun = Instant::now();
            if let Some(version) = self.write_in_time(&text, mode) {
                let mut state = self.state();
                state.text = text;
                state.version = version;
                self.right.hold(begun, self.times);
            }
            if self.right.is_lost() {
                warn!(
                    output = %self.client.address(),
                    "the lock could not be renewed in time, or another took it: nothing more is written"
                );
                return;
            }
        }
    }

    /// Writes the lock, and gives up after the time of one renewal. The new version.
    fn write_in_time(&self, text: &LockText, mode: PutMode) -> Option<UpdateVersion> {
        let written = self
            .client
            .wait(async { tokio::time::timeout(self.times.renew, put(&self.client, text, mode)).await });
        match written.ok()? {
            Ok(result) => Some(result.into()),
            Err(Error::Precondition { .. } | Error::AlreadyExists { .. }) => match read(&self.client) {
                // A try before this one came through, and its answer did not.
                Ok(Some((Some(now), version))) if now.token == text.token => Some(version),
                Ok(_) => {
                    self.right.lose();
                    None
                }
                Err(_) => None,
            },
            Err(_) => None,
        }
    }
}

/// The lock when it is free, or was left behind: it is not renewed while it is watched. An error when its holder is alive.
fn wait_until_it_may_be_taken(client: &Client, times: Times) -> Result<Option<Found>, LockError> {
    let first = read(client)?;
    let is_free = |found: &Option<Found>| {
        found
            .as_ref()
            .is_none_or(|(text, _)| text.as_ref().is_some_and(|text| text.is_free))
    };
    if is_free(&first) {
        return Ok(first);
    }
    if let Some(holder) = first.iter().find_map(|(text, _)| text.as_ref()?.holder.as_ref()) {
        info!(
            what = holder.what,
            process = holder.process,
            host = holder.host,
            started = holder.started,
            "the output is locked: its lock is watched for {} s to see whether that run is alive",
            times.stale.as_secs()
        );
    }
    let begun = Instant::now();
    while begun.elapsed() < times.stale {
        std::thread::sleep(times.renew / 4);
        let now = read(client)?;
        if is_free(&now) {
            return Ok(now);
        }
        let version = |found: &Option<Found>| {
            let version = found.as_ref().map(|(_, version)| version);
            version.map(|version| (version.e_tag.clone(), version.version.clone()))
        };
        if version(&now) != version(&first) {
            return Err(busy(client, now.and_then(|(text, _)| text)).into());
        }
    }
    Ok(first)
}

fn busy(client: &Client, holder: Option<LockText>) -> Box<Busy> {
    Busy::new(client.address().to_string(), holder.and_then(|text| text.holder))
}

/// What a lock says, and its version; its text is `None` when it cannot be understood.
type Found = (Option<LockText>, UpdateVersion);

/// The lock as it is.
fn read(client: &Client) -> Result<Option<Found>, StoreError> {
    let path = client.path(LOCK)?;
    let result = client.wait(async {
        let found = client.store().get_opts(&path, Default::default()).await?;
        let version = UpdateVersion {
            e_tag: found.meta.e_tag.clone(),
            version: found.meta.version.clone(),
        };
        Ok((found.bytes().await?, version))
    });
    let found = client.if_there(result, LOCK, "be read")?;
    Ok(found.map(|(bytes, version)| (serde_json::from_slice(&bytes).ok(), version)))
}

fn write(client: &Client, text: &LockText, mode: PutMode) -> Result<Written, StoreError> {
    match client.wait_again(|| put(client, text, mode.clone())) {
        Ok(result) => Ok(Written::Done(result.into())),
        Err(Error::Precondition { .. } | Error::AlreadyExists { .. }) => Ok(match read(client)? {
            // By this very writing, whose first answer was lost on its way.
            Some((Some(now), version)) if now == *text => Written::Done(version),
            now => Written::NotAsSeen(now.and_then(|(now, _)| now)),
        }),
        Err(error) => Err(client.failed(LOCK, "be written", error)),
    }
}

async fn put(client: &Client, text: &LockText, mode: PutMode) -> Result<PutResult, Error> {
    // A plain record: it can always be written.
    let bytes = serde_json::to_vec_pretty(text).unwrap_or_default();
    // The name is one of ours: it can always be a path.
    let path = client.path(LOCK).unwrap_or_default();
    client
        .store()
        .put_opts(&path, PutPayload::from(bytes), mode.into())
        .await
}

#[cfg(test)]
pub(crate) mod tests;
