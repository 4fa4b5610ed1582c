//! What the labels of `scrim review` are worth: held against the truth of practice games.

use std::fs;
use std::path::Path;

use scrim_review::{
    Answer, Candidate, Draft, Games, Journal, Picked, Question, Standing, candidates, folder_of, order,
    write_labels,
};
use scrim_score::{LabelledScreen, Report, ScoreParams, ScreenScore, score, screen_labels};
use scrim_statistics::pair_nearest_first;
use scrim_tables::LocalStore;
use scrim_tables::ledger::Snapshot;

use crate::house::House;
use crate::review::house;

/// The label of each clip, as a score has it: the nearest real one, no two clips the same; else a doubt.
fn labels_by_truth<'a>(
    truth: &'a [LabelledScreen],
    clips: &[Candidate],
    is: impl Fn(&LabelledScreen, &Candidate) -> bool,
) -> Vec<Option<&'a LabelledScreen>> {
    let apart_s = |clip: usize, label: usize| (truth[label].t_use_s - clips[clip].clip.t_use_s).abs();
    let near = |clip: usize, label: usize| is(&truth[label], &clips[clip]);
    let (doubts, real): (Vec<usize>, Vec<usize>) =
        (0..truth.len()).partition(|&label| truth[label].kind.is_none());
    let pairs = (0..clips.len()).flat_map(|clip| real.iter().map(move |&label| (clip, label)));
    let pairs = pairs.filter(|&(clip, label)| near(clip, label));
    let pairs = pair_nearest_first(
        pairs
            .map(|(clip, label)| scrim_statistics::Candidate {
                cost: apart_s(clip, label),
                first: clip,
                second: label,
            })
            .collect(),
    );
    let mut found = vec![None; clips.len()];
    for (clip, label) in pairs {
        found[clip] = Some(&truth[label]);
    }
    for (clip, found) in found.iter_mut().enumerate().filter(|(_, found)| found.is_none()) {
        let doubts = doubts.iter().filter(|&&label| near(clip, label));
        let nearest = doubts.min_by(|&&a, &&b| apart_s(clip, a).total_cmp(&apart_s(clip, b)));
        *found = nearest.map(|&label| &truth[label]);
    }
    found
}

/// Answers some clips as somebody would who knows what a practice game's labels say. How many these leave in doubt.
fn answer_by_truth(house: &House, labeller: &str, clips: &[Candidate]) -> usize {
    let truth = screen_labels(&house.at("in")).unwrap().screens;
    let is = |label: &LabelledScreen, one: &Candidate| {
        let clip = &one.clip;
        (label.game_id.as_ref(), label.period) == (clip.game_id.as_str(), clip.period)
            && label.screener.as_ref() == clip.shown(Question::ScreenerId)
            && label.user.as_ref() == clip.shown(Question::UserId)
            && (label.t_use_s - clip.t_use_s).abs() <= 1.0
            && label.on_ball
    };
    let labels = house.at("labels");
    let mut journal = Journal::open(&labels, labeller).unwrap();
    let mut in_doubt = 0;
    let label_of = labels_by_truth(&truth, clips, is);
    for (one, label) in clips.iter().zip(label_of) {
        let mut answers = Vec::new();
        let mut word = |question: Question, word: Option<String>| {
            if word.as_deref() != Some(one.clip.shown(question)) {
                answers.push(Answer::Word { question, word });
            }
        };
        if label.is_some_and(|label| label.kind.is_none()) {
            in_doubt += 1;
            answers.push(Answer::CannotTell);
        } else if let Some(label) = label {
            word(Question::ScreenKind, label.kind.map(|word| word.to_string()));
            word(Question::Outcome, label.outcome.map(|word| word.to_string()));
            word(Question::Coverage, label.coverage.map(|word| word.to_string()));
            word(
                Question::OnBallPath,
                label.on_ball_path.map(|word| word.to_string()),
            );
            answers.push(Answer::Right);
        } else {
            answers.push(Answer::NotAScreen);
        }
        for answer in answers {
            let draft = Draft {
                at: "2041-03-02T20:00:00Z".into(),
                seconds: 6.0,
                keys: 1,
                picked: Picked::Doubt,
                answer,
                clip: one.clip.clone(),
            };
            journal.append(draft).unwrap();
        }
    }
    let standing = Standing::of(journal.lines());
    write_labels(&folder_of(&labels, labeller).unwrap(), &standing).unwrap();
    in_doubt
}

fn scored(house: &House, labels: &Path) -> Report {
    score(&house.at("out"), labels, &ScoreParams::default()).unwrap()
}

#[test]
fn a_labeller_who_knows_the_truth_scores_the_tables_as_the_truth_does() {
    let house = house(3, 1200.0);
    let store = LocalStore::new(house.at("out"));
    let (clips, notes) = candidates(&Snapshot::new(&store), &Games::default()).unwrap();
    assert!(notes.is_empty() && clips.len() > 60, "{notes:?}, {}", clips.len());
    let unknown = answer_by_truth(&house, "ALL", &clips);
    let (ours, truth) = (
        scored(&house, &house.at("labels/ALL")),
        scored(&house, &house.at("in")),
    );
    let (ours_on, truth_on) = (
        ours.on_ball_screens.scored().unwrap(),
        truth.on_ball_screens.scored().unwrap(),
    );
    // All that was found was asked, so that what is right and what is too much are the truth's; what was missed was never seen. The truth
    // excuses what lies near a doubt, a labeller only what nobody can say.
    let found = |score: &ScreenScore| {
        score.detection.found + score.early_denial.as_ref().map_or(0, |early| early.found)
    };
    assert_eq!(found(ours_on), found(truth_on), "{}", ours.to_table());
    assert_eq!(
        ours_on.detection.extra + unknown,
        truth_on.detection.extra + truth_on.detection.in_doubt,
        "{}",
        ours.to_table()
    );
    assert_eq!(
        (
            ours_on.detection.missed,
            ours_on.detection.in_doubt,
            ours_on.detection.not_judged
        ),
        (0, 0, unknown)
    );
    assert!(
        ours_on.detection.extra > 0 && ours.warnings.is_empty(),
        "{:?}",
        ours.warnings
    );
    for column in ["coverage", "on_ball_path"] {
        let of = |report: &Report| {
            let score = report.coverages.scored().unwrap().columns.tag(column).unwrap();
            (
                score.confusion.labelled.clone(),
                score.confusion.predicted.clone(),
                score.confusion.counts.clone(),
            )
        };
        assert_eq!(of(&ours), of(&truth), "{column}");
    }
    // What the program scores, too.
    let done = house.scrim(&[
        "score",
        "--tables",
        "out",
        "--labels",
        "labels/ALL",
        "--tagging",
        "tagging.toml",
    ]);
    assert_eq!(done.code, 0, "{done:?}");
    let tagging = fs::read_to_string(house.at("tagging.toml")).unwrap();
    assert!(tagging.contains("[season.tagging.coverage."), "{tagging}");
    // A fit takes them: only what was looked at counts.
    let tuned = house.scrim(&[
        "tune",
        "mine.toml",
        "--input",
        "in",
        "--labels",
        "labels/ALL",
        "--output",
        "tuned.toml",
        "--only",
        "screens,coverages",
    ]);
    assert!([0, 4].contains(&tuned.code), "{tuned:?}");
    assert!(
        tuned.stdout.contains("Ball screens and handoffs, fitted to"),
        "{}",
        tuned.stdout
    );
}

#[test]
fn of_games_that_were_looked_at_in_part_only_that_part_is_judged() {
    let house = house(1, 1500.0);
    let store = LocalStore::new(house.at("out"));
    let (all, _) = candidates(&Snapshot::new(&store), &Games::default()).unwrap();
    let asked: Vec<Candidate> = order(&all)
        .iter()
        .take(12)
        .map(|(place, _)| all[*place].clone())
        .collect();
    assert!(all.len() > 24, "{}", all.len());
    let unknown = answer_by_truth(&house, "PART", &asked);
    let report = scored(&house, &house.at("labels/PART"));
    let judged = |report: &Report| {
        let score = report.on_ball_screens.scored().unwrap();
        let early = score.early_denial.as_ref().map_or(0, |early| early.found);
        (
            score.detection.found + early + score.detection.extra,
            score.detection.not_judged,
        )
    };
    assert!(unknown < 6, "{unknown}");
    assert_eq!(
        judged(&report),
        (12 - unknown, all.len() - 12 + unknown),
        "{}",
        report.to_table()
    );
    // The two that chance picked, if they could be answered.
    let by_chance = scored(&house, &house.at("labels/PART/chance"));
    let windows = fs::read_to_string(house.at("labels/PART/chance/labelled.csv"))
        .unwrap()
        .lines()
        .count()
        - 1;
    let chance = asked
        .iter()
        .filter(|one| scrim_review::is_by_chance(&one.clip))
        .count();
    assert!((1..=2).contains(&windows) && chance == 2, "{windows} of {chance}");
    assert_eq!(
        judged(&by_chance),
        (windows, all.len() - windows),
        "{}",
        by_chance.to_table()
    );
}
