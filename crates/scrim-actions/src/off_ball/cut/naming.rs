//! What a run is called: first by the screen it came off, then by where it leads.

use scrim_floor::{AttackFrame, Court, Definitions, Half, Point, Zone};
use scrim_tables::tags::{CutKind, ScreenKind};

use super::run::{LOW_X_M, Run};

/// A run to the rim ends this much nearer the hoop than it began, m.
const COME_IN_M: f32 = 2.0;
/// The perimeter begins this far inside the three-point line, m.
const PERIMETER_INSIDE_M: f32 = 0.6;
/// A corner's |y| is at least this, m.
const CORNER_Y_M: f32 = 4.2;
/// A wing's |y| is at least this, m.
const WING_Y_M: f32 = 3.9;
/// A baseline cut begins and ends this far off the middle, m.
const THROUGH_Y_M: f32 = 3.5;
/// A flash comes nearer to the ball by this, m.
const FLASH_CLOSING_M: f32 = 1.5;
/// A rub cutter passed the ball at most this long before the cut, s.
const AFTER_PASS_S: f32 = 2.5;

/// How a run stands to a screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// The runner used an off-ball screen of this kind, at this scene frame.
    Used(ScreenKind, usize),
    /// The runner set it and leaves it.
    Left,
    /// No part in any.
    None,
}

/// A name, and how clearly the run bears it: the margin of what decides it, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Named {
    pub kind: CutKind,
    pub margin_m: f32,
}

/// Where a run's end lies.
struct Ends<'a> {
    run: &'a Run,
    from_hoop_m: f32,
    to_hoop_m: f32,
    /// How far outside the perimeter's inner edge it ends, m.
    outside_m: f32,
}

/// The name of a run; `None` when it leads nowhere that has one (a step inside the lane, a way back out to the corner).
pub(super) fn name(run: &Run, part: Part, court: &Court, definitions: &Definitions) -> Option<Named> {
    let hoop = Point::<AttackFrame>::origin();
    let ends = Ends {
        run,
        from_hoop_m: run.from.distance_m(hoop),
        to_hoop_m: run.to.distance_m(hoop),
        outside_m: court.beyond_arc_m(run.to) + PERIMETER_INSIDE_M,
    };
    match part {
        Part::Used(kind, _) => off_screen(&ends, kind, definitions),
        Part::Left if ends.outside_m > 0.0 => Some(Named {
            kind: CutKind::PopOut,
            margin_m: ends.outside_m,
        }),
        Part::Left | Part::None => None,
    }
    .or_else(|| to_rim(&ends, definitions))
    .or_else(|| baseline(&ends))
    .or_else(|| flash(&ends, definitions))
    .or_else(|| around_the_perimeter(&ends, court))
}

/// Off an off-ball screen, by its kind and by where the run leads from there.
fn off_screen(ends: &Ends<'_>, kind: ScreenKind, definitions: &Definitions) -> Option<Named> {
    let in_m = margin_to_rim_m(ends, definitions);
    let named = |kind, margin_m: f32| (margin_m > 0.0).then_some(Named { kind, margin_m });
    match kind {
        ScreenKind::Rub => named(CutKind::RubCut, in_m),
        ScreenKind::Flex => named(CutKind::FlexCut, in_m),
        // A back screen frees for the rim: named below like any other way there.
        ScreenKind::Back | ScreenKind::Cross => None,
        // Named by where the run leads, likewise: the vocabulary has no cut of their own.
        ScreenKind::OverTop | ScreenKind::Exit | ScreenKind::Other => None,
        ScreenKind::Flare => named(CutKind::Fade, ends.outside_m),
        ScreenKind::Down | ScreenKind::Zipper => named(CutKind::Curl, in_m),
        ScreenKind::BallScreen | ScreenKind::Handoff => None,
    }
}

/// How clearly the run leads to the rim, m; negative when it does not.
fn margin_to_rim_m(ends: &Ends<'_>, definitions: &Definitions) -> f32 {
    (definitions.at_rim_m - ends.to_hoop_m).min(ends.from_hoop_m - ends.to_hoop_m - COME_IN_M)
}

fn to_rim(ends: &Ends<'_>, definitions: &Definitions) -> Option<Named> {
    let margin_m = margin_to_rim_m(ends, definitions);
    if margin_m <= 0.0 {
        return None;
    }
    let run = ends.run;
    let past_high_post = run
        .past_high_post_m
        .is_some_and(|gap_m| gap_m <= definitions.use_gap_m);
    let after_pass = run
        .since_own_touch_s
        .is_some_and(|since_s| since_s <= AFTER_PASS_S);
    let from_front = run.from.x_m > LOW_X_M && run.from.y_m.abs() < WING_Y_M;
    let kind = if after_pass && from_front && past_high_post {
        CutKind::RubCut
    } else if run.denied {
        CutKind::Backdoor
    } else {
        CutKind::Basket
    };
    Some(Named { kind, margin_m })
}

/// Along the baseline from one side through to the other.
fn baseline(ends: &Ends<'_>) -> Option<Named> {
    let (from, to) = (ends.run.from, ends.run.to);
    let low_m = LOW_X_M - from.x_m.max(to.x_m);
    let through_m = from.y_m.abs().min(to.y_m.abs()) - THROUGH_Y_M;
    (low_m > 0.0 && through_m > 0.0 && Half::of(from) != Half::of(to)).then_some(Named {
        kind: CutKind::Baseline,
        margin_m: low_m.min(through_m),
    })
}

/// From low or from the weak side to the high post, toward the ball.
fn flash(ends: &Ends<'_>, definitions: &Definitions) -> Option<Named> {
    let inside_m = (-ends.outside_m).min(ends.to_hoop_m - definitions.at_rim_m);
    let closing_m = ends.run.closing_on_ball_m? - FLASH_CLOSING_M;
    let from_afar = ends.run.from_weak_side || ends.run.from.x_m <= LOW_X_M;
    (from_afar && inside_m > 0.0 && closing_m > 0.0).then_some(Named {
        kind: CutKind::Flash,
        margin_m: inside_m.min(closing_m),
    })
}

/// From spot to spot outside: down to the corner, up from it, or to where nobody is.
fn around_the_perimeter(ends: &Ends<'_>, court: &Court) -> Option<Named> {
    let (from, to) = (ends.run.from, ends.run.to);
    let same_side = Half::of(from) == Half::of(to);
    let outside_m = ends.outside_m;
    if outside_m <= 0.0 || court.zone_of(to) == Zone::BackCourt {
        return None;
    }
    let named = |kind| {
        Some(Named {
            kind,
            margin_m: outside_m,
        })
    };
    if is_corner(to) {
        // A way out of the lane to the corner clears the floor; it is no spacing move from the wing.
        let down = from.x_m > LOW_X_M && from.x_m > to.x_m && same_side;
        return if down { named(CutKind::Drift) } else { None };
    }
    let to_wing = to.y_m.abs() >= WING_Y_M;
    if is_corner(from) && to_wing && same_side {
        return named(CutKind::Lift);
    }
    named(CutKind::Fill)
}

fn is_corner(at: Point<AttackFrame>) -> bool {
    at.x_m <= LOW_X_M && at.y_m.abs() >= CORNER_Y_M
}
