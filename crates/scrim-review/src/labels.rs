//! Label files, in the form that `scrim score` and `scrim tune` read, made from what a journal's lines come to.
//!
//! A clip that was ended as a screen is a row of `screens`, and of each other table that an answer speaks of; one ended as none is no row;
//! both have a row of `labelled`: the stretch around the use that was looked at. Off the ball nothing was asked (`plain_only`). One that
//! cannot be told leaves no trace.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::ReviewError;
use crate::candidates::JUDGED_S;
use crate::order::is_by_chance;
use crate::question::Question;
use crate::standing::{Answered, Standing, Verdict};

/// The folder, below the labeller's, with the labels of the clips that chance picked.
pub const CHANCE: &str = "chance";

/// Two uses nearer than this are at one instant, s: no window can lie between them.
const ONE_INSTANT_S: f64 = 0.05;

/// Label files by name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LabelFiles(pub BTreeMap<&'static str, String>);

/// The columns of each file.
const FILES: [(&str, &[&str]); 5] = [
    (
        "screens.csv",
        &[
            "game_id",
            "period",
            "screen_id",
            "on_ball",
            "screen_kind",
            "outcome",
            "screener_id",
            "user_id",
            "t_use_s",
            "early_denial",
        ],
    ),
    (
        "coverages.csv",
        &["game_id", "screen_id", "coverage", "on_ball_path"],
    ),
    (
        "options.csv",
        &["game_id", "screen_id", "screener_action", "handler_action"],
    ),
    ("entries.csv", &["game_id", "screen_id", "entry"]),
    (
        "labelled.csv",
        &["game_id", "off_ball_screens", "period", "t_start_s", "t_end_s"],
    ),
];

/// Rows of a file, each with what it is sorted by.
type Rows = Vec<((String, u8, u64, String), Vec<String>)>;

/// The label files of what was answered: of all clips, or of those alone that chance picked.
///
/// # Errors
/// [`ReviewError::Text`]: no answers cause that.
pub fn label_files(standing: &Standing, by_chance_alone: bool) -> Result<LabelFiles, ReviewError> {
    // What is not among these files' answers has none: a window must not reach over it.
    let some = by_chance_alone.then(|| standing.only(|one| is_by_chance(&one.clip)));
    let all = some.as_ref().unwrap_or(standing);
    let mut rows: [Rows; 5] = Default::default();
    for one in all.clips() {
        add_clip(one, all, &mut rows);
    }
    let mut files = BTreeMap::new();
    for ((name, columns), mut rows) in FILES.into_iter().zip(rows) {
        rows.sort();
        let mut writer = csv::Writer::from_writer(Vec::new());
        let written = writer
            .write_record(columns)
            .and_then(|()| rows.iter().try_for_each(|(_, cells)| writer.write_record(cells)));
        let text = written
            .map_err(|error| Box::new(error) as Box<dyn std::error::Error + Send + Sync>)
            .and_then(|()| Ok(String::from_utf8(writer.into_inner()?)?))
            .map_err(|source| ReviewError::Text {
                what: "label file",
                source,
            })?;
        files.insert(name, text);
    }
    Ok(LabelFiles(files))
}

/// Writes the label files of a labeller, all and those by chance; each file wholly or not at all.
///
/// # Errors
/// [`ReviewError`]: one cannot be written. The journal has all of it.
pub fn write_labels(folder: &Path, standing: &Standing) -> Result<(), ReviewError> {
    for (folder, by_chance_alone) in [(folder.to_path_buf(), false), (folder.join(CHANCE), true)] {
        fs::create_dir_all(&folder).map_err(ReviewError::file(&folder, "make the folder"))?;
        for (name, text) in label_files(standing, by_chance_alone)?.0 {
            let (path, aside) = (folder.join(name), folder.join(format!(".{name}.part")));
            let written = fs::write(&aside, text).and_then(|()| fs::rename(&aside, &path));
            written.map_err(|source| {
                // Best effort: the first error is the one to report.
                let _ = fs::remove_file(&aside);
                ReviewError::file(&path, "write the labels")(source)
            })?;
        }
    }
    Ok(())
}

fn add_clip(one: &Answered, all: &Standing, rows: &mut [Rows; 5]) {
    let clip = &one.clip;
    let key = |t_s: f64, id: &str| {
        // Instants are not negative, so that their bits sort as they do.
        (
            clip.game_id.clone(),
            clip.period,
            t_s.max(0.0).to_bits(),
            id.to_owned(),
        )
    };
    for missed in &one.missed {
        let id = format!("missed-{}", missed.line);
        let cells = [
            clip.game_id.clone(),
            clip.period.to_string(),
            id.clone(),
            "true".into(),
            missed.screen_kind.to_string(),
            String::new(),
            missed.screener_id.clone(),
            missed.user_id.clone(),
            missed.t_use_s.to_string(),
            String::new(),
        ];
        rows[0].push((key(missed.t_use_s, &id), cells.to_vec()));
    }
    let is_screen = match one.verdict {
        Some(Verdict::Screen) => true,
        Some(Verdict::NoScreen) => false,
        Some(Verdict::Unknown) | None => return,
    };
    let Some((start_s, end_s)) = window_s(one, all) else {
        return;
    };
    let id = clip.screen_id.to_string();
    let at = key(clip.t_use_s, &id);
    let window = [
        clip.game_id.clone(),
        "plain_only".into(),
        clip.period.to_string(),
        seconds(start_s),
        seconds(end_s),
    ];
    rows[4].push((at.clone(), window.to_vec()));
    if !is_screen {
        return;
    }
    let word = |question| one.word(question).unwrap_or_default().to_owned();
    let screen = [
        clip.game_id.clone(),
        clip.period.to_string(),
        id.clone(),
        "true".into(),
        word(Question::ScreenKind),
        word(Question::Outcome),
        word(Question::ScreenerId),
        word(Question::UserId),
        clip.t_use_s.to_string(),
        clip.early_denial.to_string(),
    ];
    rows[0].push((at.clone(), screen.to_vec()));
    let linked: [&[Question]; 3] = [
        &[Question::Coverage, Question::OnBallPath],
        &[Question::ScreenerAction, Question::HandlerAction],
        &[Question::Entry],
    ];
    for (rows, questions) in rows[1..4].iter_mut().zip(linked) {
        let mut cells = vec![clip.game_id.clone(), id.clone()];
        cells.extend(questions.iter().map(|&question| word(question)));
        if cells[2..].iter().any(|cell| !cell.is_empty()) {
            rows.push((at.clone(), cells));
        }
    }
}

/// Seconds to the thousandth, without what sums of fractions leave behind.
fn seconds(t_s: f64) -> String {
    ((t_s * 1000.0).round() / 1000.0).to_string()
}

/// The stretch that a clip's answer speaks of: around its use, and no farther than half-way to another screen of the tables that has no
/// answer. `None` when such a one is at the same instant: nothing can be said of the one without the other.
fn window_s(one: &Answered, all: &Standing) -> Option<(f64, f64)> {
    let clip = &one.clip;
    let (mut start_s, mut end_s) = ((clip.t_use_s - JUDGED_S).max(0.0), clip.t_use_s + JUDGED_S);
    for beside in &clip.beside {
        let named = clip.named_beside(beside);
        let verdict = all.find(&named).and_then(|other| other.verdict);
        if matches!(verdict, Some(Verdict::Screen | Verdict::NoScreen)) {
            continue;
        }
        let half_s = (clip.t_use_s + beside.t_use_s) / 2.0;
        if (beside.t_use_s - clip.t_use_s).abs() < ONE_INSTANT_S {
            return None;
        }
        if beside.t_use_s < clip.t_use_s {
            start_s = start_s.max(half_s);
        } else {
            end_s = end_s.min(half_s);
        }
    }
    Some((start_s, end_s))
}

#[cfg(test)]
mod tests {
    use scrim_tables::tags::ScreenKind;

    use super::*;
    use crate::answer::Answer;
    use crate::clip::{Beside, Clip};
    use crate::staging::{clip, lines_of};

    fn rows(answers: Vec<(Clip, Answer)>, file: &str) -> Vec<String> {
        let files = label_files(&Standing::of(&lines_of(answers)), false).unwrap();
        files.0[file].lines().skip(1).map(Into::into).collect()
    }

    fn beside(t_use_s: f64) -> Clip {
        Clip {
            beside: vec![Beside {
                screen_id: 1,
                screener_id: "p5".into(),
                user_id: "p4".into(),
                t_use_s,
            }],
            ..clip(0)
        }
    }

    #[test]
    fn a_right_clip_is_a_row_of_each_table_and_a_window() {
        let answers = || vec![(clip(0), Answer::Right)];
        assert_eq!(
            rows(answers(), "screens.csv"),
            ["G,1,0,true,ball_screen,used,p8,p4,10,false"]
        );
        // Its path is unclear: that is left open.
        assert_eq!(rows(answers(), "coverages.csv"), ["G,0,drop,"]);
        assert_eq!(rows(answers(), "options.csv"), ["G,0,roll,pass"]);
        assert_eq!(rows(answers(), "entries.csv"), ["G,0,down"]);
        assert_eq!(rows(answers(), "labelled.csv"), ["G,plain_only,1,8.5,11.5"]);
    }

    #[test]
    fn another_word_stands_in_place_of_the_programs_and_one_that_cannot_be_told_is_left_open() {
        let word = |question, word: Option<&str>| Answer::Word {
            question,
            word: word.map(Into::into),
        };
        let answers = || {
            vec![
                (clip(0), word(Question::Coverage, Some("hedge"))),
                (clip(0), word(Question::ScreenerId, Some("p5"))),
                (clip(0), word(Question::Entry, None)),
                (clip(0), Answer::Right),
            ]
        };
        assert_eq!(rows(answers(), "coverages.csv"), ["G,0,hedge,"]);
        assert_eq!(
            rows(answers(), "screens.csv"),
            ["G,1,0,true,ball_screen,used,p5,p4,10,false"]
        );
        assert_eq!(rows(answers(), "entries.csv"), [""; 0]);
    }

    #[test]
    fn what_is_no_screen_has_a_window_alone_and_what_cannot_be_told_or_is_open_has_nothing() {
        let missed = Answer::Missed {
            screener_id: "p5".into(),
            user_id: "p4".into(),
            screen_kind: ScreenKind::Handoff,
            t_use_s: 33.5,
        };
        let coverage = Answer::Word {
            question: Question::Coverage,
            word: Some("ice".into()),
        };
        let answers = || {
            vec![
                (clip(0), Answer::NotAScreen),
                (clip(1), missed.clone()),
                (clip(1), Answer::CannotTell),
                (clip(2), coverage.clone()),
            ]
        };
        assert_eq!(rows(answers(), "labelled.csv"), ["G,plain_only,1,8.5,11.5"]);
        assert_eq!(
            rows(answers(), "screens.csv"),
            ["G,1,missed-2,true,handoff,,p5,p4,33.5,"]
        );
        assert_eq!(rows(answers(), "coverages.csv"), [""; 0]);
    }

    #[test]
    fn a_window_ends_half_way_to_a_screen_without_an_answer() {
        assert_eq!(
            rows(vec![(beside(11.0), Answer::NotAScreen)], "labelled.csv"),
            ["G,plain_only,1,8.5,10.5"]
        );
        assert_eq!(
            rows(vec![(beside(8.0), Answer::NotAScreen)], "labelled.csv"),
            ["G,plain_only,1,9,11.5"]
        );
        // Answered, it has a window of its own.
        let mut other = clip(1);
        other.t_use_s = 11.0;
        other.shown.insert(Question::ScreenerId, "p5".into());
        let both = vec![(beside(11.0), Answer::NotAScreen), (other, Answer::Right)];
        assert_eq!(
            rows(both, "labelled.csv"),
            ["G,plain_only,1,8.5,11.5", "G,plain_only,1,9.5,12.5"]
        );
        // Of two at one instant neither is judged while one is open.
        assert_eq!(rows(vec![(beside(10.02), Answer::Right)], "screens.csv"), [""; 0]);
    }

    #[test]
    fn the_labels_by_chance_are_of_the_clips_that_chance_picked() {
        let lines = lines_of((0..40).map(|number| (clip(number), Answer::Right)).collect());
        let files = label_files(&Standing::of(&lines), true).unwrap();
        let expected: Vec<u32> = (0..40).filter(|&number| is_by_chance(&clip(number))).collect();
        let ids: Vec<u32> = files.0["entries.csv"]
            .lines()
            .skip(1)
            .map(|line| line.split(',').nth(1).unwrap().parse().unwrap())
            .collect();
        assert_eq!(ids, expected);
        assert!(!ids.is_empty() && ids.len() < 40);
    }
}
