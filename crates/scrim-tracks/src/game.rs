//! A cleaned game: one contiguous array per entity and coordinate, all on one uniform grid.

use scrim_floor::{Court, CourtFrame, Point, Vector};
use scrim_tables::Id;

use crate::event::Event;
use crate::player::{Player, PlayerIx, TeamSlot};

/// Who, when, where.
#[derive(Debug, Clone, PartialEq)]
pub struct GameInfo {
    /// The game's id, as the source spells it.
    pub game_id: Id,
    /// As the source spells it.
    pub season: Option<Id>,
    /// ISO 8601 day.
    pub date: Option<Id>,
    /// The two teams: home first when the `games` side table says which is home, else by id.
    pub team_ids: [Id; 2],
    /// Whether `team_ids[0]` is known to be the home team.
    pub home_is_known: bool,
    /// The court.
    pub court: Court,
    /// Seconds into the video at each period's first frame, period 1 first; `None` where not known.
    pub video_offset_s: Vec<Option<f64>>,
}

/// A game on a uniform grid. Frame `k` of a period is the instant `k / hz` from the period's first frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Game {
    /// Who, when, where.
    pub info: GameInfo,
    /// Sorted by team, then id. [`PlayerIx`] counts along this list.
    pub players: Vec<Player>,
    /// Ascending by number.
    pub periods: Vec<Period>,
    /// The events in time order, each with `t_s` known where the clocks allow it; `None` when the source has none.
    pub events: Option<Vec<Event>>,
}

impl Game {
    /// The player at `ix`.
    pub fn player(&self, ix: PlayerIx) -> &Player {
        &self.players[ix.index()]
    }

    /// The team's id.
    pub fn team_id(&self, team: TeamSlot) -> &Id {
        &self.info.team_ids[team.index()]
    }
}

/// One period on the grid. All arrays have [`Period::frames`] entries; NaN is "missing", in both coordinates at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Period {
    /// From 1.
    pub number: u8,
    /// Frames a second of the grid.
    pub hz: f64,
    /// How many frames.
    pub frames: usize,
    /// Game clock, remaining; NaN where not known.
    pub game_clock_s: Vec<f32>,
    /// Shot clock, remaining; NaN where not known.
    pub shot_clock_s: Vec<f32>,
    /// A track a player who is on the floor in this period at some time, ascending by player.
    pub tracks: Vec<Track>,
    /// The ball.
    pub ball: BallTrack,
    /// Who is on the floor, span by span: the spans tile the period.
    pub lineups: Vec<Lineup>,
    /// Whether play is live at the frame (not a stopped clock, everyone walking, a free-throw line-up).
    pub live: Vec<bool>,
    /// Whether someone on the floor is missing, a team has not five there, or an exchange of identities was repaired or is likely
    /// within 0.2 s. Removed spikes and filled gaps of up to a second are no faults.
    pub faulty: Vec<bool>,
}

impl Period {
    /// The instant of a frame, seconds from the period's first.
    pub fn t_s(&self, frame: usize) -> f64 {
        frame as f64 / self.hz
    }

    /// The frame nearest to an instant, within the period.
    pub fn frame_at(&self, t_s: f64) -> usize {
        ((t_s * self.hz).round().max(0.0) as usize).min(self.frames.saturating_sub(1))
    }

    /// How many frames last `seconds`, rounded, at least 1.
    pub fn frames_in(&self, seconds: f64) -> usize {
        ((seconds * self.hz).round() as usize).max(1)
    }

    /// The track at a place.
    #[inline]
    pub fn track(&self, ix: TrackIx) -> &Track {
        &self.tracks[ix.index()]
    }

    /// The span of the line-up at `frame`.
    pub fn lineup_at(&self, frame: usize) -> Option<&Lineup> {
        let after = self.lineups.partition_point(|span| span.start <= frame);
        self.lineups[..after].last().filter(|span| frame < span.end)
    }
}

/// Who is on the floor from `start` (inside) to `end` (outside), frames.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lineup {
    /// First frame.
    pub start: usize,
    /// One past the last frame.
    pub end: usize,
    /// The tracks of each team's players, ascending; normally five.
    pub on_floor: [Vec<TrackIx>; 2],
}

impl Lineup {
    /// The tracks of a team's players.
    pub fn of(&self, team: TeamSlot) -> &[TrackIx] {
        &self.on_floor[team.index()]
    }
}

/// A track's place in [`Period::tracks`]: no player of the game, and no frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct TrackIx(pub u16);

impl TrackIx {
    /// Place in arrays.
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

/// One player's track: smoothed place and velocity in the court frame. NaN is "missing"; a velocity is also missing
/// where a run of samples is too short to give one.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// Whose.
    pub player: PlayerIx,
    /// Their team.
    pub team: TeamSlot,
    /// Along the court.
    pub x_m: Vec<f32>,
    /// Across the court.
    pub y_m: Vec<f32>,
    /// Velocity along the court, from the same filter as the place.
    pub vx_mps: Vec<f32>,
    /// Velocity across the court, from the same filter as the place.
    pub vy_mps: Vec<f32>,
}

impl Track {
    /// A track of these places, whose velocities are not known yet.
    pub(crate) fn of_places(player: PlayerIx, team: TeamSlot, [x_m, y_m]: [Vec<f32>; 2]) -> Self {
        let unset = vec![f32::NAN; x_m.len()];
        Self {
            player,
            team,
            x_m,
            y_m,
            vx_mps: unset.clone(),
            vy_mps: unset,
        }
    }

    /// The place at `frame`; not finite when missing.
    pub fn at(&self, frame: usize) -> Point<CourtFrame> {
        Point::new(self.x_m[frame], self.y_m[frame])
    }

    /// The velocity at `frame`; not finite when missing.
    pub fn velocity_at(&self, frame: usize) -> Vector<CourtFrame> {
        Vector::new(self.vx_mps[frame], self.vy_mps[frame])
    }
}

/// The ball's track, court frame; NaN is "missing". Lightly smoothed in the plane, for a bounce or a catch bends it in
/// one frame; the height is as the source gave it.
#[derive(Debug, Clone, PartialEq)]
pub struct BallTrack {
    /// Along the court.
    pub x_m: Vec<f32>,
    /// Across the court.
    pub y_m: Vec<f32>,
    /// Height; NaN where not known.
    pub z_m: Vec<f32>,
    /// Velocity along the court.
    pub vx_mps: Vec<f32>,
    /// Velocity across the court.
    pub vy_mps: Vec<f32>,
    /// Whether any height is known in this period.
    pub has_height: bool,
}

impl BallTrack {
    /// The place at `frame`; not finite when missing.
    pub fn at(&self, frame: usize) -> Point<CourtFrame> {
        Point::new(self.x_m[frame], self.y_m[frame])
    }
}
