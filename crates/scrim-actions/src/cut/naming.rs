//! What a run is called: first by the screen it came off, then by where it leads.

use scrim_floor::{AttackFrame, Court, Half, Point, Zone};
use scrim_tables::tags::{CutKind, ScreenKind};

use super::NamingParams;
use super::run::Run;

/// How a run stands to a screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// He used an off-ball screen of this kind, at this scene frame.
    Used(ScreenKind, usize),
    /// He set it and leaves it.
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
pub(super) fn name(run: &Run, part: Part, court: &Court, params: &NamingParams) -> Option<Named> {
    let hoop = Point::<AttackFrame>::origin();
    let ends = Ends {
        run,
        from_hoop_m: run.from.distance_m(hoop),
        to_hoop_m: run.to.distance_m(hoop),
        outside_m: court.beyond_arc_m(run.to) + params.perimeter_inside_m,
    };
    match part {
        Part::Used(kind, _) => off_screen(&ends, kind, params),
        Part::Left if ends.outside_m > 0.0 => Some(Named {
            kind: CutKind::PopOut,
            margin_m: ends.outside_m,
        }),
        Part::Left | Part::None => None,
    }
    .or_else(|| to_rim(&ends, params))
    .or_else(|| baseline(&ends, params))
    .or_else(|| flash(&ends, params))
    .or_else(|| around_the_perimeter(&ends, court, params))
}

/// Off an off-ball screen, by its kind and by where the run leads from there.
fn off_screen(ends: &Ends<'_>, kind: ScreenKind, params: &NamingParams) -> Option<Named> {
    let in_m = margin_to_rim_m(ends, params);
    let named = |kind, margin_m: f32| (margin_m > 0.0).then_some(Named { kind, margin_m });
    match kind {
        ScreenKind::Rub => named(CutKind::RubCut, in_m),
        ScreenKind::Flex => named(CutKind::FlexCut, in_m),
        // A back screen frees for the rim: told below like any other way there.
        ScreenKind::Back | ScreenKind::Cross => None,
        // Named by where the run leads, likewise: the vocabulary has no cut of their own.
        ScreenKind::OverTop | ScreenKind::Exit | ScreenKind::Other => None,
        ScreenKind::Flare => named(CutKind::Fade, ends.outside_m),
        ScreenKind::Down | ScreenKind::Zipper => named(CutKind::Curl, in_m),
        ScreenKind::BallScreen | ScreenKind::Handoff => None,
    }
}

/// How clearly the run leads to the rim, m; negative when it does not.
fn margin_to_rim_m(ends: &Ends<'_>, params: &NamingParams) -> f32 {
    (params.rim_m - ends.to_hoop_m).min(ends.from_hoop_m - ends.to_hoop_m - params.come_in_m)
}

fn to_rim(ends: &Ends<'_>, params: &NamingParams) -> Option<Named> {
    let margin_m = margin_to_rim_m(ends, params);
    if margin_m <= 0.0 {
        return None;
    }
    let run = ends.run;
    let past_high_post = run
        .past_high_post_m
        .is_some_and(|gap_m| gap_m <= params.pass_by_m);
    let after_pass = run
        .since_own_touch_s
        .is_some_and(|since_s| since_s <= params.after_pass_s);
    let from_front = run.from.x_m > params.low_x_m && run.from.y_m.abs() < params.wing_y_m;
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
fn baseline(ends: &Ends<'_>, params: &NamingParams) -> Option<Named> {
    let (from, to) = (ends.run.from, ends.run.to);
    let low_m = params.low_x_m - from.x_m.max(to.x_m);
    let through_m = from.y_m.abs().min(to.y_m.abs()) - params.through_y_m;
    (low_m > 0.0 && through_m > 0.0 && Half::of(from) != Half::of(to)).then_some(Named {
        kind: CutKind::Baseline,
        margin_m: low_m.min(through_m),
    })
}

/// From low or from the weak side to the high post, toward the ball.
fn flash(ends: &Ends<'_>, params: &NamingParams) -> Option<Named> {
    let inside_m = (-ends.outside_m).min(ends.to_hoop_m - params.rim_m);
    let closing_m = ends.run.closing_on_ball_m? - params.flash_closing_m;
    let from_afar = ends.run.from_weak_side || ends.run.from.x_m <= params.low_x_m;
    (from_afar && inside_m > 0.0 && closing_m > 0.0).then_some(Named {
        kind: CutKind::Flash,
        margin_m: inside_m.min(closing_m),
    })
}

/// From spot to spot outside: down to the corner, up from it, or to where nobody is.
fn around_the_perimeter(ends: &Ends<'_>, court: &Court, params: &NamingParams) -> Option<Named> {
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
    if is_corner(to, params) {
        // A way out of the lane to the corner clears the floor; it is no spacing move from the wing.
        let down = from.x_m > params.low_x_m && from.x_m > to.x_m && same_side;
        return if down { named(CutKind::Drift) } else { None };
    }
    let to_wing = to.y_m.abs() >= params.wing_y_m;
    if is_corner(from, params) && to_wing && same_side {
        return named(CutKind::Lift);
    }
    named(CutKind::Fill)
}

fn is_corner(at: Point<AttackFrame>, params: &NamingParams) -> bool {
    at.x_m <= params.low_x_m && at.y_m.abs() >= params.corner_y_m
}
