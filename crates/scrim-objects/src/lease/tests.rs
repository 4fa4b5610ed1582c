//! Locks in a store in memory, with short times.

use super::*;
use crate::{Address, Scheme};
use object_store::memory::InMemory;

const QUICK: Times = Times {
    renew: Duration::from_millis(40),
    stale: Duration::from_millis(400),
};

/// A client of a store in memory.
pub(crate) fn memory(key: &str) -> Client {
    let address = Address {
        scheme: Scheme::S3,
        bucket: "bucket".into(),
        key: key.into(),
    };
    Client::of(Arc::new(InMemory::new()), &address).unwrap()
}

fn holder(process: u32) -> Holder {
    Holder {
        what: "scrim run".into(),
        process,
        host: "here".into(),
        started: "2041-11-29T03:00:00Z".into(),
    }
}

fn take(client: &Client, process: u32) -> Result<Box<Lease>, LockError> {
    Lease::take(client, &holder(process), QUICK, Arc::default()).map(Box::new)
}

#[test]
fn one_that_is_alive_keeps_it_and_is_named() {
    let client = memory("out");
    let first = take(&client, 7).unwrap();
    let message = take(&client, 8).unwrap_err().to_string();
    assert!(message.contains("process 7 on here"), "{message}");
    first.finish().unwrap();
    let second = take(&client, 8).unwrap();
    assert_eq!(second.unfinished(), None);
}

#[test]
fn one_that_broke_off_gives_it_back_and_is_named_as_unfinished() {
    let client = memory("out");
    drop(take(&client, 7).unwrap());
    let begun = Instant::now();
    let second = take(&client, 8).unwrap();
    assert!(begun.elapsed() < QUICK.stale);
    assert_eq!(second.unfinished(), Some(&holder(7)));
}

/// A holder that was killed: its lock is there, and nobody renews it.
fn kill(client: &Client, lease: Box<Lease>) {
    let text = LockText {
        renewals: 1000,
        ..lease.held.state().text.clone()
    };
    drop(lease);
    let path = client.path(LOCK).unwrap();
    let bytes = serde_json::to_vec(&text).unwrap();
    client
        .wait(client.store().put_opts(&path, bytes.into(), Default::default()))
        .unwrap();
}

#[test]
fn one_that_was_killed_is_found_out_by_watching() {
    let client = memory("out");
    let first = take(&client, 7).unwrap();
    kill(&client, first);
    let begun = Instant::now();
    let second = take(&client, 8).unwrap();
    assert!(begun.elapsed() >= QUICK.stale);
    assert_eq!(second.unfinished(), Some(&holder(7)));
}

#[test]
fn a_holder_whose_lock_another_took_writes_no_more() {
    let client = memory("out");
    let right = Arc::new(Right::default());
    let first = Box::new(Lease::take(&client, &holder(7), QUICK, Arc::clone(&right)).unwrap());
    let text = LockText {
        token: "another".into(),
        ..first.held.state().text.clone()
    };
    let path = client.path(LOCK).unwrap();
    let bytes = serde_json::to_vec(&text).unwrap();
    client
        .wait(client.store().put_opts(&path, bytes.into(), Default::default()))
        .unwrap();
    let begun = Instant::now();
    while !right.is_lost() {
        assert!(begun.elapsed() < Duration::from_secs(20), "not noticed");
        std::thread::sleep(QUICK.renew / 4);
    }
    assert!(matches!(first.finish(), Err(StoreError::LockLost { .. })));
    // The other's lock stays as it is.
    assert_eq!(read(&client).unwrap().unwrap().0, Some(text));
}

#[test]
fn a_lock_that_nobody_understands_is_watched_and_taken() {
    let client = memory("out");
    let path = client.path(LOCK).unwrap();
    client
        .wait(
            client
                .store()
                .put_opts(&path, "rubbish".into(), Default::default()),
        )
        .unwrap();
    let lease = take(&client, 8).unwrap();
    assert_eq!(lease.unfinished(), None);
}

#[test]
fn a_holder_that_was_stopped_for_too_long_writes_no_more_before_anyone_says_so() {
    let right = Right::default();
    assert!(!right.is_lost());
    right.hold(Instant::now(), QUICK);
    assert!(!right.is_lost());
    right.hold(Instant::now() - QUICK.stale, QUICK);
    assert!(right.is_lost());
    right.give_back();
    assert!(!right.is_lost());
}
