use super::*;
use crate::staging::{StagedScreen, play, possession, read, screens};
use crate::{Cost, FoundEntry};
use scrim_tables::tags::{Entry, EntryRole, Outcome, ScreenKind};
use scrim_tracks::TeamSlot::{self, First, Second};

/// A ball screen in the given possession.
fn staged(possession: usize) -> StagedScreen {
    StagedScreen {
        possession,
        kind: ScreenKind::BallScreen,
        screener: 1,
        user: 0,
        set_s: Some(2.0),
        use_s: 3.0,
        spot: (7.0, 1.0),
        outcome: Outcome::Used,
    }
}

fn flow(set_key: &str) -> ScreenFlow {
    ScreenFlow {
        look: set_key.into(),
        set_key: set_key.into(),
        entry: FoundEntry {
            action: None,
            entry: Entry::None,
            role: EntryRole::None,
            flow_gap_s: None,
        },
        cost: Cost::default(),
    }
}

/// A ball screen a possession: who attacks, in which phase, out of which set, how covered and used.
fn runs(possessions: &[(TeamSlot, Phase, &str, Coverage, ScreenerAction)]) -> Vec<SetRun> {
    let play = play(possessions.iter().map(|of| possession(of.0, of.1, 200)).collect());
    let screens = screens(&(0..possessions.len()).map(staged).collect::<Vec<_>>(), &[]);
    let reads: Vec<_> = possessions
        .iter()
        .map(|of| read(of.3, of.4, HandlerAction::Drive))
        .collect();
    let flows: Vec<_> = possessions.iter().map(|of| flow(of.2)).collect();
    find_runs(&play, &screens, &reads, &flows)
}

const HALF: Phase = Phase::HalfCourt;

#[test]
fn runs_count_by_team_and_set() {
    use Coverage::Drop;
    use ScreenerAction::Roll;
    let runs = runs(&[
        (First, HALF, "horns", Drop, Roll),
        (Second, HALF, "horns", Drop, Roll),
        (First, HALF, "box", Drop, Roll),
        (First, HALF, "horns", Drop, Roll),
        (Second, HALF, "horns", Drop, Roll),
    ]);
    let found: Vec<_> = runs
        .iter()
        .map(|run| (run.run_index, run.trips_since_last, run.is_back_to_back()))
        .collect();
    // The first team's horns on its possessions 0 and 2; the second's on its possessions 0 and 1.
    let expected = [
        (0, None, false),
        (0, None, false),
        (0, None, false),
        (1, Some(2), false),
        (1, Some(1), true),
    ];
    assert_eq!(found, expected);
}

#[test]
fn a_change_is_counted_against_the_last_run_and_not_where_it_cannot_be() {
    use Coverage::{Drop, Hedge, Unclear};
    use ScreenerAction::{Pop, Roll};
    let runs = runs(&[
        (First, HALF, "horns", Drop, Roll),
        (First, HALF, "horns", Hedge, Roll),
        (First, HALF, "horns", Unclear, Pop),
        (First, HALF, "horns", Hedge, ScreenerAction::Unclear),
        (First, HALF, "horns", Hedge, Pop),
    ]);
    let found: Vec<_> = runs
        .iter()
        .map(|run| (run.offense_changed, run.defense_changed))
        .collect();
    let expected = [
        (None, None),
        (Some(false), Some(true)),
        (Some(true), None),
        (None, None),
        (None, Some(false)),
    ];
    assert_eq!(found, expected);
}

#[test]
fn a_possession_in_transition_does_not_count_and_has_no_run() {
    use Coverage::Drop;
    use ScreenerAction::Roll;
    let runs = runs(&[
        (First, HALF, "horns", Drop, Roll),
        (First, Phase::Transition, "horns", Drop, Roll),
        (First, HALF, "horns", Drop, Roll),
    ]);
    assert_eq!(runs.iter().map(|run| run.screen).collect::<Vec<_>>(), [0, 2]);
    assert!(runs[1].is_back_to_back());
}
