//! Ball screens that follow one another: a chain (vocabulary, "Entry").

use scrim_actions::BallScreen;

/// The ball screen that one follows, and how soon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Chained {
    /// Its place in the list.
    pub previous: usize,
    /// From its use to this one's set (the use, when the screener was never set), s; 0 when the two overlap.
    pub gap_s: f32,
}

/// The last ball screen of the same possession before `screens[place]`, by the same handler or the same screener, if this one
/// follows at most `longest_gap_s` after its use. `screens`: in time order; `hz`: frames a second.
pub(crate) fn chained(screens: &[BallScreen], place: usize, hz: f64, longest_gap_s: f32) -> Option<Chained> {
    let screen = &screens[place];
    let begin = screen.begins();
    let (previous, earlier) = screens[..place]
        .iter()
        .enumerate()
        .rev()
        .take_while(|(_, earlier)| earlier.possession == screen.possession)
        .find(|(_, earlier)| earlier.user == screen.user || earlier.screener == screen.screener)?;
    let gap_s = begin.saturating_sub(earlier.used) as f64 / hz;
    (gap_s <= f64::from(longest_gap_s)).then_some(Chained {
        previous,
        gap_s: gap_s as f32,
    })
}

#[cfg(test)]
mod tests {
    use scrim_tables::tags::{Outcome, ScreenKind};

    use super::*;
    use crate::staging::{StagedScreen, ball_screen};

    const HZ: f64 = 10.0;

    /// Frames are of [`HZ`].
    fn screen(possession: usize, screener: u16, user: u16, set: Option<usize>, used: usize) -> BallScreen {
        let mut screen = ball_screen(&StagedScreen {
            possession,
            kind: ScreenKind::BallScreen,
            screener,
            user,
            set_s: None,
            use_s: 0.0,
            spot: (7.0, 1.0),
            outcome: Outcome::Used,
        });
        (screen.set, screen.used, screen.end) = (set, used, used + 20);
        screen
    }

    #[test]
    fn the_same_handler_or_the_same_screener_within_5_s_makes_a_chain() {
        // The use at 4.0 s; set at 6.5 s for the same handler, and used at 9.0 s, never set, by the same screener.
        let screens = [
            screen(0, 1, 0, None, 40),
            screen(0, 2, 0, Some(65), 70),
            screen(0, 1, 3, None, 90),
        ];
        assert_eq!(chained(&screens, 0, HZ, 5.0), None);
        assert_eq!(
            chained(&screens, 1, HZ, 5.0),
            Some(Chained {
                previous: 0,
                gap_s: 2.5
            })
        );
        assert_eq!(
            chained(&screens, 2, HZ, 5.0),
            Some(Chained {
                previous: 0,
                gap_s: 5.0
            })
        );
    }

    #[test]
    fn others_or_another_possession_or_more_than_5_s_make_none_and_a_double_overlaps() {
        let screens = [
            screen(0, 1, 0, None, 40),
            screen(0, 2, 3, None, 60),
            screen(0, 4, 0, None, 91),
            screen(1, 4, 0, None, 95),
        ];
        assert_eq!(chained(&screens, 1, HZ, 5.0), None);
        assert_eq!(chained(&screens, 2, HZ, 5.0), None);
        assert_eq!(chained(&screens, 3, HZ, 5.0), None);
        let double = [screen(0, 1, 0, Some(20), 40), screen(0, 2, 0, Some(25), 44)];
        assert_eq!(chained(&double, 1, HZ, 5.0).map(|chain| chain.gap_s), Some(0.0));
    }
}
