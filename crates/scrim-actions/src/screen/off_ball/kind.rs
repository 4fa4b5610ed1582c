//! The kind of an off-ball screen: the name that fits the user's way best, or `other` where none fits clearly.

use scrim_floor::{AttackFrame, Point};
use scrim_tables::tags::ScreenKind;

use super::reading::Reading;
use super::way::{Way, after_pass};

/// A screen whose way fits no kind so well is `other`, 0 to 1: the highest at which no kind that was right on labelled
/// real possessions is lost (0.35 loses 2 of 63, 0.5 loses 4).
const MIN_KIND_FIT: f32 = 0.2;

/// By so much a broader kind must fit better than a narrower one inside it: rub, cross, flex, zipper and over_top come
/// before exit, flare, back and down.
const NARROW_KIND_LEAD: f32 = 0.35;

/// How well one kind fits, 0 (not at all) to 1 (fully).
type KindFit = (ScreenKind, f32);

/// The kind that was chosen, and what came next to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct KindChoice {
    /// The name that fits best; `other` when none fits clearly.
    pub kind: ScreenKind,
    /// How well the first of the names fits, clearly or not; 0 when none fits at all.
    pub fit: f32,
    /// The name that came second; of an `other`, the name that came nearest. `None` when there is none.
    pub runner_up: Option<ScreenKind>,
}

/// The kind of the way that a user took past a screener.
pub(super) fn kind_taken(reading: &Reading) -> KindChoice {
    choose_kind(kind_fits(&Way::taken(reading)))
}

/// The kind of the way that a user, who stands at `from`, was meant to take past a screener at `spot`.
pub(super) fn kind_meant(
    from: Point<AttackFrame>,
    spot: Point<AttackFrame>,
    ball: Point<AttackFrame>,
    since_own_touch_s: Option<f32>,
) -> KindChoice {
    let way = Way::meant(from, spot, ball, after_pass(since_own_touch_s));
    choose_kind(kind_fits(&way))
}

/// Chooses a kind. No kind is forced: where no name fits as well as `min_kind_fit`, it is `other`.
///
/// Definitions overlap: a rub is a back screen after a pass, a zipper is a down screen along the lane line, crosses and
/// flexes end where back screens end. So the narrower ones get a lead, and among equals the order of [`kind_fits`] holds.
fn choose_kind(fits: [KindFit; 9]) -> KindChoice {
    let mut ranked = fits.map(|(kind, fit)| (kind, fit, fit + lead(kind)));
    // Stable: equals stay in their stated order.
    ranked.sort_by(|a, b| b.2.total_cmp(&a.2));
    let at_least = |least: f32| ranked.iter().filter(move |(_, fit, _)| *fit >= least);
    let first = at_least(FITS_AT_ALL).next();
    let mut clear = at_least(MIN_KIND_FIT);
    let (kind, runner_up) = match clear.next() {
        Some(&(kind, _, _)) => (kind, clear.next().map(|&(kind, _, _)| kind)),
        None => (ScreenKind::Other, first.map(|&(kind, _, _)| kind)),
    };
    KindChoice {
        kind,
        fit: first.map_or(0.0, |&(_, fit, _)| fit),
        runner_up,
    }
}

/// A name that fits less than this does not fit at all, 0 to 1. Common practice, no source.
const FITS_AT_ALL: f32 = 0.05;

fn lead(kind: ScreenKind) -> f32 {
    match kind {
        ScreenKind::Rub | ScreenKind::Cross | ScreenKind::Flex | ScreenKind::Zipper | ScreenKind::OverTop => {
            NARROW_KIND_LEAD
        }
        ScreenKind::Exit
        | ScreenKind::Flare
        | ScreenKind::Back
        | ScreenKind::Down
        | ScreenKind::Other
        | ScreenKind::BallScreen
        | ScreenKind::Handoff => 0.0,
    }
}

/// How well the nine names fit, in the order in which equals are resolved: the narrower definition first.
fn kind_fits(way: &Way) -> [KindFit; 9] {
    [
        (ScreenKind::Rub, way.rub()),
        (ScreenKind::Cross, way.cross()),
        (ScreenKind::Flex, way.flex()),
        (ScreenKind::Zipper, way.zipper()),
        (ScreenKind::OverTop, way.over_top()),
        (ScreenKind::Exit, way.exit()),
        (ScreenKind::Flare, way.flare()),
        (ScreenKind::Back, way.back()),
        (ScreenKind::Down, way.down()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The choice where some names fit so well and all others not at all.
    fn chosen(fitting: &[KindFit]) -> KindChoice {
        let of = |kind: ScreenKind| {
            fitting
                .iter()
                .find(|(fits, _)| *fits == kind)
                .map_or(0.0, |f| f.1)
        };
        let names = [
            ScreenKind::Rub,
            ScreenKind::Cross,
            ScreenKind::Flex,
            ScreenKind::Zipper,
            ScreenKind::OverTop,
            ScreenKind::Exit,
            ScreenKind::Flare,
            ScreenKind::Back,
            ScreenKind::Down,
        ];
        choose_kind(names.map(|kind| (kind, of(kind))))
    }

    #[test]
    fn no_kind_is_forced_on_a_way_that_no_name_fits() {
        let other = KindChoice {
            kind: ScreenKind::Other,
            fit: 0.0,
            runner_up: None,
        };
        assert_eq!(chosen(&[]), other);
        assert_eq!(chosen(&[(ScreenKind::Down, 0.04)]), other);
    }

    #[test]
    fn a_name_that_fits_but_not_clearly_is_the_nearest_of_an_other() {
        // 0.15 is under the 0.2 that a name needs.
        let choice = chosen(&[(ScreenKind::Back, 0.15), (ScreenKind::Down, 0.06)]);
        assert_eq!(
            (choice.kind, choice.fit, choice.runner_up),
            (ScreenKind::Other, 0.15, Some(ScreenKind::Back))
        );
    }

    #[test]
    fn a_clear_name_stands_before_a_narrower_one_that_is_not() {
        // The lead would put 0.1 + 0.35 before 0.4.
        let choice = chosen(&[(ScreenKind::Rub, 0.1), (ScreenKind::Back, 0.4)]);
        assert_eq!((choice.kind, choice.runner_up), (ScreenKind::Back, None));
    }

    #[test]
    fn of_two_clear_names_the_narrower_stands_unless_the_broader_fits_much_better() {
        let kind = |rub: f32, back: f32| chosen(&[(ScreenKind::Rub, rub), (ScreenKind::Back, back)]).kind;
        assert_eq!(kind(0.5, 0.8), ScreenKind::Rub);
        // By more than 0.35.
        assert_eq!(kind(0.5, 0.9), ScreenKind::Back);
    }
}
