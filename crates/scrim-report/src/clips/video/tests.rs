//! Tests of marks.

use super::*;
use crate::GameRows;
use crate::staging::staged_game;

fn mark(text: &str) -> SyncMark {
    text.parse().unwrap()
}

/// What marks of a game say of its first period; the source says nothing.
fn first_period(game: &GameRows, marks: &[&str]) -> Result<MarkedOffset, ReportError> {
    let mut row = game.game.clone();
    row.video_offset_s.clear();
    let marks: BTreeSet<VideoMark> = marks.iter().map(|text| mark(text).mark).collect();
    let mut marked = MarkedGame::new(row, &game.tracks, &marks);
    assert_eq!(marked.periods.len(), 1);
    let (period, offset) = marked.periods.pop_first().unwrap();
    // What the row has is what the marks say, and nothing where they say nothing.
    let offset_s = offset.marked.as_ref().ok().map(|marked| marked.video_offset_s);
    assert_eq!(offset_of(&marked.row.video_offset_s, period), offset_s);
    offset.marked
}

#[test]
fn a_mark_is_a_game_a_period_a_time_of_the_video_and_a_clock() {
    let read = mark("2041:G=7:2=1:02:03.5@9:58");
    assert_eq!((read.game_id.as_str(), read.mark.period), ("2041:G=7", 2));
    assert_eq!((read.mark.video_ms, read.mark.clock_s), (3_723_500, 598));
    assert_eq!(text_of(&read.game_id, &read.mark), "2041:G=7:2=1:02:03.5@9:58");
    assert_eq!(mark("G:1=62:03@0:07").mark.video_ms, 3_723_000);
    for text in [
        "",
        "G",
        "G:1",
        "G:1=10",
        "G:1=10@",
        "G:0=10@9:58",
        ":1=10@9:58",
        "G:1=1:99@9:58",
        "G:1=1.5:10@9:58",
        "G:1=10@9:58.5",
        "G:1=-10@9:58",
        "G:1=1:2:3:4@9:58",
        "G:1=NaN@9:58",
        "G:256=10@9:58",
    ] {
        assert!(text.parse::<SyncMark>().is_err(), "{text}");
    }
    let period: SyncPeriod = "2041:G=7:2".parse().unwrap();
    assert_eq!((period.game_id.as_str(), period.period), ("2041:G=7", 2));
    for text in ["", "G", "G:", ":1", "G:0", "G:x"] {
        assert!(text.parse::<SyncPeriod>().is_err(), "{text}");
    }
}

// The staged possessions begin at 0, 20, 40 s with 600, 580, 560 s on the clock, which runs a second a second.
#[test]
fn the_offset_puts_the_marked_clock_at_the_marked_time() {
    let game = staged_game("G1", 3);
    // The clock turns from 9:56 to 9:55 when 595.9 s are left, 4.1 s into the period.
    let offset = first_period(&game, &["G1:1=0:12:40@9:55", "G1:1=0:12:56@9:39"]).unwrap();
    assert!((offset.video_offset_s - (760.0 - 4.1)).abs() < 1e-6, "{offset:?}");
    assert!(offset.apart_s.is_some_and(|apart_s| apart_s < 0.2), "{offset:?}");
    let offset = first_period(&game, &["G1:1=0:12:40@9:55"]).unwrap();
    assert!((offset.video_offset_s - (760.0 - 4.1)).abs() < 1e-6, "{offset:?}");
    assert_eq!(offset.apart_s, None);
}

#[test]
fn what_the_source_says_counts_and_marks_that_say_another_are_told_apart() {
    let game = staged_game("G1", 3);
    let given = |given_s: f64| {
        let mut row = game.game.clone();
        row.video_offset_s = vec![Some(given_s)];
        let marked = MarkedGame::new(
            row,
            &game.tracks,
            &BTreeSet::from([mark("G1:1=0:12:40@9:55").mark]),
        );
        assert_eq!(marked.row.video_offset_s, [Some(given_s)]);
        assert_eq!(marked.given_periods, BTreeSet::from([1]));
        marked.periods[&1].given_apart_s()
    };
    // The mark says 755.9 s.
    assert_eq!(given(757.8), None);
    let apart_s = given(753.8).unwrap();
    assert!((apart_s - 2.1).abs() < 1e-6, "{apart_s}");
}

#[test]
fn a_row_without_its_marks_is_the_one_before_them() {
    let game = staged_game("G1", 3);
    let mut row = game.game.clone();
    for given_s in [vec![], vec![None, Some(7.0)]] {
        row.video_offset_s = given_s;
        let marks = BTreeSet::from([mark("G1:1=0:12:40@9:55").mark]);
        let marked = MarkedGame::new(row.clone(), &game.tracks, &marks);
        assert_ne!(marked.row, row);
        let video = MarkedVideo {
            marks,
            given_periods: marked.given_periods,
            unmarked: scrim_tables::ledger::FileFacts {
                bytes: 0,
                rows: 1,
                sha256: String::new(),
            },
        };
        assert_eq!(without_marks(marked.row, &video), row);
    }
}

#[test]
fn all_marks_of_a_period_are_held_against_each_other_and_the_middle_counts() {
    // 9:55 is 4.1 s into the period, 9:39 20.1 s.
    let set = |third: &str| {
        first_period(
            &staged_game("G1", 3),
            &["G1:1=0:12:41@9:55", "G1:1=0:12:56@9:39", third],
        )
    };
    // 756.9, 755.9 and 755.4 s.
    let offset = set("G1:1=759.5@9:55").unwrap();
    assert!((offset.video_offset_s - 756.15).abs() < 0.11, "{offset:?}");
    assert!((offset.apart_s.unwrap() - 1.5).abs() < 0.11, "{offset:?}");
    // 754.4 s: 1.5 s from the second, which is not the first, and 2.5 s from the first.
    let error = set("G1:1=758.5@9:55").unwrap_err().to_string();
    assert!(
        error.contains("0:12:38.5@9:55") && error.contains("0:12:41@9:55"),
        "{error}"
    );
}

#[test]
fn a_second_that_the_clock_turns_to_twice_is_refused() {
    let mut game = staged_game("G1", 3);
    let mut again = game.tracks.clone();
    again.iter_mut().for_each(|row| row.t_start_s += 40.0);
    game.tracks.extend(again);
    let error = first_period(&game, &["G1:1=0:12:40@9:55"])
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("another second") && error.contains("40.0 s"),
        "{error}"
    );
}

#[test]
fn a_clock_with_tenths_is_told_to_be_whole() {
    let error = "G:1=10@9:58.5".parse::<SyncMark>().unwrap_err();
    assert!(error.contains("whole seconds"), "{error}");
    assert!("G:1=10.5@9:58".parse::<SyncMark>().is_ok());
}

#[test]
fn marks_that_disagree_or_show_a_clock_that_is_not_there_are_refused() {
    for (marks, part) in [
        (&["G1:1=10@3:00"][..], "G1:1=0:00:10@3:00"),
        (
            &["G1:2=10@9:55"],
            "has no period of G1:2=0:00:10@9:55; it has [1]",
        ),
        (&["G1:1=12:40@9:55", "G1:1=12:50@9:39"], "6.0 s"),
    ] {
        let error = first_period(&staged_game("G1", 3), marks)
            .unwrap_err()
            .to_string();
        assert!(error.contains(part), "{error}");
    }
}
