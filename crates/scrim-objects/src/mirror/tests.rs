//! Objects are brought to a folder, whole and once.

use super::*;
use crate::ObjectFolder;
use crate::lease::tests::memory;
use scrim_tables::Store;

/// A store of these objects, seen from `key`.
fn store(objects: &[(&str, usize)], key: &str) -> Client {
    let client = memory("");
    let folder = ObjectFolder::of(client.clone());
    for (name, bytes) in objects {
        folder.put(name, &vec![7; *bytes]).unwrap();
    }
    let address = Address {
        key: key.into(),
        ..client.address().clone()
    };
    client.with_address(&address)
}

#[test]
fn names_are_there_at_once_and_bytes_when_they_are_read() {
    let large = PIECE_BYTES as usize + 5;
    let objects = [
        ("in/g/tracking.csv", large),
        ("in/g/sub/x.csv", 1),
        ("inner/y", 1),
    ];
    let mirror = Mirror::of(store(&objects, "in")).unwrap().unwrap();
    assert!(mirror.input().ends_with("in"));
    let file = mirror.input().join("g/tracking.csv");
    assert_eq!(std::fs::metadata(&file).unwrap().len(), large as u64);
    assert!(mirror.input().join("g/sub/x.csv").is_file());
    assert!(!mirror.input().join("y").exists());
    mirror.fetch(&file).unwrap();
    assert_eq!(std::fs::read(&file).unwrap(), vec![7; large]);
    mirror.release(&file);
    assert_eq!(std::fs::read(&file).unwrap(), vec![0; large]);
    let stamp = mirror.stamp(&file).unwrap();
    assert_eq!(stamp.address, "s3://bucket/in/g/tracking.csv");
    assert_eq!(
        mirror.named(&format!("{}: bad", file.display())),
        "s3://bucket/in/g/tracking.csv: bad"
    );
    let root = mirror.root.clone();
    drop(mirror);
    assert!(!root.exists());
}

#[test]
fn an_object_comes_with_those_beside_it_and_nothing_with_none() {
    let objects = [("in/a.csv", 1), ("in/games.csv", 2), ("in/deep/x", 1)];
    let mirror = Mirror::of(store(&objects, "in/a.csv")).unwrap().unwrap();
    assert!(mirror.input().ends_with("in/a.csv"));
    assert!(mirror.input().with_file_name("games.csv").is_file());
    assert_eq!(mirror.objects.len(), 2);
    assert!(Mirror::of(store(&objects, "none")).unwrap().is_none());
}

#[test]
fn a_folders_mark_is_no_file_and_a_file_that_is_a_folder_too_is_reported() {
    let objects = [("in/a", 0), ("in/a/x", 1), ("in/b", 1), ("in/b/x", 1)];
    let mirror = Mirror::of(store(&objects, "in")).unwrap().unwrap();
    let names: Vec<&str> = mirror.left_out().iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["s3://bucket/in/b"]);
    assert!(mirror.input().join("a/x").is_file());
}

#[test]
fn one_that_is_replaced_after_it_was_listed_is_not_taken_for_the_old_one() {
    let client = store(&[("in/a.csv", 3)], "in");
    let mirror = Mirror::of(client.clone()).unwrap().unwrap();
    let path = client.path("a.csv").unwrap();
    let again = vec![8u8; 3].into();
    client
        .wait(client.store().put_opts(&path, again, Default::default()))
        .unwrap();
    let error = mirror.fetch(&mirror.input().join("a.csv")).unwrap_err();
    assert!(matches!(error, StoreError::Replaced { .. }), "{error}");
}
