//! From when to when a possession is looked at: from the set to the use of a ball screen.

use scrim_tables::rows::{PossessionRow, ScreenRow};

/// No window is longer, s: what lies farther back than this is seldom part of the same action. Common practice, no source.
const LONGEST_S: f64 = 14.0;
/// No window is shorter, s: less than this shows no ways. Common practice, no source.
const SHORTEST_S: f64 = 2.0;
/// Where no set is known to have begun: from this long before the use, s. Tables keep at least so much of tracks before a ball screen.
/// Common practice, no source.
const WITHOUT_SET_S: f64 = 6.0;

/// A ball screen and the time before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Window<'a> {
    pub(crate) screen: &'a ScreenRow,
    pub(crate) from_s: f64,
    pub(crate) to_s: f64,
}

/// The window of a possession, in tracks that begin at `tracks_from_s`; `screens` are its ball screens and handoffs. The set begins when
/// its alignment was clearest; the first screen that is used after it ends the window (the first of all when none is, or no alignment is
/// known). `None` without a screen, or when the tracks begin too late.
pub(crate) fn window_of<'a>(
    possession: &PossessionRow,
    screens: &[&'a ScreenRow],
    tracks_from_s: f64,
) -> Option<Window<'a>> {
    let first = |from_s: f64| {
        let used = screens.iter().filter(|screen| screen.t_use_s >= from_s);
        used.min_by(|a, b| a.t_use_s.total_cmp(&b.t_use_s)).copied()
    };
    let of_set = possession
        .t_alignment_s
        .and_then(|set_s| Some((first(set_s + SHORTEST_S)?, set_s)));
    let (screen, from_s) = match of_set {
        Some((screen, set_s)) => (screen, set_s.max(screen.t_use_s - LONGEST_S)),
        None => {
            let screen = first(f64::NEG_INFINITY)?;
            (screen, screen.t_use_s - WITHOUT_SET_S)
        }
    };
    let from_s = from_s.max(tracks_from_s);
    (screen.t_use_s - from_s >= SHORTEST_S).then_some(Window {
        screen,
        from_s,
        to_s: screen.t_use_s,
    })
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;

    use super::*;

    fn at(t_use_s: f64) -> ScreenRow {
        ScreenRow {
            t_use_s,
            ..ScreenRow::blank()
        }
    }

    fn window(t_alignment_s: Option<f64>, uses_s: &[f64], tracks_from_s: f64) -> Option<(f64, f64)> {
        let possession = PossessionRow {
            t_alignment_s,
            ..PossessionRow::blank()
        };
        let rows: Vec<ScreenRow> = uses_s.iter().map(|use_s| at(*use_s)).collect();
        let window = window_of(&possession, &rows.iter().collect::<Vec<_>>(), tracks_from_s)?;
        Some((window.from_s, window.to_s))
    }

    #[test]
    fn it_goes_from_the_set_to_the_first_use_after_it() {
        assert_eq!(
            window(Some(100.0), &[112.0, 107.0, 99.0], 95.0),
            Some((100.0, 107.0))
        );
        // 14 s and no longer.
        assert_eq!(window(Some(100.0), &[120.0], 95.0), Some((106.0, 120.0)));
    }

    #[test]
    fn without_a_set_it_is_the_time_before_the_first_screen() {
        assert_eq!(window(None, &[107.0, 112.0], 95.0), Some((101.0, 107.0)));
        assert_eq!(window(Some(108.0), &[107.0], 95.0), Some((101.0, 107.0)));
        assert_eq!(window(None, &[107.0], 104.0), Some((104.0, 107.0)));
    }

    #[test]
    fn without_a_screen_or_tracks_there_is_none() {
        assert_eq!(window(Some(100.0), &[], 95.0), None);
        assert_eq!(window(None, &[107.0], 105.5), None);
    }
}
