//! Where each off-ball screen of the scripts happens.

use scrim_tables::tags::{CutKind, ScreenKind};

use crate::vec2::{Vec2, v2};

/// Where one off-ball screen happens. `m` = +1 or −1 is the side it is on.
pub(super) struct Pattern {
    /// Where the handler has the ball.
    pub ball: Vec2,
    /// Where the user starts.
    pub start: Vec2,
    /// Where the screener stands.
    pub screen: Vec2,
    /// Where the user passes, relative to the screener.
    pub by: Vec2,
    /// Where the user goes.
    pub end: Vec2,
    /// Slots (of five) that may screen.
    pub screeners: &'static [usize],
}

/// Where a screen of a kind happens; `None` for what is no pattern off the ball.
pub(super) fn pattern(kind: ScreenKind, m: f64) -> Option<Pattern> {
    let mirrored = |p: Pattern| Pattern {
        ball: v2(p.ball.x, p.ball.y * m),
        start: v2(p.start.x, p.start.y * m),
        screen: v2(p.screen.x, p.screen.y * m),
        by: v2(p.by.x, p.by.y * m),
        end: v2(p.end.x, p.end.y * m),
        screeners: p.screeners,
    };
    let pattern = match kind {
        ScreenKind::Down => Pattern {
            ball: v2(8.5, -1.5),
            start: v2(0.9, 3.8),
            screen: v2(3.3, 4.2),
            by: v2(0.3, 0.65),
            end: v2(6.6, 5.0),
            screeners: &[3, 4],
        },
        ScreenKind::Back => Pattern {
            ball: v2(8.4, -2.5),
            start: v2(6.2, 5.4),
            screen: v2(4.8, 4.2),
            by: v2(0.0, 0.7),
            end: v2(1.1, 1.6),
            screeners: &[3, 4],
        },
        ScreenKind::Rub => Pattern {
            ball: v2(5.6, 5.9),
            start: v2(8.4, 0.8),
            screen: v2(4.6, 1.9),
            by: v2(0.2, -0.65),
            end: v2(1.2, 2.0),
            screeners: &[3, 4],
        },
        ScreenKind::Cross => Pattern {
            ball: v2(6.4, 5.2),
            start: v2(1.4, -3.0),
            screen: v2(1.7, -0.4),
            by: v2(-0.6, 0.1),
            end: v2(1.5, 2.9),
            screeners: &[2, 3],
        },
        ScreenKind::Flex => Pattern {
            ball: v2(7.6, -3.6),
            start: v2(0.4, 6.4),
            screen: v2(1.0, 3.1),
            by: v2(-0.65, 0.0),
            end: v2(1.0, -0.4),
            screeners: &[3, 4],
        },
        ScreenKind::Flare => Pattern {
            ball: v2(8.2, -3.0),
            start: v2(8.2, 1.6),
            screen: v2(7.2, 3.2),
            by: v2(0.65, 0.1),
            end: v2(5.2, 6.4),
            screeners: &[3, 4],
        },
        ScreenKind::Zipper => Pattern {
            ball: v2(6.6, -5.2),
            start: v2(1.3, 2.8),
            screen: v2(4.4, 2.9),
            by: v2(0.1, -0.65),
            end: v2(8.5, 1.6),
            screeners: &[3, 4],
        },
        // From wing to wing, above the screener.
        ScreenKind::OverTop => Pattern {
            ball: v2(8.9, -0.6),
            start: v2(5.6, 5.8),
            screen: v2(4.8, 1.4),
            by: v2(0.7, 0.0),
            end: v2(6.0, -5.6),
            screeners: &[3, 4],
        },
        // Out along the baseline: the screener has the block.
        ScreenKind::Exit => Pattern {
            ball: v2(7.6, 3.4),
            start: v2(1.6, 0.4),
            screen: v2(1.2, 3.1),
            by: v2(-0.65, 0.1),
            end: v2(0.5, 6.7),
            screeners: &[3, 4],
        },
        // The scripts play what has a name.
        ScreenKind::BallScreen | ScreenKind::Handoff | ScreenKind::Other => return None,
    };
    Some(mirrored(pattern))
}

/// What the user's way off the screen is called, when it goes as the pattern has it; `None` where it has no name.
pub(super) const fn cut_off(kind: ScreenKind) -> Option<CutKind> {
    match kind {
        ScreenKind::Rub => Some(CutKind::RubCut),
        ScreenKind::Flex => Some(CutKind::FlexCut),
        ScreenKind::Back => Some(CutKind::Basket),
        ScreenKind::Flare => Some(CutKind::Fade),
        ScreenKind::Down
        | ScreenKind::Cross
        | ScreenKind::Zipper
        | ScreenKind::OverTop
        | ScreenKind::Exit
        | ScreenKind::Other
        | ScreenKind::BallScreen
        | ScreenKind::Handoff => None,
    }
}

/// Whether a way that begins elsewhere would have another name.
pub(super) const fn is_named_by_its_start(kind: ScreenKind) -> bool {
    matches!(kind, ScreenKind::OverTop | ScreenKind::Exit)
}
