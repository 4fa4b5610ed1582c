//! Where possessions begin and end.
//!
//! A period falls into chunks of play: from where the ball comes alive (or a basket was made) to where it goes dead,
//! is made, or the period ends. Inside a chunk a possession lasts until the other team controls; before a chunk the
//! throw-in belongs to the possession it starts.

use std::ops::Range;

use scrim_tracks::{Period, TeamSlot};

use crate::ShotResult;
use crate::attempt::Attempt;
use crate::control::ControlRule;
use crate::spell::Spell;

/// Stops of play shorter than this are a flicker of the clock, s.
const MIN_DEAD_S: f64 = 0.6;
/// Longest time the ball is at the disposal of the player who throws in, s (FIBA Official Basketball Rules, Art. 17; NBA
/// Official Rules, Rule 8).
const THROW_IN_S: f64 = 5.0;
/// Longest flight of a throw-in, s.
const THROW_IN_FLIGHT_S: f64 = 2.0;

/// A possession's bare bones.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stretch {
    pub team: TeamSlot,
    pub frames: Range<usize>,
    pub ended: Ended,
}

/// What ended a stretch, as far as the tracks show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ended {
    /// A field goal went in.
    Made,
    /// The other team took the ball.
    OtherTeam,
    /// Play stopped.
    Stopped,
    /// The period's frames ran out.
    PeriodOver,
}

/// A piece of play between two cuts.
#[derive(Debug, Clone, PartialEq)]
struct Chunk {
    frames: Range<usize>,
    /// Start of the stopped time before it, if it begins with the ball coming alive.
    dead_from: Option<usize>,
    /// The team that has just scored, if it begins with a made basket.
    scored: Option<TeamSlot>,
    ended: Ended,
    /// The team whose basket ends it.
    scorer: Option<TeamSlot>,
}

/// Possessions of a period, in time order; they do not overlap.
pub(crate) fn find_stretches(
    period: &Period,
    spells: &[Spell],
    attempts: &[Attempt],
    rule: &ControlRule,
) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for chunk in chunks(period, attempts) {
        let floor = stretches.last().map_or(0, |last| last.frames.end);
        add_stretches(period, spells, attempts, rule, &chunk, floor, &mut stretches);
    }
    stretches
}

/// Cuts the period at stops of play and at made field goals.
fn chunks(period: &Period, attempts: &[Attempt]) -> Vec<Chunk> {
    let mut made = attempts
        .iter()
        .filter(|attempt| !attempt.free_throw && attempt.result == ShotResult::Made)
        .map(|attempt| (attempt.decided + 1, attempt.team))
        .collect::<Vec<_>>();
    made.sort_by_key(|&(frame, _)| frame);
    let mut chunks = Vec::new();
    let mut dead_until = 0;
    let mut dead_from = None;
    for live in live_spans(period) {
        if live.start > dead_until {
            dead_from = Some(dead_until);
        }
        dead_until = live.end;
        let mut start = live.start;
        let mut scored = None;
        // A basket whose whistle came with it is decided in the dead time just after: it belongs here too.
        let slack = period.frames_in(1.0);
        for &(frame, team) in &made {
            if frame <= start || frame > live.end + slack {
                continue;
            }
            let end = frame.min(live.end);
            if end <= start {
                continue;
            }
            chunks.push(Chunk {
                frames: start..end,
                dead_from: dead_from.take(),
                scored,
                ended: Ended::Made,
                scorer: Some(team),
            });
            start = end;
            scored = Some(team);
        }
        if start < live.end {
            let ended = if live.end == period.frames {
                Ended::PeriodOver
            } else {
                Ended::Stopped
            };
            chunks.push(Chunk {
                frames: start..live.end,
                dead_from: dead_from.take(),
                scored,
                ended,
                scorer: None,
            });
        }
    }
    chunks
}

/// Spans of live play, stops shorter than the parameter passed over.
fn live_spans(period: &Period) -> Vec<Range<usize>> {
    let min_dead = period.frames_in(MIN_DEAD_S);
    let mut spans: Vec<Range<usize>> = Vec::new();
    let mut frame = 0;
    while frame < period.frames {
        if !period.live[frame] {
            frame += 1;
            continue;
        }
        let start = frame;
        while frame < period.frames && period.live[frame] {
            frame += 1;
        }
        match spans.last_mut() {
            Some(last) if start - last.end < min_dead => last.end = frame,
            _ => spans.push(start..frame),
        }
    }
    spans
}

/// Control of one team, spell after spell, inside a chunk.
#[derive(Debug, Clone, Copy)]
struct Run {
    team: TeamSlot,
    start: usize,
    end: usize,
    /// Frames of control in it.
    held: usize,
}

fn add_stretches(
    period: &Period,
    spells: &[Spell],
    attempts: &[Attempt],
    rule: &ControlRule,
    chunk: &Chunk,
    floor: usize,
    stretches: &mut Vec<Stretch>,
) {
    let first = spells.partition_point(|spell| spell.frames.end <= chunk.frames.start);
    let after = spells.partition_point(|spell| spell.frames.start < chunk.frames.end);
    let mut runs: Vec<Run> = Vec::new();
    for spell in &spells[first..after] {
        let start = spell.frames.start.max(chunk.frames.start);
        let end = spell.frames.end.min(chunk.frames.end);
        // The ball that drops from the net lies within the scorers' reach: they do not throw in.
        if runs.is_empty() && chunk.scored == Some(spell.team) {
            continue;
        }
        match runs.last_mut() {
            Some(run) if run.team == spell.team => {
                run.end = end;
                run.held += end - start;
            }
            _ => runs.push(Run {
                team: spell.team,
                start,
                end,
                held: end - start,
            }),
        }
    }
    drop_deflections(period, attempts, rule, &mut runs);
    if let (Some(team), Some(last)) = (chunk.scorer, runs.last())
        && last.team != team
    {
        // The basket shows whose ball it was; a tip needs no spell of control.
        let start = last.end.min(chunk.frames.end - 1);
        runs.push(Run {
            team,
            start,
            end: chunk.frames.end,
            held: 0,
        });
    }
    let count = runs.len();
    for (at, run) in runs.iter().enumerate() {
        let mut start = run.start;
        if at == 0
            && let Some(dead_from) = chunk.dead_from
        {
            let from = dead_from.max(floor);
            start = throw_in_start(period, spells, attempts, run, from..chunk.frames.start);
        }
        let (end, ended) = if at + 1 < count {
            (runs[at + 1].start, Ended::OtherTeam)
        } else {
            (chunk.frames.end, chunk.ended)
        };
        if end > start {
            stretches.push(Stretch {
                team: run.team,
                frames: start..end,
                ended,
            });
        }
    }
}

/// Takes out runs of one team that were only a deflection between two of the other.
fn drop_deflections(period: &Period, attempts: &[Attempt], rule: &ControlRule, runs: &mut Vec<Run>) {
    let least = period.frames_in(rule.min_team_control_s);
    let mut at = 1;
    while at + 1 < runs.len() {
        let run = runs[at];
        let shot = attempts
            .iter()
            .any(|attempt| attempt.team == run.team && (run.start..=run.end).contains(&attempt.release));
        if run.held < least && !shot {
            let next = runs[at + 1];
            runs[at - 1].end = next.end;
            runs[at - 1].held += next.held;
            runs.drain(at..=at + 1);
            at = at.saturating_sub(1).max(1);
        } else {
            at += 1;
        }
    }
}

/// Where the possession that opens a chunk begins: at the control of the player who throws in, at most the throw-in's
/// five seconds before they let go; at the first control when there is none.
fn throw_in_start(
    period: &Period,
    spells: &[Spell],
    attempts: &[Attempt],
    run: &Run,
    dead: Range<usize>,
) -> usize {
    // A free throw in this dead time is no part of it.
    let from = attempts
        .iter()
        .filter(|attempt| attempt.free_throw && dead.contains(&attempt.release))
        .map(|attempt| attempt.decided + 1)
        .fold(dead.start, usize::max);
    // The thrower's is the last spell that began in the dead time; what was held before it is nobody's possession.
    let before = spells.partition_point(|spell| spell.frames.start < dead.end);
    let thrower = spells[..before].last().filter(|spell| {
        spell.team == run.team
            && spell.frames.end > from
            && spell.frames.end + period.frames_in(THROW_IN_FLIGHT_S) >= dead.end
    });
    thrower.map_or(run.start, |spell| {
        let earliest = spell.frames.end.saturating_sub(period.frames_in(THROW_IN_S));
        run.start.min(spell.frames.start.max(from).max(earliest))
    })
}
