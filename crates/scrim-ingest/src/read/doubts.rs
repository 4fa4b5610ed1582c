//! What makes a game's data doubtful as a whole, and no single row: a file cut short, side tables that say otherwise.

use std::collections::BTreeMap;

use scrim_tables::Id;
use scrim_tracks::{PlayerIx, RawGame, RawPeriod, RawTrack};

use crate::names::{NameIx, Names};
use crate::side_tables::SideTables;

/// Where the clocks of the other periods end, a period is over, s. Common practice, no source.
const OVER_S: f32 = 5.0;
/// A clock that ends above this, where the others end below [`OVER_S`], was cut off, s. Common practice, no source.
const CUT_OFF_S: f32 = 20.0;
/// Without a clock: a period shorter than this share of the middle one was cut off. An overtime of 5 minutes has 0.4 to 0.5
/// of a period of 12 or 10, and is less often stopped.
const SHORT_SHARE: f64 = 0.3;

/// Players this near to each other are on one spot, m: less than a body's breadth.
const ONE_SPOT_M: f32 = 0.1;
/// So large a share of the instants in which both were seen makes it one track that stands twice.
const ONE_SPOT_SHARE: f64 = 0.95;
/// Fewer common instants say nothing.
const FEW_INSTANTS: u32 = 50;
/// Instants of a track looked at, a period, about.
const LOOKED_AT: usize = 100;

/// What is doubtful about a game, a sentence each.
pub(super) fn doubts(raw: &RawGame) -> Vec<String> {
    let mut found = cut_periods(&raw.periods);
    for (one, other) in pairs_on_one_spot(&raw.periods) {
        let [one, other] = [one, other].map(|who| &raw.players[usize::from(who.0)].id);
        found.push(format!(
            "players `{one}` and `{other}` are on one spot in all the time that both were seen: one of them is the other's copy"
        ));
    }
    found
}

/// What the `players` table and the tracking say of the players against each other.
pub(super) fn roster_doubts(
    players: &[(NameIx, NameIx)],
    team_ids: [NameIx; 2],
    two_teams: &[NameIx],
    side: &SideTables,
    names: &Names,
) -> Vec<String> {
    let list = |of: Vec<NameIx>| {
        let mut ids: Vec<&Id> = of.into_iter().map(|player| names.name(player)).collect();
        ids.sort();
        ids.dedup();
        let shown: Vec<String> = ids.iter().take(5).map(|id| format!("`{id}`")).collect();
        let more = ids.len() - shown.len();
        let and = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        (!shown.is_empty()).then(|| format!("{}{and}", shown.join(", ")))
    };
    let mut found = Vec::new();
    if let Some(who) = list(two_teams.to_vec()) {
        found.push(format!(
            "the tracking has {who} in both teams: one team's rows of each are refused"
        ));
    }
    let in_both = players
        .iter()
        .map(|(_, player)| *player)
        .filter(|player| team_ids.iter().all(|team| side.player(*team, *player).is_some()));
    if let Some(who) = list(in_both.collect()) {
        found.push(format!("the `players` table has {who} in both teams"));
    }
    let elsewhere = players
        .iter()
        .filter(|(team, player)| side.player(*team, *player).is_none() && side.has_player(*player))
        .map(|(_, player)| *player);
    if let Some(who) = list(elsewhere.collect()) {
        found.push(format!(
            "the `players` table has {who} in another team than the tracking: the tracking's counts"
        ));
    }
    found
}

fn cut_periods(periods: &[RawPeriod]) -> Vec<String> {
    let mut found = Vec::new();
    if periods.len() < 2 {
        return found;
    }
    let end = |period: &RawPeriod| {
        let shown = |clock: &scrim_tracks::ClockSample| Some(clock.game_clock_s).filter(|s| !s.is_nan());
        period.clocks.iter().rev().find_map(shown)
    };
    for (at, period) in periods.iter().enumerate() {
        let others = || {
            periods
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != at)
                .map(|(_, other)| other)
        };
        let ends: Option<Vec<f32>> = others().map(end).collect();
        let doubt = match (end(period), ends) {
            (Some(end), Some(ends)) => {
                let is_cut = end > CUT_OFF_S && ends.iter().all(|end| *end <= OVER_S);
                is_cut.then(|| format!("the game clock stands at {end:.0} s at the end of period {}, and below {OVER_S} s at the end of all others", period.number))
            }
            _ => {
                let mut lengths: Vec<f64> = others().map(length_s).collect();
                lengths.sort_by(f64::total_cmp);
                let (length, middle) = (length_s(period), lengths[lengths.len() / 2]);
                (length < SHORT_SHARE * middle).then(|| {
                    format!(
                        "period {} has {length:.0} s, and the others about {middle:.0} s",
                        period.number
                    )
                })
            }
        };
        found.extend(doubt.map(|doubt| format!("{doubt}: the tracking may be cut short")));
    }
    found
}

/// Up to the last instant of any track, s.
fn length_s(period: &RawPeriod) -> f64 {
    let players = period.players.iter().filter_map(|track| track.t_s.last());
    players.chain(period.ball.t_s.last()).copied().fold(0.0, f64::max)
}

/// Pairs of players who are on one spot all the time that both were seen.
fn pairs_on_one_spot(periods: &[RawPeriod]) -> Vec<(PlayerIx, PlayerIx)> {
    let mut seen: BTreeMap<(PlayerIx, PlayerIx), (u32, u32)> = BTreeMap::new();
    for period in periods {
        for (at, one) in period.players.iter().enumerate() {
            for other in &period.players[at + 1..] {
                let (together, both) = seen.entry((one.who, other.who)).or_default();
                add_common(one, other, together, both);
            }
        }
    }
    let is_one = |(together, both): (u32, u32)| {
        both >= FEW_INSTANTS && f64::from(together) >= ONE_SPOT_SHARE * f64::from(both)
    };
    seen.into_iter()
        .filter(|(_, counts)| is_one(*counts))
        .map(|(pair, _)| pair)
        .collect()
}

fn add_common(one: &RawTrack<PlayerIx>, other: &RawTrack<PlayerIx>, together: &mut u32, both: &mut u32) {
    let step = one.t_s.len() / LOOKED_AT + 1;
    let mut next = 0;
    for i in (0..one.t_s.len()).step_by(step) {
        let order = |t_s: &f64| t_s.total_cmp(&one.t_s[i]);
        // Two who are seen together go on together: the next instant is as far ahead in the one as in the other.
        let is_there = other.t_s.get(next).is_some_and(|t_s| order(t_s).is_eq());
        let j = if is_there {
            Ok(next)
        } else {
            other.t_s.binary_search_by(order)
        };
        let Ok(j) = j else { continue };
        next = j + step;
        *both += 1;
        let apart_m = (one.x_m[i] - other.x_m[j]).hypot(one.y_m[i] - other.y_m[j]);
        *together += u32::from(apart_m <= ONE_SPOT_M);
    }
}
