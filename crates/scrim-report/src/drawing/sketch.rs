//! What stands and moves in one frame, in the attack frame.

use scrim_floor::{AttackFrame, Vector};
use scrim_season::words::Names;
use scrim_tables::Id;
use scrim_tables::rows::{ScreenRow, TouchRow};
use scrim_tables::tags::{Entity, Outcome, TouchEnd};

use super::tracks::{PlayTracks, Spot, Trace};
use super::{Moment, line};
use crate::plays::ScreenPlay;

/// Radius of an attacker's circle, m: 2.5 mm on a drawing of 6 cm.
pub(super) const CIRCLE_M: f32 = 0.62;
/// A route that ends nearer to its start is not drawn, m: what is left beside the circle would be an arrow's head alone.
/// Common practice, no source.
const SHORTEST_M: f32 = 1.4;
/// A screener's route into place shorter than this does not show which route they face, m. Common practice, no source.
const FACING_M: f32 = 0.8;
/// How far off a frame's start a player is looked for when they are not seen at it, samples.
const REACH: usize = 8;

/// An attacker.
#[derive(Debug, Clone)]
pub(crate) struct Attacker {
    pub(crate) player: Option<Id>,
    pub(crate) spot: Spot,
    pub(crate) label: String,
    pub(crate) has_ball: bool,
}

/// A defender.
#[derive(Debug, Clone)]
pub(crate) struct Defender {
    pub(crate) spot: Spot,
    /// The number of the player they guard.
    pub(crate) guards: Option<String>,
}

/// How a player moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Going {
    /// Without the ball.
    Cut,
    /// With it.
    Dribble,
    /// A defender of the two in the ball screen.
    Defends,
}

/// How a route ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum RouteEnd {
    /// The player goes on from there.
    Arrow,
    /// The player screens, facing along this direction of length 1.
    Bar(Vector<AttackFrame>),
}

/// A route.
#[derive(Debug, Clone)]
pub(crate) struct Route {
    pub(crate) player: Option<Id>,
    pub(crate) going: Going,
    /// Simplified; a single point is a player who screens on the spot.
    pub(crate) path: Vec<Spot>,
    pub(crate) end: RouteEnd,
}

/// The ball from one player to another.
#[derive(Debug, Clone)]
pub(crate) struct Pass {
    pub(crate) from: (Option<Id>, Spot),
    pub(crate) to: (Option<Id>, Spot),
    pub(crate) is_handoff: bool,
}

/// A frame.
#[derive(Debug, Clone)]
pub(crate) struct Sketch {
    pub(crate) moment: Moment,
    pub(crate) attackers: Vec<Attacker>,
    pub(crate) defenders: Vec<Defender>,
    pub(crate) routes: Vec<Route>,
    pub(crate) passes: Vec<Pass>,
    pub(crate) shot: Option<(Option<Id>, Spot)>,
}

/// One frame of a play, from `from_s` to `to_s`.
pub(crate) fn sketch_of(
    play: &ScreenPlay<'_>,
    tracks: &PlayTracks,
    names: &Names,
    (moment, from_s, to_s): (Moment, f64, f64),
) -> Sketch {
    let (first, last) = (tracks.sample_at(from_s), tracks.sample_at(to_s));
    let possession_id = play.screen.possession_id;
    let touches: Vec<&TouchRow> = play
        .game
        .touches
        .iter()
        .filter(|row| row.possession_id == possession_id)
        .collect();
    let screens: Vec<&ScreenRow> = play
        .game
        .screens
        .iter()
        .filter(|row| row.possession_id == possession_id && stands(row))
        // The ball screen itself is set as the frame before it ends: it is drawn in its own.
        .filter(|row| moment != Moment::Before || row.screen_id != play.screen.screen_id)
        .filter(|row| (from_s - 0.05..=to_s).contains(&row.t_set_s.unwrap_or(row.t_use_s)))
        .collect();
    let frame = Window {
        tracks,
        touches: &touches,
        screens: &screens,
        first,
        last,
    };
    let mut attackers = Vec::new();
    let mut routes = Vec::new();
    for (place, trace) in tracks.side(Entity::Offense).enumerate() {
        let Some(spot) = trace.near(first, REACH) else {
            continue;
        };
        let number = trace.player.as_ref().and_then(|player| names.number(player));
        attackers.push(Attacker {
            player: trace.player.clone(),
            spot,
            label: number.map_or_else(|| letter(place), Into::into),
            has_ball: frame.has_ball(trace, first),
        });
        frame.routes_of(trace, &mut routes);
    }
    let mut defenders = Vec::new();
    let in_it = [&play.screen.screener_defender_id, &play.screen.user_defender_id];
    for trace in tracks.side(Entity::Defense) {
        let Some(spot) = trace.near(first, REACH) else {
            continue;
        };
        let guarded = trace
            .player
            .as_ref()
            .and_then(|player| guarded_by(play, player, from_s));
        let label = guarded.and_then(|player| {
            attackers
                .iter()
                .find(|attacker| attacker.player.as_ref() == Some(player))
        });
        defenders.push(Defender {
            spot,
            guards: label.map(|attacker| attacker.label.clone()),
        });
        let is_in_it = trace.player.is_some() && in_it.contains(&&trace.player);
        if moment != Moment::Before && is_in_it {
            let path = frame.path(trace, first, last);
            if goes(&path) {
                routes.push(Route {
                    player: trace.player.clone(),
                    going: Going::Defends,
                    path,
                    end: RouteEnd::Arrow,
                });
            }
        }
    }
    let mut sketch = Sketch {
        moment,
        attackers,
        defenders,
        routes,
        passes: frame.passes(),
        shot: frame.shot(),
    };
    sketch.spread(&play.game.court());
    sketch
}

/// Whether a route leads somewhere: a dribble on the spot goes nowhere, however long its path is.
fn goes(path: &[Spot]) -> bool {
    match path {
        [first, .., last] => first.distance_m(*last) >= SHORTEST_M,
        _ => false,
    }
}

/// Whether the screener came to a stand, so that a bar may be drawn.
fn stands(row: &ScreenRow) -> bool {
    match row.outcome {
        Outcome::Used | Outcome::Rejected | Outcome::Flipped | Outcome::Unused => !row.early_denial,
        Outcome::Slipped | Outcome::Ghosted => false,
    }
}

/// An attacker without a short number gets a letter.
fn letter(place: usize) -> String {
    char::from(b'A' + (place % 26) as u8).to_string()
}

/// Whom the defender guards at that instant, as `matchups` has it.
fn guarded_by<'a>(play: &ScreenPlay<'a>, defender: &Id, t_s: f64) -> Option<&'a Id> {
    let rows = play.game.matchups.iter();
    rows.filter(|row| row.possession_id == play.screen.possession_id && row.defender_id == *defender)
        .find(|row| (row.t_start_s..=row.t_end_s).contains(&t_s))
        .map(|row| &row.offender_id)
}

/// One frame's span of the tracks, and what happens in it.
struct Window<'a> {
    tracks: &'a PlayTracks,
    touches: &'a [&'a TouchRow],
    screens: &'a [&'a ScreenRow],
    first: usize,
    last: usize,
}

impl Window<'_> {
    fn has_ball(&self, trace: &Trace, sample: usize) -> bool {
        let t_s = self.tracks.t_s(sample);
        let half_s = 0.5 / self.tracks.hz;
        self.touches.iter().any(|touch| {
            Some(&touch.player_id) == trace.player.as_ref()
                && (touch.t_start_s - half_s..=touch.t_end_s + half_s).contains(&t_s)
        })
    }

    /// The simplified path between two samples, what is not seen left out.
    fn path(&self, trace: &Trace, first: usize, last: usize) -> Vec<Spot> {
        let seen: Vec<Spot> = (first..=last).filter_map(|sample| trace.at(sample)).collect();
        line::simplified(&seen)
    }

    /// An attacker's routes: broken where they get or leave the ball, and where they screen.
    fn routes_of(&self, trace: &Trace, routes: &mut Vec<Route>) {
        let mut stops: Vec<(usize, Option<&ScreenRow>)> = self
            .screens
            .iter()
            .filter(|row| trace.player.as_ref() == Some(&row.screener_id))
            .map(|row| {
                let stop = self.tracks.sample_at(row.t_set_s.unwrap_or(row.t_use_s));
                (stop.clamp(self.first, self.last), Some(*row))
            })
            .collect();
        for sample in self.first + 1..=self.last {
            if self.has_ball(trace, sample) != self.has_ball(trace, sample - 1) {
                stops.push((sample, None));
            }
        }
        stops.push((self.last, None));
        // At one sample the screen comes first: the empty route after it is left out.
        stops.sort_by_key(|(sample, row)| (*sample, row.is_none()));
        let mut begin = self.first;
        for (stop, screen) in stops {
            let path = self.path(trace, begin, stop);
            let middle = begin.midpoint(stop);
            let going = if self.has_ball(trace, middle) {
                Going::Dribble
            } else {
                Going::Cut
            };
            match screen {
                Some(row) => {
                    let Some(end) = path.last().copied().or_else(|| trace.near(stop, REACH)) else {
                        continue;
                    };
                    let facing = self.facing(row, &path, end, stop);
                    routes.push(Route {
                        player: trace.player.clone(),
                        going,
                        path: if path.is_empty() { vec![end] } else { path },
                        end: RouteEnd::Bar(facing),
                    });
                    // The screener goes on from there once the screen was used.
                    let used = self.tracks.sample_at(row.t_use_s);
                    begin = used.clamp(stop, self.last);
                }
                None if stop > begin => {
                    if goes(&path) {
                        routes.push(Route {
                            player: trace.player.clone(),
                            going,
                            path,
                            end: RouteEnd::Arrow,
                        });
                    }
                    begin = stop;
                }
                None => {}
            }
        }
    }

    /// Where a screener faces: along the last step, or else toward the user.
    fn facing(&self, row: &ScreenRow, path: &[Spot], end: Spot, stop: usize) -> Vector<AttackFrame> {
        if line::length_m(path) >= FACING_M
            && let [.., before, at] = path
        {
            return (*at - *before).unit();
        }
        let user = self.tracks.of_player(&row.user_id);
        let toward = user
            .and_then(|trace| trace.near(stop, REACH))
            .map(|spot| (spot - end).unit());
        toward
            .filter(|direction| *direction != Vector::zero())
            .unwrap_or(Vector::new(1.0, 0.0))
    }

    fn spot_of(&self, player: &Id, t_s: f64) -> Option<Spot> {
        self.tracks
            .of_player(player)?
            .near(self.tracks.sample_at(t_s), REACH)
    }

    fn passes(&self) -> Vec<Pass> {
        let (from_s, to_s) = (self.tracks.t_s(self.first), self.tracks.t_s(self.last));
        self.touches
            .iter()
            .zip(self.touches.iter().skip(1))
            .filter(|(touch, _)| (from_s..to_s).contains(&touch.t_end_s))
            .filter_map(|(touch, next)| {
                let is_handoff = match touch.ended_by {
                    TouchEnd::Pass => false,
                    TouchEnd::Handoff => true,
                    TouchEnd::Shot | TouchEnd::Loss | TouchEnd::DeadBall => return None,
                };
                // Only to the player who has it next by the table.
                if touch.next_player_id.as_ref() != Some(&next.player_id) {
                    return None;
                }
                let from = self.spot_of(&touch.player_id, touch.t_end_s)?;
                let to = self.spot_of(&next.player_id, next.t_start_s)?;
                Some(Pass {
                    from: (Some(touch.player_id.clone()), from),
                    to: (Some(next.player_id.clone()), to),
                    is_handoff,
                })
            })
            .collect()
    }

    fn shot(&self) -> Option<(Option<Id>, Spot)> {
        let (from_s, to_s) = (self.tracks.t_s(self.first), self.tracks.t_s(self.last));
        let slack_s = 1.0 / self.tracks.hz;
        let touch = self.touches.iter().find(|touch| {
            touch.ended_by == TouchEnd::Shot && (from_s..=to_s + slack_s).contains(&touch.t_end_s)
        })?;
        let spot = self.spot_of(&touch.player_id, touch.t_end_s)?;
        Some((Some(touch.player_id.clone()), spot))
    }
}
