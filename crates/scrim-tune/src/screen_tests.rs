//! Whole fits of screens on made-up candidates whose answer is known.

use scrim_actions::{SCREEN_EVIDENCE, ScreenCorrection, ScreenInputs};
use scrim_score::LabelledScreen;
use scrim_tables::Id;
use scrim_tables::tags::{Outcome, ScreenKind};

use crate::judged::{Counts, Judged};
use crate::{Family, Grouping, Labels, Row, ScreenDecision, TuneError, TuneParams, Verdict, tune_screens};

/// Where `slow` stands among the evidence.
const SLOW: usize = 3;

const OWN: ScreenDecision = ScreenDecision {
    correction: ScreenCorrection::PLAIN,
    min_confidence: 0.35,
    min_handoff_confidence: 0.15,
};

fn id(text: &str) -> Id {
    text.into()
}

/// A candidate of `user` and `screener`, a possession of its own every 30 s.
fn row(game: usize, possession: usize, two: [&str; 2], probability: f32, slow: f32) -> Row {
    let mut evidence = [0.0; SCREEN_EVIDENCE];
    evidence[SLOW] = slow;
    Row {
        game_id: id(&format!("G{game}")),
        copy: 0,
        possession,
        period: 1,
        t_s: 30.0 * possession as f64,
        t_part_s: 30.0 * possession as f64,
        t_use_s: 30.0 * possession as f64,
        user: id(two[0]),
        screener: id(two[1]),
        evidence: Vec::new(),
        inputs: ScreenInputs {
            probability,
            ln_odds: (probability / (1.0 - probability)).ln(),
            evidence,
        },
        is_by_hand: false,
        weight: 1.0,
        label: None,
        t_label_s: None,
        outcome: None,
        is_handoff: false,
        in_doubt: false,
    }
}

fn label_of(row: &Row, kind: Option<ScreenKind>) -> LabelledScreen {
    LabelledScreen {
        game_id: row.game_id.clone(),
        period: row.period,
        screen_id: None,
        on_ball: true,
        kind,
        screener: row.screener.clone(),
        user: row.user.clone(),
        t_use_s: row.t_s,
        outcome: None,
        early_denial: false,
        coverage: None,
        on_ball_path: None,
    }
}

/// Candidates and, for those that `is_screen` picks, labels; twenty possessions a game.
fn games(
    games: usize,
    probability: impl Fn(bool) -> f32,
    slow: impl Fn(bool, usize) -> f32,
) -> (Vec<Row>, Labels) {
    let mut rows = Vec::new();
    let mut labels = Vec::new();
    for game in 0..games {
        for possession in 0..20 {
            let is_screen = possession % 2 == 0;
            let mut row = row(
                game,
                possession,
                ["u", "s"],
                probability(is_screen),
                slow(is_screen, possession),
            );
            if is_screen {
                row.label = Some(labels.len());
                labels.push(label_of(&row, Some(ScreenKind::BallScreen)));
            }
            rows.push(row);
        }
    }
    (rows, Labels::of_whole_games(labels))
}

fn tuned(rows: Vec<Row>, labels: &Labels) -> crate::TunedScreens {
    tune_screens(rows, labels, Family::OnBall, &OWN, &TuneParams::default()).unwrap()
}

#[test]
fn what_the_evidence_says_and_the_model_does_not_is_learned_and_shows_on_games_held_out() {
    assert_eq!(ScreenInputs::NAMES[SLOW], "slow");
    let (rows, labels) = games(8, |_| 0.5, |is_screen, _| if is_screen { 1.0 } else { -1.0 });
    let tuned = tuned(rows, &labels);
    // Before, all 160 are written and 80 are right: F1 = 160 / 240.
    assert!((tuned.before.f1 - 2.0 / 3.0).abs() < 1e-12, "{tuned}");
    assert!((tuned.after.f1 - 1.0).abs() < 1e-12, "{tuned}");
    assert_eq!(tuned.verdict, Verdict::Gain);
    assert_eq!(
        (
            tuned.grouping,
            tuned.folds,
            tuned.games,
            tuned.labels,
            tuned.matched
        ),
        (Grouping::Games, 5, 8, 80, 80)
    );
    let correction = tuned.decision.correction;
    assert!(
        correction.slow > 0.5 && correction.in_way == 0.0,
        "{correction:?}"
    );
    let text = tuned.to_string();
    for part in ["80 of 80 labels (100 %)", "Caution: fewer than 200", "Gain: "] {
        assert!(text.contains(part), "no `{part}` in {text}");
    }
}

#[test]
fn a_model_that_is_right_already_is_left_as_it_is() {
    let (rows, labels) = games(
        8,
        |is_screen| if is_screen { 0.8 } else { 0.1 },
        |_, k| (k % 3) as f32,
    );
    let tuned = tuned(rows, &labels);
    // More confidence would lower the log loss; it changes no row, so it is no gain.
    assert!(tuned.log_loss_gain.low > 0.0, "{tuned}");
    assert_eq!((tuned.before.f1, tuned.after.f1), (1.0, 1.0));
    assert_eq!(tuned.verdict, Verdict::NoGain);
    assert_eq!(tuned.decision.min_confidence, OWN.min_confidence);
    assert!(tuned.to_string().contains("No gain"), "{tuned}");
}

#[test]
fn a_limit_that_leaves_screens_out_comes_down() {
    let strict = ScreenDecision {
        min_confidence: 0.9,
        ..OWN
    };
    let (rows, labels) = games(8, |is_screen| if is_screen { 0.6 } else { 0.05 }, |_, _| 0.0);
    // Held so strongly the correction stays: the limit alone can help.
    let how = TuneParams {
        ridges: vec![1e6],
        ..TuneParams::default()
    };
    let tuned = tune_screens(rows, &labels, Family::OnBall, &strict, &how).unwrap();
    assert_eq!((tuned.before.f1, tuned.after.f1), (0.0, 1.0));
    assert_eq!(tuned.verdict, Verdict::Gain);
    // The nearest to 0.9 that leaves no screen of 0.6 out and takes none of 0.05 in.
    assert!((tuned.decision.min_confidence - 0.6).abs() < 1e-6, "{tuned}");
    // No handoff is labelled, so their limit stays.
    assert_eq!(tuned.decision.min_handoff_confidence, OWN.min_handoff_confidence);
}

#[test]
fn the_order_of_the_candidates_does_not_matter() {
    let (rows, labels) = games(
        7,
        |_| 0.5,
        |is_screen, k| if is_screen { 0.5 } else { (k % 3) as f32 - 1.0 },
    );
    let backward: Vec<Row> = rows.iter().rev().cloned().collect();
    assert_eq!(tuned(rows, &labels), tuned(backward, &labels));
}

#[test]
fn too_few_labels_with_a_candidate_are_refused_with_the_numbers() {
    let (mut rows, labels) = games(8, |_| 0.5, |_, _| 0.0);
    // Labels whose candidates are gone, as when their times do not fit the tracking.
    rows.retain(|row| row.label.is_none_or(|number| number < 30));
    let refused = tune_screens(rows, &labels, Family::OnBall, &OWN, &TuneParams::default()).unwrap_err();
    assert_eq!(
        refused,
        TuneError::TooFewScreens {
            family: Family::OnBall,
            found: 30,
            labelled: 80,
            needed: 60
        }
    );
    let text = refused.to_string();
    for part in ["30 of 80 labels", "needs 60", "do period, times and players"] {
        assert!(text.contains(part), "no `{part}` in {text}");
    }
    let (rows, labels) = games(1, |_| 0.5, |_, _| 0.0);
    let few = tune_screens(rows, &labels, Family::OffBall, &OWN, &TuneParams::default()).unwrap_err();
    assert!(few.to_string().starts_with("Off-ball screens"), "{few}");
}

#[test]
fn counts_are_those_worked_out_by_hand() {
    let at = |t_s: f64, two: [&str; 2], probability: f32| Row {
        t_s,
        t_use_s: t_s,
        ..row(0, 0, two, probability, 0.0)
    };
    let doubtful = Row {
        in_doubt: true,
        ..at(40.0, ["u", "s"], 0.9)
    };
    let rows = [
        at(10.0, ["u", "s"], 0.9),
        // The same two, turned round, 1.5 s later and less sure: not written.
        at(11.5, ["s", "u"], 0.8),
        // Written, for no label: 1.1 s from one.
        at(20.0, ["u", "s"], 0.9),
        // Not sure enough.
        at(30.0, ["u", "s"], 0.2),
        doubtful,
    ];
    let labels = Labels::of_whole_games([
        LabelledScreen {
            t_use_s: 10.9,
            ..label_of(&rows[0], Some(ScreenKind::BallScreen))
        },
        LabelledScreen {
            t_use_s: 21.1,
            ..label_of(&rows[2], Some(ScreenKind::BallScreen))
        },
        label_of(&rows[3], Some(ScreenKind::Handoff)),
        label_of(&rows[4], None),
    ]);
    let judged = Judged::new(&rows, &labels, Family::OnBall);
    let sure: Vec<f32> = rows.iter().map(|row| row.inputs.probability).collect();
    let counts = judged.by_possession(&sure, (0..rows.len()).filter(|&row| sure[row] >= 0.5));
    let expected = Counts {
        labels: 3,
        hits: 1,
        false_alarms: 1,
        in_doubt: 1,
    };
    assert_eq!(counts, [expected]);
    // 2·1 / (1 + 1 + 3).
    assert!((expected.f1() - 0.4).abs() < 1e-12);
    // One hit more and two false alarms more elsewhere: √(1·1.6² + 2·0.4²) / 5.
    let other = Counts {
        hits: 2,
        false_alarms: 3,
        ..expected
    };
    let error = 2.88_f64.sqrt() / 5.0;
    assert!((expected.f1_error_against(&other) - error).abs() < 1e-12);
}

#[test]
fn off_the_ball_a_screen_that_nobody_used_counts_neither_way() {
    let mut rows = [row(0, 0, ["u", "s"], 0.9, 0.0), row(0, 1, ["u", "s"], 0.9, 0.0)];
    let labels = Labels::of_whole_games([Outcome::Used, Outcome::Unused].into_iter().zip(&rows).map(
        |(outcome, row)| LabelledScreen {
            on_ball: false,
            outcome: Some(outcome),
            ..label_of(row, Some(ScreenKind::Down))
        },
    ));
    for (number, row) in rows.iter_mut().enumerate() {
        row.label = Some(number);
    }
    let judged = Judged::new(&rows, &labels, Family::OffBall);
    assert_eq!((judged.labels, judged.matched()), (1, 1));
    let counts = judged.by_possession(&[0.9, 0.9], 0..2);
    assert_eq!(
        (counts[0].hits, counts[1].in_doubt, counts[1].false_alarms),
        (1, 1, 0)
    );
}

#[test]
fn what_nobody_looked_at_is_neither_learned_from_nor_counted() {
    use scrim_score::{ScreenLabels, Windows};

    // Four candidates, 30 s apart; the first is labelled, and the first two were looked at.
    let rows: Vec<Row> = (0..4)
        .map(|possession| row(0, possession, ["u", "s"], 0.9, 0.0))
        .collect();
    let mut windows = Windows::default();
    windows.add(id("G0"), 1, (-1.5, 1.5));
    windows.add(id("G0"), 1, (28.5, 31.5));
    let labels = |windows| {
        Labels::of_folder(ScreenLabels {
            screens: vec![label_of(&rows[0], Some(ScreenKind::BallScreen))],
            games: vec![id("G0")],
            plain_only: [id("G0")].into(),
            windows,
            warnings: Vec::new(),
        })
    };
    let counts = |windows| {
        let labels = labels(windows);
        let mut rows = rows.clone();
        rows[0].label = Some(0);
        let judged = Judged::new(&rows, &labels, Family::OnBall);
        let mut all = Counts::default();
        for counts in judged.by_possession(&[0.9; 4], 0..4) {
            all.add(&counts);
        }
        (all.hits, all.false_alarms, all.in_doubt, judged.in_doubt)
    };
    assert_eq!(counts(windows), (1, 1, 2, vec![false, false, true, true]));
    assert_eq!(counts(Windows::default()), (1, 3, 0, vec![false; 4]));
}
