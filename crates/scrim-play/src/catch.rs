//! Passes to the rim, caught there and put in (lobs), where the ball's height is not known.

use scrim_floor::Court;
use scrim_tracks::{Period, TeamSlot, TrackIx};

use crate::PeriodDirection;
use crate::flight::{flight_start, is_flat};
use crate::rim::RimVisit;
use crate::spell::Spell;

/// Who catches a ball at the rim is this near to it in the plane, metres: an arm's length.
const CATCH_M: f32 = 0.8;
/// How long they are that near, around the ball's arrival, s.
const CATCH_S: f64 = 0.24;

/// Adds a spell of control for each attacker who catches at the rim a ball that flies too flat for a shot. Control itself takes more time than
/// a lob leaves. Returns the arrivals that were caught.
pub(crate) fn add_catches(
    period: &Period,
    court: &Court,
    spells: &mut Vec<Spell>,
    visits: &[RimVisit],
    direction: Option<PeriodDirection>,
) -> Vec<usize> {
    let mut caught_at = Vec::new();
    let Some(direction) = direction else {
        return caught_at;
    };
    for visit in visits {
        let arrived = visit.frames.start;
        let Some(start) = flight_start(period, arrived) else {
            continue;
        };
        let Some(team) = TeamSlot::BOTH
            .into_iter()
            .find(|&team| direction.of(team) == visit.hoop)
        else {
            continue;
        };
        if !is_flat(period, court, start, arrived) {
            continue;
        }
        let before = spells.partition_point(|spell| spell.frames.start <= start);
        let thrower = before.checked_sub(1).map(|at| spells[at].track);
        let Some(track) = catcher(period, team, arrived).filter(|&track| Some(track) != thrower) else {
            continue;
        };
        let near = |frame: &usize| gap_m(period, track, *frame) <= CATCH_M;
        let from = (start + 1..arrived)
            .rev()
            .take_while(near)
            .last()
            .unwrap_or(arrived - 1);
        let caught = Spell {
            player: period.track(track).player,
            track,
            team,
            frames: from..arrived,
        };
        insert(spells, caught);
        caught_at.push(arrived);
    }
    caught_at
}

/// The attacker nearest to the ball as it arrives, if they stay within reach.
fn catcher(period: &Period, team: TeamSlot, arrived: usize) -> Option<TrackIx> {
    let end = (arrived + period.frames_in(CATCH_S)).min(period.frames);
    let lineup = period.lineup_at(arrived)?;
    lineup
        .of(team)
        .iter()
        .copied()
        // A place that is missing (NaN) is within nobody's reach.
        .filter(|&track| (arrived..end).all(|frame| gap_m(period, track, frame) <= CATCH_M))
        .min_by(|&a, &b| gap_m(period, a, arrived).total_cmp(&gap_m(period, b, arrived)))
}

fn gap_m(period: &Period, track: TrackIx, frame: usize) -> f32 {
    period.track(track).at(frame).distance_m(period.ball.at(frame))
}

/// Puts `spell` in its place and takes its frames out of the others.
fn insert(spells: &mut Vec<Spell>, spell: Spell) {
    for other in spells.iter_mut() {
        if other.frames.start < spell.frames.start {
            other.frames.end = other.frames.end.min(spell.frames.start);
        } else if other.frames.start < spell.frames.end {
            other.frames.start = other.frames.end.min(spell.frames.end);
        }
    }
    spells.retain(|other| !other.frames.is_empty());
    let at = spells.partition_point(|other| other.frames.start < spell.frames.start);
    spells.insert(at, spell);
}
