//! What the stage finds, in frames (half-open spans) and player places.

use std::ops::Range;

use scrim_floor::{AttackDirection, AttackFrame, Point, ShotValue};
use scrim_tables::tags::{EndKind, Phase, TouchEnd};
use scrim_tracks::{PlayerIx, TeamSlot};

use crate::attempt::ShotResult;
use crate::direction::PeriodDirection;
use crate::spell::Spell;

/// Everything the stage found in a game, in time order. Indices into these lists are the ids of the tables.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Play {
    /// Possessions; the index is the possession's id.
    pub possessions: Vec<Possession>,
    /// Touches; the index is the touch's id. Those of one possession stand together.
    pub touches: Vec<Touch>,
    /// Field-goal attempts.
    pub shots: Vec<Shot>,
    /// Matchups; those of one possession stand together.
    pub matchups: Vec<Matchup>,
    /// Control of the ball, a list a period, each in time order without overlap. Dead time is in it too.
    pub control: Vec<Vec<Spell>>,
    /// Which hoop a team attacks, an entry a period.
    pub directions: Vec<PeriodDirection>,
}

/// One team's control until the other team's, a dead ball, or the period's end.
#[derive(Debug, Clone, PartialEq)]
pub struct Possession {
    /// Place in [`scrim_tracks::Game::periods`].
    pub period: usize,
    /// Frames of the period.
    pub frames: Range<usize>,
    /// Who has the ball.
    pub offense: TeamSlot,
    /// Which hoop they attack.
    pub direction: AttackDirection,
    /// Half court or transition.
    pub phase: Phase,
    /// First frame at which ball and four attackers are past half court.
    pub half_court: Option<usize>,
    /// How it ended.
    pub end_kind: EndKind,
    /// Points scored, when known.
    pub points: Option<u8>,
    /// Whether the points were inferred from the ball.
    pub points_inferred: bool,
    /// No tracking fault inside.
    pub clean: bool,
    /// Its touches, as a span of [`Play::touches`].
    pub touches: Range<usize>,
    /// Its shots, as a span of [`Play::shots`].
    pub shots: Range<usize>,
    /// Its matchups, as a span of [`Play::matchups`].
    pub matchups: Range<usize>,
}

impl Possession {
    /// A half-court possession of the first team over these frames of the first period, of which nothing else is known. Staged
    /// scenes begin with it, so that they need not know every field.
    pub fn blank(frames: Range<usize>) -> Self {
        Self {
            period: 0,
            offense: TeamSlot::First,
            direction: AttackDirection::PositiveX,
            phase: Phase::HalfCourt,
            half_court: Some(frames.start),
            end_kind: EndKind::DeadBall,
            points: None,
            points_inferred: false,
            clean: true,
            touches: 0..0,
            shots: 0..0,
            matchups: 0..0,
            frames,
        }
    }
}

/// One spell of a player's control.
#[derive(Debug, Clone, PartialEq)]
pub struct Touch {
    /// The possession's id.
    pub possession: usize,
    /// Who.
    pub player: PlayerIx,
    /// Frames of the period.
    pub frames: Range<usize>,
    /// Whether the ball was dribbled.
    pub dribbled: bool,
    /// How it ended.
    pub ended_by: TouchEnd,
    /// Who had it next, in the same possession.
    pub next: Option<PlayerIx>,
}

/// One field-goal attempt.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// The possession's id.
    pub possession: usize,
    /// Who.
    pub player: PlayerIx,
    /// Frame of the release.
    pub release: usize,
    /// Where, at the release.
    pub spot: Point<AttackFrame>,
    /// Worth, by the spot or by the event's points.
    pub value: ShotValue,
    /// In or not.
    pub result: ShotResult,
    /// Whether the shot was inferred from the ball rather than given by an event.
    pub inferred: bool,
}

/// One defender's spell on one attacker.
#[derive(Debug, Clone, PartialEq)]
pub struct Matchup {
    /// The possession's id.
    pub possession: usize,
    /// Who guards.
    pub defender: PlayerIx,
    /// Who is guarded.
    pub attacker: PlayerIx,
    /// Frames of the period.
    pub frames: Range<usize>,
    /// Mean distance between the two.
    pub mean_gap_m: f32,
    /// Mean posterior probability over the spell, 0 to 1.
    pub confidence: f32,
}
