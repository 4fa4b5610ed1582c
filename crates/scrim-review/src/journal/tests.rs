use proptest::prelude::*;

use super::*;
use crate::staging::{answers, clip, draft};

fn folder_with(bytes: &[u8]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("ANN")).unwrap();
    fs::write(folder.path().join("ANN").join(JOURNAL), bytes).unwrap();
    folder
}

fn written() -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::open(folder.path(), "ANN").unwrap();
    for (number, answer) in answers().into_iter().enumerate() {
        journal.append(draft(&clip(number as u32), answer)).unwrap();
    }
    fs::read(journal.path()).unwrap()
}

#[test]
fn what_is_written_is_read_back_and_goes_on_with_the_next_number() {
    let bytes = written();
    let folder = folder_with(&bytes);
    let mut journal = Journal::open(folder.path(), "ANN").unwrap();
    assert_eq!(journal.lines().len(), answers().len());
    assert_eq!(journal.torn(), None);
    let next = journal.append(draft(&clip(0), Answer::Right)).unwrap().number;
    assert_eq!(next, answers().len() as u64 + 1);
    let all = read_journal(folder.path(), "ANN").unwrap();
    assert_eq!(all, journal.lines());
}

#[test]
fn a_second_process_of_the_same_labeller_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let first = Journal::open(folder.path(), "ANN").unwrap();
    let busy = Journal::open(folder.path(), "ANN").unwrap_err();
    assert!(matches!(busy, ReviewError::Busy { .. }), "{busy}");
    assert!(Journal::open(folder.path(), "BEA").is_ok());
    drop(first);
    assert!(Journal::open(folder.path(), "ANN").is_ok());
}

#[test]
fn a_line_in_the_middle_that_is_none_is_named_and_nothing_is_written() {
    let mut bytes = written();
    let second = bytes.iter().position(|byte| *byte == b'\n').unwrap() + 1;
    bytes[second] = b'#';
    let folder = folder_with(&bytes);
    let error = Journal::open(folder.path(), "ANN").unwrap_err().to_string();
    assert!(error.contains("line 2"), "{error}");
    assert_eq!(fs::read(folder.path().join("ANN").join(JOURNAL)).unwrap(), bytes);
}

#[test]
fn numbers_that_do_not_go_up_are_named() {
    let bytes = String::from_utf8(written()).unwrap();
    for (from, to) in [
        ("\"number\":3,", "\"number\":2,"),
        ("\"number\":3,", "\"number\":1,"),
    ] {
        let twice = bytes.replace(from, to);
        let error = Journal::open(folder_with(twice.as_bytes()).path(), "ANN").unwrap_err();
        assert!(error.to_string().contains("line 3"), "{error}");
    }
    // After the last number that there is, nothing can be written: that is said, and nothing breaks.
    let last = bytes.replace("\"number\":7,", &format!("\"number\":{},", u64::MAX));
    let folder = folder_with(last.as_bytes());
    let mut journal = Journal::open(folder.path(), "ANN").unwrap();
    assert!(journal.append(draft(&clip(0), Answer::Right)).is_err());
    assert_eq!(fs::read(journal.path()).unwrap(), last.as_bytes());
}

#[test]
fn times_that_are_none_leave_the_journal_readable() {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::open(folder.path(), "ANN").unwrap();
    for (seconds, kept) in [
        (f64::NAN, 0.0),
        (f64::INFINITY, 0.0),
        (-1.0, 0.0),
        (1e308, 86_400.0),
        (6.54, 6.5),
    ] {
        let mut draft = draft(&clip(0), Answer::Right);
        draft.seconds = seconds;
        assert_eq!(journal.append(draft).unwrap().seconds, kept);
    }
    assert_eq!(read_journal(folder.path(), "ANN").unwrap(), journal.lines());
    // What cannot be read back is not written.
    let mut nowhere = clip(0);
    nowhere.t_use_s = f64::NAN;
    assert!(journal.append(draft(&nowhere, Answer::Right)).is_err());
    assert_eq!(read_journal(folder.path(), "ANN").unwrap().len(), 5);
}

#[cfg(unix)]
#[test]
fn a_journal_that_was_taken_away_takes_no_answer() {
    type Taken = fn(&Path);
    let ways: [Taken; 4] = [
        |path| fs::remove_file(path).unwrap(),
        |path| fs::rename(path, path.with_extension("old")).unwrap(),
        |path| {
            fs::copy(path, path.with_extension("new")).unwrap();
            fs::rename(path.with_extension("new"), path).unwrap();
        },
        |path| fs::remove_dir_all(path.parent().unwrap()).unwrap(),
    ];
    for take_away in ways {
        let folder = tempfile::tempdir().unwrap();
        let mut journal = Journal::open(folder.path(), "ANN").unwrap();
        journal.append(draft(&clip(0), Answer::Right)).unwrap();
        take_away(journal.path());
        assert!(journal.append(draft(&clip(1), Answer::Right)).is_err());
        assert_eq!(journal.lines().len(), 1);
    }
}

#[test]
fn names_that_are_no_folders_are_refused() {
    for name in ["", "..", "a/b", "Ann Bee", "a\\b", &"x".repeat(41)] {
        assert!(folder_of(Path::new("labels"), name).is_err(), "{name}");
    }
    for name in ["Chance", "LABELS", "con", "NUL", "prn", "Aux", "COM1", "lpt9"] {
        let error = folder_of(Path::new("labels"), name).unwrap_err();
        assert!(matches!(error, ReviewError::LabellerTaken { .. }), "{name}");
    }
    for name in ["Ann-B_2", "COM", "CON1", "COM12", "chance2"] {
        assert!(folder_of(Path::new("labels"), name).is_ok(), "{name}");
    }
}

#[test]
fn a_name_that_differs_from_anothers_by_capitals_alone_is_refused() {
    let folder = folder_with(b"");
    let error = Journal::open(folder.path(), "Ann").unwrap_err().to_string();
    assert!(error.contains("`Ann`") && error.contains("`ANN`"), "{error}");
    assert!(!folder.path().join("Ann").exists());
    Journal::open(folder.path(), "ANN").unwrap();
}

#[test]
fn of_nobodys_answers_it_is_said_whose_there_are() {
    let folder = folder_with(b"");
    let error = read_journal(folder.path(), "BEA").unwrap_err().to_string();
    assert!(error.contains("BEA") && error.contains("ANN"), "{error}");
}

proptest! {
    /// Cut anywhere, as by a kill or a full disk: every whole line is there, what is left of the torn one is kept aside, and the journal goes on.
    #[test]
    fn cut_at_any_byte_only_the_torn_line_is_lost(share in 0.0..=1.0f64) {
        let bytes = written();
        let cut = (bytes.len() as f64 * share) as usize;
        let folder = folder_with(&bytes[..cut]);
        let ends = bytes[..cut].iter().filter(|byte| **byte == b'\n').count();
        let last_start = bytes[..cut].iter().rposition(|byte| *byte == b'\n').map_or(0, |place| place + 1);
        // A cut right before a line's end leaves it whole.
        let is_whole = cut < bytes.len() && bytes[cut] == b'\n' && cut > last_start;
        let whole = ends + usize::from(is_whole);
        {
            let mut journal = Journal::open(folder.path(), "ANN").unwrap();
            prop_assert_eq!(journal.lines().len(), whole);
            let torn = &bytes[last_start..cut];
            if is_whole || torn.is_empty() {
                prop_assert_eq!(journal.torn(), None);
            } else {
                let kept = fs::read(journal.torn().unwrap()).unwrap();
                prop_assert_eq!(&kept[..kept.len() - 1], torn);
            }
            let answer = journal.append(draft(&clip(9), Answer::CannotTell)).unwrap().clone();
            prop_assert_eq!(answer.number, whole as u64 + 1);
        }
        let again = Journal::open(folder.path(), "ANN").unwrap();
        prop_assert_eq!(again.lines().len(), whole + 1);
        prop_assert_eq!(&again.lines()[whole].answer, &Answer::CannotTell);
    }
}
