//! Writes the small tables of a whole season, for measuring the season's stage:
//!
//!     cargo run --release -p scrim-benches --example season_tables -- 1230 /tmp/season
//!     /usr/bin/time -v scrim season --tables /tmp/season
//!     /usr/bin/time -v scrim season --tables /tmp/season --pipeline pipelines/research.toml
//!
//! Thirty teams, each with sets of its own; 190 possessions a game, 80 ball screens. The rows' numbers are drawn from a fixed
//! seed; they have the shape and number of a real season's, not its meaning.
#![allow(clippy::print_stdout, reason = "a program for people")]

use std::collections::BTreeMap;

use scrim_floor::{Side, Zone};
use scrim_tables::ledger::{Part, PartStage};
use scrim_tables::rows::{
    CoverageRow, EntryRow, GameRow, OptionRow, PossessionRow, PullSampleRow, ScreenRow, SequenceRow,
};
use scrim_tables::tags::{
    Alignment, Coverage, EndKind, Entry, EntryRole, HandlerAction, HelperAction, OnBallPath, Outcome, Phase,
    ScreenKind, ScreenerAction,
};
use scrim_tables::{Id, LocalStore, Partition, Row, RunInfo, TakesRows};

const TEAMS: u64 = 30;
const POSSESSIONS: u32 = 190;

/// D. E. Knuth, The Art of Computer Programming 2, section 3.3.4, table 1, line 26.
struct Sequence(u64);

impl Sequence {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (self.0 >> 33) % n
    }

    fn pick<T: Copy>(&mut self, words: &[T]) -> T {
        words[self.below(words.len() as u64) as usize]
    }
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    let games: u64 = arguments
        .next()
        .and_then(|n| n.parse().ok())
        .expect("how many games");
    let root = arguments.next().expect("a folder");
    let store = LocalStore::new(&root);
    for number in 0..games {
        put_game(&store, number);
    }
    println!("{games} games in {root}");
}

#[derive(Default)]
struct Tables {
    possessions: Vec<PossessionRow>,
    screens: Vec<ScreenRow>,
    coverages: Vec<CoverageRow>,
    options: Vec<OptionRow>,
    entries: Vec<EntryRow>,
    sequences: Vec<SequenceRow>,
    pull_samples: Vec<PullSampleRow>,
}

fn put_game(store: &LocalStore, number: u64) {
    let mut sequence = Sequence(number.wrapping_mul(0x9E37_79B9_7F4A_7C15) + 1);
    let game_id: Id = format!("G{number:04}").into();
    let home = sequence.below(TEAMS);
    let away = (home + 1 + sequence.below(TEAMS - 1)) % TEAMS;
    let mut tables = Tables::default();
    for possession_id in 0..POSSESSIONS {
        let (ours, theirs) = if possession_id % 2 == 0 {
            (home, away)
        } else {
            (away, home)
        };
        possession(&mut tables, &mut sequence, &game_id, possession_id, ours, theirs);
    }
    let run = RunInfo {
        pipeline: "bench".into(),
        // About what a whole pipeline takes.
        parameters_toml: "# parameter of a stage, with its value\n".repeat(300),
        game_parameters_toml: String::new(),
        version: "0".into(),
    };
    let partition = Partition::new(Some("2041"), &game_id);
    let mut stage = PartStage::new(&run, Part::Game(partition));
    let day = number / 8;
    let game = GameRow {
        date: Some(format!("2041-{:02}-{:02}", 1 + day / 28, 1 + day % 28).into()),
        home_is_known: true,
        ..GameRow::on(&scrim_floor::Court::fiba(), game_id, [team(home), team(away)])
    };
    let added = [
        stage.add(&[game]),
        stage.add(&tables.possessions),
        stage.add(&tables.screens),
        stage.add(&tables.coverages),
        stage.add(&tables.options),
        stage.add(&tables.entries),
        stage.add(&tables.sequences),
        stage.add(&tables.pull_samples),
    ];
    added
        .into_iter()
        .collect::<Result<(), _>>()
        .expect("rows fit their columns");
    stage
        .publish(store, BTreeMap::new())
        .expect("the folder can be written");
}

fn team(number: u64) -> Id {
    format!("T{number:02}").into()
}

/// One possession: a set of the team's own (one of 12), which flows on in one of four ways.
fn possession(tables: &mut Tables, sequence: &mut Sequence, game_id: &Id, id: u32, ours: u64, theirs: u64) {
    let mut set = Sequence(ours * 1_000 + sequence.below(12));
    let is_half_court = sequence.below(5) > 0;
    let alignment = set.pick(Alignment::ALL);
    let mut chain: Vec<String> = Vec::new();
    let sides = ["left", "right", "middle"];
    let turn = sequence.below(2) == 0;
    let act = |chain: &mut Vec<String>, word: Entry, side: &str| {
        let side = match (side, turn) {
            ("left", true) => "right",
            ("right", true) => "left",
            _ => side,
        };
        chain.push(format!("{word}:{side}"));
    };
    for _ in 0..1 + set.below(3) {
        let (word, side) = (set.pick(&Entry::ALL[3..]), set.pick(&sides));
        act(&mut chain, word, side);
    }
    let mut befores = Vec::new();
    for _ in 0..sequence.below(4) {
        if sequence.below(3) == 0 {
            befores.push(chain.len());
            act(&mut chain, Entry::BallScreen, set.pick(&sides));
        } else {
            let (word, side) = (sequence.pick(&Entry::ALL[2..]), sequence.pick(&sides));
            act(&mut chain, word, side);
        }
    }
    let points = sequence.pick(&[0, 0, 0, 1, 2, 2, 3]);
    let t_start_s = f64::from(id) * 15.0;
    tables.possessions.push(PossessionRow {
        game_id: game_id.clone(),
        period: 1 + (id / 48) as u8,
        possession_id: id,
        t_start_s,
        t_end_s: t_start_s + 14.0,
        game_clock_start_s: Some(700.0),
        game_clock_end_s: Some(686.0),
        offense_team_id: team(ours),
        defense_team_id: team(theirs),
        attacks_positive_x: true,
        phase: if is_half_court {
            Phase::HalfCourt
        } else {
            Phase::Transition
        },
        end_kind: EndKind::ShotMissed,
        points: Some(points),
        alignment: Some(alignment),
        token_chain: if is_half_court {
            chain.join(" ")
        } else {
            String::new()
        },
        ball_screen_count: befores.len() as u16,
        clean: true,
        ..PossessionRow::blank()
    });
    if is_half_court {
        pull_samples(tables, sequence, game_id, id, ours);
        for before in befores {
            ball_screen(
                tables,
                sequence,
                game_id,
                id,
                ours,
                alignment,
                &chain[..before],
                t_start_s,
            );
        }
    }
}

/// One of four lineups of the team, and what its five drew.
fn pull_samples(tables: &mut Tables, sequence: &mut Sequence, game_id: &Id, possession_id: u32, ours: u64) {
    let first = 2 * sequence.below(4);
    let five: Vec<String> = (first..first + 5)
        .map(|number| format!("T{ours:02}-{number:02}"))
        .collect();
    let metres = |sequence: &mut Sequence| Some(sequence.below(100) as f32 / 100.0);
    for player in &five {
        tables.pull_samples.push(PullSampleRow {
            game_id: game_id.clone(),
            period: 1 + (possession_id / 48) as u8,
            possession_id,
            team_id: team(ours),
            player_id: player.as_str().into(),
            lineup: Some(five.join("/")),
            moving_s: 2.4,
            standing_s: 3.0,
            own_weight_s: 1.0 + sequence.below(20) as f32 / 10.0,
            own_moving_m: metres(sequence),
            own_standing_m: metres(sequence),
            own_lag_s: metres(sequence),
            own_late_moving_m: metres(sequence),
            own_late_standing_m: metres(sequence),
            others_weight_s: 1.0 + sequence.below(40) as f32 / 10.0,
            others_moving_m: metres(sequence),
            others_standing_m: metres(sequence),
            others_toward_moving_m: metres(sequence),
            others_toward_standing_m: metres(sequence),
        });
    }
}

#[expect(clippy::too_many_arguments, reason = "a writer of sample rows, called once")]
fn ball_screen(
    tables: &mut Tables,
    sequence: &mut Sequence,
    game_id: &Id,
    possession_id: u32,
    ours: u64,
    alignment: Alignment,
    before: &[String],
    t_start_s: f64,
) {
    let screen_id = tables.screens.len() as u32;
    let period = 1 + (possession_id / 48) as u8;
    let player = |sequence: &mut Sequence| -> Id { format!("T{ours:02}-{:02}", sequence.below(12)).into() };
    let (screener_id, user_id) = (player(sequence), player(sequence));
    tables.screens.push(ScreenRow {
        game_id: game_id.clone(),
        period,
        possession_id,
        screen_id,
        on_ball: true,
        screen_kind: ScreenKind::BallScreen,
        outcome: sequence.pick(Outcome::ALL),
        screener_id,
        user_id,
        t_set_s: Some(t_start_s + 6.0),
        t_use_s: t_start_s + 7.0,
        t_end_s: t_start_s + 8.0,
        x_m: 7.0,
        y_m: 1.0,
        zone: sequence.pick(&Zone::ALL),
        side: Side::Right,
        strong_side: true,
        confidence: 0.9,
        screener_speed_mps: 0.3,
        user_gap_m: 0.8,
        defender_gap_m: Some(0.9),
        angle_deg: Some(60.0),
        ..ScreenRow::blank()
    });
    let coverage = sequence.pick(Coverage::ALL);
    tables.coverages.push(CoverageRow {
        game_id: game_id.clone(),
        period,
        possession_id,
        screen_id,
        coverage,
        on_ball_path: sequence.pick(OnBallPath::ALL),
        helper_action: HelperAction::None,
        confidence: 0.8,
        depth_m: Some(2.0),
        beyond_m: Some(0.1),
        both_close_s: Some(0.2),
        on_ball_side_m: Some(0.1),
        ..CoverageRow::blank()
    });
    let (screener_action, handler_action) = (
        sequence.pick(ScreenerAction::ALL),
        sequence.pick(HandlerAction::ALL),
    );
    let has_shot = sequence.below(2) == 0;
    tables.options.push(OptionRow {
        game_id: game_id.clone(),
        period,
        possession_id,
        screen_id,
        screener_action,
        handler_action,
        shooter_id: has_shot.then(|| "shooter".into()),
        space_m: has_shot.then(|| sequence.below(40) as f32 / 10.0),
        ..OptionRow::blank()
    });
    let look = [alignment.to_string()].into_iter().chain(before.iter().cloned());
    let look = look.collect::<Vec<_>>().join(" ");
    // As if no side were turned: near enough for measuring.
    let set_key = look.clone();
    tables.entries.push(EntryRow {
        game_id: game_id.clone(),
        period,
        possession_id,
        screen_id,
        alignment: Some(alignment),
        look,
        set_key: set_key.clone(),
        entry: sequence.pick(Entry::ALL),
        entry_role: EntryRole::User,
        flow_gap_s: Some(1.2),
        screener_defender_gap_m: Some(1.0),
        handler_defender_gap_m: Some(1.0),
        screener_defender_late_s: Some(sequence.below(200) as f32 / 100.0),
        ..EntryRow::blank()
    });
    let run_index = tables
        .sequences
        .iter()
        .filter(|run| run.set_key == set_key && run.team_id == team(ours))
        .count() as u16;
    tables.sequences.push(SequenceRow {
        game_id: game_id.clone(),
        period,
        possession_id,
        team_id: team(ours),
        set_key,
        run_index,
        screen_id,
        coverage,
        option: format!("{screener_action}+{handler_action}"),
        points: Some(2),
        ..SequenceRow::blank()
    });
}
