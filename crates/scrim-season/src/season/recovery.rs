//! Seasons drawn from known truth: what the tables say against what generated them.

use scrim_floor::Definitions;
use std::collections::BTreeMap;

use scrim_tables::Id;
use scrim_tables::tags::{Alignment, Coverage, Entry, Grouping, HandlerAction, RunResult, TeamSide};

use super::*;
use crate::staging::{Staged, What};

const TEAMS: usize = 8;
const SETS: usize = 12;
const GAMES: usize = 120;
const POSSESSIONS: usize = 180;

/// D. E. Knuth, The Art of Computer Programming 2, section 3.3.4, table 1, line 26.
struct Draw(u64);

impl Draw {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn below(&mut self, n: usize) -> usize {
        (self.share() * n as f64) as usize
    }
}

/// How likely a team's set becomes a ball screen.
fn true_flow(team: usize, set: usize) -> f64 {
    [0.15, 0.25, 0.35, 0.5, 0.65, 0.85][(team + set) % 6]
}

/// How likely a team drives (else it passes) in the run after one in which its last option met that coverage with that result.
fn true_drive(team: usize, coverage: Coverage, result: RunResult) -> f64 {
    let cell = coverage as usize * 2 + usize::from(result == RunResult::Beat);
    [0.2, 0.35, 0.5, 0.65, 0.8][(team + cell) % 5]
}

fn look_of(team: usize, set: usize) -> (Alignment, Entry) {
    (Alignment::ALL[set % 8], Entry::ALL[3 + (set * 5 + team) % 15])
}

fn team(number: usize) -> String {
    format!("t{number}")
}

fn season(seed: u64) -> Vec<GameFacts> {
    let mut draw = Draw(seed);
    (0..GAMES)
        .map(|number| {
            let date = format!("2041-{:02}-{:02}", 1 + number / 28, 1 + number % 28);
            let mut staged = Staged::new(&format!("g{number:03}"), Some(&date));
            let home = draw.below(TEAMS);
            let away = (home + 1 + draw.below(TEAMS - 1)) % TEAMS;
            let mut last: BTreeMap<(usize, usize), (Coverage, RunResult)> = BTreeMap::new();
            for possession in 0..POSSESSIONS {
                let [ours, theirs] = if possession % 2 == 0 {
                    [home, away]
                } else {
                    [away, home]
                };
                let set = draw.below(SETS);
                let (alignment, entry) = look_of(ours, set);
                let (this, other) = if draw.share() < 0.5 {
                    ("left", "right")
                } else {
                    ("right", "left")
                };
                let flow = draw.share() / true_flow(ours, set);
                let next = match draw.share() {
                    _ if flow < 1.0 => format!(" ball_screen:{this}"),
                    share if share < 0.5 => format!(" flare:{other}"),
                    share if share < 0.75 => format!(" handoff:{this}"),
                    _ => String::new(),
                };
                let coverage = [Coverage::Drop, Coverage::Switch][draw.below(2)];
                let drives = match last.get(&(ours, set)) {
                    Some((coverage, result)) => draw.share() < true_drive(ours, *coverage, *result),
                    None => draw.share() < 0.5,
                };
                let (result, points) = if draw.share() < 0.45 {
                    (RunResult::Beat, 2)
                } else {
                    (RunResult::Beaten, 0)
                };
                if flow < 1.0 {
                    last.insert((ours, set), (coverage, result));
                }
                let what = What {
                    coverage,
                    handler_action: if drives {
                        HandlerAction::Drive
                    } else {
                        HandlerAction::Pass
                    },
                    entry,
                    ..What::default()
                };
                let look = format!("{alignment} {entry}:{this}{next}");
                staged = staged.possession_of([&team(ours), &team(theirs)], &look, Some(points), what);
            }
            staged.done()
        })
        .collect()
}

/// What of `of` lies inside its bounds, and all of them.
#[derive(Default)]
struct Inside(u32, u32);

impl Inside {
    fn add(&mut self, truth: f64, low: f32, high: f32) {
        self.0 += u32::from((f64::from(low)..=f64::from(high)).contains(&truth));
        self.1 += 1;
    }

    fn share(&self) -> f64 {
        f64::from(self.0) / f64::from(self.1)
    }
}

#[test]
fn true_rates_lie_inside_their_bounds_as_often_as_promised_and_surprise_is_calibrated() {
    let (mut flows, mut counters) = (Inside::default(), Inside::default());
    // By true rate: sum of (mean surprise − truth) over looks, and looks.
    let mut gaps: BTreeMap<u64, (f64, u32)> = BTreeMap::new();
    for seed in 1..=8 {
        let mut games = season(seed);
        let tables = build_season(&mut games, &SeasonParams::default(), &Definitions::DEFAULT);
        let rows = tables
            .tendencies
            .iter()
            .filter(|row| row.side == TeamSide::Offense && row.grouping == Grouping::Look && row.n >= 20);
        let mut keys: BTreeMap<(Id, String), f64> = BTreeMap::new();
        for number in 0..TEAMS {
            for set in 0..SETS {
                let (alignment, entry) = look_of(number, set);
                let key = (team(number).into(), format!("{alignment} {entry}:right"));
                keys.insert(key, true_flow(number, set));
            }
        }
        for row in rows {
            if let Some(truth) = keys.get(&(row.team_id.clone(), row.key.clone())) {
                flows.add(*truth, row.rate_low, row.rate_high);
            }
        }
        for row in &tables.counters {
            let number = row.team_id.as_ref().and_then(|id| id[1..].parse::<usize>().ok());
            if let Some(number) = number
                && row.side == TeamSide::Offense
                && row.option == crate::ANY_OPTION
                && row.next == "roll+drive"
                && row.n >= 20
            {
                counters.add(
                    true_drive(number, row.coverage, row.result),
                    row.rate_low,
                    row.rate_high,
                );
            }
        }
        // Surprise: all ball screens of a look from the fiftieth time on that the look was seen.
        let mut seen: BTreeMap<(Id, String), (u32, f64, u32)> = BTreeMap::new();
        games.sort_by(|a, b| a.date.cmp(&b.date));
        for game in &games {
            let mut play = game.plays.iter().peekable();
            for (place, possession) in game.possessions.iter().enumerate() {
                let entry = scrim_tables::chain::merged(&possession.chain).next();
                let key = entry
                    .map(|entry| format!("{} {entry}", possession.alignment))
                    .unwrap_or_default();
                let of_look = seen.entry((possession.offense.clone(), key)).or_default();
                of_look.0 += 1;
                while let Some(play) = play.next_if(|play| play.possession == place) {
                    if let Some(bits) = play.disguise.surprise_bits.filter(|_| of_look.0 > 50) {
                        of_look.1 += f64::from(bits);
                        of_look.2 += 1;
                    }
                }
            }
        }
        for (key, (_, bits, n)) in seen {
            let truth = keys[&key];
            if n > 0 {
                let gap = gaps.entry((truth * 100.0) as u64).or_default();
                gap.0 += bits / f64::from(n) + truth.log2();
                gap.1 += 1;
            }
        }
    }
    println!(
        "flows {} of {}, counters {} of {}",
        flows.0, flows.1, counters.0, counters.1
    );
    assert!(
        flows.1 > 700 && (0.93..=0.97).contains(&flows.share()),
        "{}",
        flows.share()
    );
    assert!(
        counters.1 > 200 && (0.92..=0.98).contains(&counters.share()),
        "{}",
        counters.share()
    );
    for (percent, (sum, looks)) in gaps {
        let gap = sum / f64::from(looks);
        println!("true rate {percent} %: mean surprise off by {gap:+.3} bits over {looks} looks");
        assert!(
            looks > 50 && gap.abs() < 0.15,
            "true rate {percent} %: {gap:+.3} bits"
        );
    }
}
