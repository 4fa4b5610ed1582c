//! Label files, in the form that `scrim score` and `scrim tune` read, made from what a journal's lines come to.
//!
//! A clip that was ended as a screen is a row of `screens`, and of each other table that an answer speaks of; one ended as none is no row;
//! both have a row of `labelled`: the stretch around the use that was looked at. Off the ball nothing was asked (`plain_only`). One that
//! nobody can answer leaves no trace. A missed one is a row of `screens` with a window of its instant alone, for a game without a window is one
//! that was looked at as a whole. A label's `screen_id` is the label's own: the number of the clip's first line, which no other clip has, however
//! often tables were made again.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::Path;

use crate::ReviewError;
use crate::candidates::JUDGED_S;
use crate::order::is_by_chance;
use crate::question::Question;
use crate::standing::{Answered, Missed, Standing, Verdict};

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
    let chance = folder.join(CHANCE);
    // Not the labeller's own: where it is gone, so is the journal.
    match fs::create_dir(&chance) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => {
            return Err(ReviewError::file(&chance, "make the folder")(error));
        }
        _ => {}
    }
    for (folder, by_chance_alone) in [(folder.to_path_buf(), false), (chance, true)] {
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
    let window_row = |start_s: f64, end_s: f64| {
        vec![
            clip.game_id.clone(),
            "plain_only".into(),
            clip.period.to_string(),
            seconds(start_s),
            seconds(end_s),
        ]
    };
    let screen_row = |id: &str, [kind, outcome]: [String; 2], [screener, user]: [String; 2], t_use_s: f64| {
        vec![
            clip.game_id.clone(),
            clip.period.to_string(),
            id.into(),
            "true".into(),
            kind,
            outcome,
            screener,
            user,
            t_use_s.to_string(),
            // Nobody was asked.
            String::new(),
        ]
    };
    let told_here = |missed: &&Missed| !all.is_told_elsewhere(clip, missed);
    for missed in one.missed.iter().filter(told_here) {
        let id = format!("missed-{}", missed.line);
        let at = key(missed.t_use_s, &id);
        let kind = missed.screen_kind.to_string();
        let players = [missed.screener_id.clone(), missed.user_id.clone()];
        let screen = screen_row(&id, [kind, String::new()], players, missed.t_use_s);
        rows[0].push((at.clone(), screen));
        rows[4].push((at, window_row(missed.t_use_s, missed.t_use_s)));
    }
    let is_screen = match one.verdict {
        Some(Verdict::Screen) => true,
        Some(Verdict::NoScreen) => false,
        Some(Verdict::Unknown) | None => return,
    };
    let Some((start_s, end_s)) = window_s(one, all) else {
        return;
    };
    let id = one.first_line.to_string();
    let at = key(clip.t_use_s, &id);
    rows[4].push((at.clone(), window_row(start_s, end_s)));
    if !is_screen {
        return;
    }
    let word = |question| one.word(question).unwrap_or_default().to_owned();
    let words = [word(Question::ScreenKind), word(Question::Outcome)];
    let players = [word(Question::ScreenerId), word(Question::UserId)];
    rows[0].push((at.clone(), screen_row(&id, words, players, clip.t_use_s)));
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
mod tests;
