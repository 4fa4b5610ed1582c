//! What the labels say about everything off the ball, against the noise-free tracks.

use std::collections::{BTreeMap, BTreeSet};

use scrim_floor::{Point, Zone};
use scrim_tables::tags::{Activity, Alignment, CutKind, Entry, EntryRole, Outcome, ScreenKind};

use super::short;
use crate::{PracticeGame, PracticeParams, play_game};

/// A game's noise-free frames in the attack frame of whoever has the ball.
struct Truth<'a> {
    game: &'a PracticeGame,
}

impl<'a> Truth<'a> {
    const fn of(game: &'a PracticeGame) -> Self {
        Self { game }
    }

    fn at(&self, possession: u32, t_s: f64, id: &str) -> [f64; 2] {
        let p = &self.game.labels.possessions[possession as usize];
        let sign = if p.attacks_positive_x { 1.0 } else { -1.0 };
        let frame = &self.game.periods[usize::from(p.period) - 1].frames[(t_s * 25.0).round() as usize];
        let slot = (0..10)
            .find(|&s| &*self.game.players[usize::from(frame.players[s])].player_id == id)
            .expect("on the floor");
        let [x, y] = frame.xy_m[slot].map(f64::from);
        let hoop_x = f64::from(self.game.params.court.hoop_x_m());
        [hoop_x - sign * x, -sign * y]
    }

    /// The instants of the frames from `from_s` to `to_s`.
    fn frames(from_s: f64, to_s: f64) -> impl Iterator<Item = f64> {
        let count = ((to_s - from_s) * 25.0).round() as usize;
        (0..=count).map(move |i| from_s + i as f64 / 25.0)
    }

    fn path_m(&self, possession: u32, id: &str, from_s: f64, to_s: f64) -> f64 {
        let way: Vec<_> = Self::frames(from_s, to_s)
            .map(|t| self.at(possession, t, id))
            .collect();
        way.windows(2).map(|w| gap(w[0], w[1])).sum()
    }

    fn zone(&self, spot: [f64; 2]) -> Zone {
        self.game
            .params
            .court
            .zone_of(Point::new(spot[0] as f32, spot[1] as f32))
    }
}

fn gap(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn long(seed: u64) -> PracticeParams {
    PracticeParams {
        period_s: 600.0,
        ..short(seed)
    }
}

#[test]
fn every_cut_label_is_what_the_vocabulary_says() {
    let mut kinds = BTreeSet::new();
    let mut seen = 0;
    // Fades are rare in lively games.
    let both = PracticeParams {
        orderly_share: 0.5,
        ..long(18)
    };
    for index in 0..12 {
        let game = play_game(&both, index);
        let truth = Truth::of(&game);
        for (place, cut) in game.labels.cuts.iter().enumerate() {
            assert_eq!(cut.cut_id as usize, place);
            let possession = &game.labels.possessions[cut.possession_id as usize];
            assert!(cut.t_start_s >= possession.t_start_s && cut.t_end_s <= possession.t_end_s + 1e-9);
            assert!(cut.t_end_s > cut.t_start_s, "{cut:?}");
            let Some(kind) = cut.cut_kind else {
                assert_eq!((cut.path_m, cut.screen_id), (None, None));
                continue;
            };
            kinds.insert(kind);
            seen += 1;
            let (id, p) = (&*cut.player_id, cut.possession_id);
            let (start, end) = (truth.at(p, cut.t_start_s, id), truth.at(p, cut.t_end_s, id));
            let path_m = truth.path_m(p, id, cut.t_start_s, cut.t_end_s);
            // f32 positions at 25 Hz: sums of up to 150 steps, each off by less than 2 µm.
            assert!(
                (path_m - f64::from(cut.path_m.expect("plain"))).abs() < 1e-3,
                "{cut:?}"
            );
            let ends_m = gap(end, [0.0, 0.0]);
            let (from, to) = (truth.zone(start), truth.zone(end));
            assert_eq!((cut.zone_from, cut.zone_to), (Some(from), Some(to)));
            let corner = |z| matches!(z, Zone::LeftCorner | Zone::RightCorner);
            let wing = |z| matches!(z, Zone::LeftWing | Zone::RightWing);
            let off = cut.screen_id.map(|s| &game.labels.screens[s as usize]);
            let fits = match kind {
                CutKind::Lift => corner(from) && wing(to) && start[1] * end[1] > 0.0,
                CutKind::Drift => wing(from) && corner(to) && start[1] * end[1] > 0.0,
                CutKind::Fill => ends_m > 5.0 && gap(start, end) > 2.0,
                CutKind::Basket | CutKind::Backdoor => ends_m < 3.5 && gap(start, [0.0, 0.0]) > 4.4,
                CutKind::Curl => {
                    ends_m < 3.5 && off.is_some_and(|s| !s.on_ball && s.user_id == cut.player_id)
                }
                CutKind::Fade => ends_m > 6.0 && off.is_some_and(|s| s.user_id == cut.player_id),
                CutKind::PopOut => ends_m > 6.0 && off.is_some_and(|s| s.screener_id == cut.player_id),
                CutKind::RubCut => ends_m < 4.0 && off.and_then(|s| s.screen_kind) == Some(ScreenKind::Rub),
                CutKind::FlexCut => ends_m < 4.0 && off.and_then(|s| s.screen_kind) == Some(ScreenKind::Flex),
                CutKind::Flash => ends_m > 2.0 && ends_m < 6.2,
                CutKind::Baseline => {
                    start[1] * end[1] < 0.0
                        && Truth::frames(cut.t_start_s, cut.t_end_s).all(|t| truth.at(p, t, id)[0] < 3.5)
                }
            };
            assert!(fits, "{cut:?} from {start:?} to {end:?}");
        }
    }
    assert!(seen > 100, "{seen} plain cuts");
    assert_eq!(kinds.into_iter().collect::<Vec<_>>(), KINDS_PLAYED);
}

#[test]
fn motion_while_a_ball_screen_is_on_is_labelled_for_the_other_three() {
    let mut activities = BTreeSet::new();
    for index in 0..4 {
        let game = play_game(&long(19), index);
        let truth = Truth::of(&game);
        let mut of_screen: BTreeMap<u32, usize> = BTreeMap::new();
        for row in &game.labels.off_ball_motion {
            *of_screen.entry(row.screen_id).or_default() += 1;
            let screen = &game.labels.screens[row.screen_id as usize];
            assert_eq!(screen.screen_kind, Some(ScreenKind::BallScreen));
            assert!(row.player_id != screen.screener_id && row.player_id != screen.user_id);
            activities.extend(row.activity);
            let (Some(set), Some(end)) = (screen.t_set_s, screen.t_end_s) else {
                panic!("a row for a screen that was not set: {row:?}")
            };
            let Some(path_m) = row.path_m else { continue };
            // The last frame that is not later than 1.5 s after the end.
            let (from, to) = (set - 1.0, ((end + 1.5) * 25.0 + 1e-6).floor() / 25.0);
            let (id, p) = (&*row.player_id, row.possession_id);
            assert!(
                (truth.path_m(p, id, from, to) - f64::from(path_m)).abs() < 2e-3,
                "{row:?}"
            );
            let net_m = gap(truth.at(p, from, id), truth.at(p, to, id));
            assert!(
                (net_m - f64::from(row.net_m.expect("whole"))).abs() < 1e-3,
                "{row:?}"
            );
            let way: Vec<_> = Truth::frames(from, to).map(|t| truth.at(p, t, id)).collect();
            let count = way.len() as f64;
            let mean = [0, 1].map(|axis| way.iter().map(|s| s[axis]).sum::<f64>() / count);
            let spread_m = way.iter().map(|s| gap(*s, mean)).fold(0.0, f64::max);
            match row.activity {
                Some(Activity::Stationary) => assert!(spread_m <= 1.2, "{spread_m}: {row:?}"),
                Some(Activity::Shift | Activity::Cut) => assert!(spread_m > 1.2, "{spread_m}: {row:?}"),
                Some(Activity::Screen | Activity::OffScreen) => {
                    let part = game.labels.screens.iter().any(|s| {
                        let own = if row.activity == Some(Activity::Screen) {
                            &s.screener_id
                        } else {
                            &s.user_id
                        };
                        !s.on_ball
                            && s.period == row.period
                            && *own == row.player_id
                            && s.t_use_s > from - 6.0
                            && s.t_use_s < to + 3.0
                    });
                    assert!(part, "{row:?}");
                }
                None => {}
            }
        }
        assert!(of_screen.values().all(|&n| n == 3));
        assert!(of_screen.len() > 10);
    }
    assert_eq!(activities.into_iter().collect::<Vec<_>>(), ACTIVITIES_PLAYED);
}

#[test]
fn every_plain_ball_screen_and_handoff_has_an_entry_row_and_it_is_the_last_action_before_the_set() {
    let (mut some, mut none) = (0, 0);
    for index in 0..10 {
        let game = play_game(&long(20), index);
        let labels = &game.labels;
        let plain: Vec<u32> = labels
            .screens
            .iter()
            .filter(|s| s.on_ball && s.screen_kind.is_some())
            .map(|s| s.screen_id)
            .collect();
        assert_eq!(
            plain,
            labels.entries.iter().map(|e| e.screen_id).collect::<Vec<_>>()
        );
        for row in &labels.entries {
            let screen = &labels.screens[row.screen_id as usize];
            let Some(entry) = row.entry else {
                assert_eq!((row.entry_role, row.flow_gap_s), (None, None));
                continue;
            };
            // A screener who never quite stood is judged from the use.
            let set_s = screen.t_set_s.unwrap_or(screen.t_use_s);
            let pair = [&screen.screener_id, &screen.user_id];
            // Instant, word and the screener's part, of every plain action the two had part in.
            let mut before: Vec<(f64, String, EntryRole)> = Vec::new();
            let near = |t: f64| t <= set_s + 1e-9 && t >= set_s - 5.0;
            for s in labels.screens.iter().filter(|s| {
                s.possession_id == row.possession_id && s.screen_id != row.screen_id && near(s.t_use_s)
            }) {
                let part = pair.contains(&&s.screener_id) || pair.contains(&&s.user_id);
                if let (true, Some(kind)) = (
                    part && s.screen_kind != Some(ScreenKind::BallScreen),
                    s.screen_kind,
                ) {
                    let role = if s.user_id == screen.screener_id {
                        EntryRole::User
                    } else if s.screener_id == screen.screener_id {
                        EntryRole::Screener
                    } else {
                        EntryRole::None
                    };
                    before.push((s.t_use_s, kind.as_str().into(), role));
                }
            }
            for c in labels.cuts.iter().filter(|c| {
                c.possession_id == row.possession_id && pair.contains(&&c.player_id) && near(c.t_end_s)
            }) {
                let off_screen = c
                    .screen_id
                    .is_some_and(|s| labels.screens[s as usize].user_id == c.player_id);
                if let (Some(kind), false) = (c.cut_kind, off_screen) {
                    let role = if c.player_id == screen.screener_id {
                        EntryRole::User
                    } else {
                        EntryRole::None
                    };
                    before.push((c.t_end_s, kind.as_str().into(), role));
                }
            }
            before.sort_by(|a, b| a.0.total_cmp(&b.0));
            match before.last() {
                None => {
                    assert_eq!((entry, row.flow_gap_s), (Entry::None, None), "{row:?} {screen:?}");
                    assert_eq!(row.entry_role, Some(EntryRole::None));
                    none += 1;
                }
                Some((t_s, word, role)) => {
                    assert_eq!(
                        (entry.as_str(), row.entry_role),
                        (&**word, Some(*role)),
                        "{row:?} {screen:?}"
                    );
                    assert_eq!(row.flow_gap_s.is_some(), screen.t_set_s.is_some());
                    assert!(
                        row.flow_gap_s
                            .is_none_or(|gap| (gap - (set_s - t_s)).abs() < 1e-6)
                    );
                    some += 1;
                }
            }
        }
    }
    assert!(some > 10 && none > 50, "{some} with an entry, {none} without");
}

#[test]
fn alignments_are_labelled_where_the_five_stood_in_one() {
    let mut seen = BTreeSet::new();
    for index in 0..8 {
        let game = play_game(&long(21), index);
        for possession in &game.labels.possessions {
            seen.extend(possession.alignment);
            assert!(possession.alignment.is_none() || possession.t_half_court_s.is_some());
        }
    }
    let all: Vec<Alignment> = Alignment::ALL
        .iter()
        .copied()
        .filter(|a| *a != Alignment::Other)
        .collect();
    assert_eq!(seen.into_iter().collect::<Vec<_>>(), all);
}

#[test]
fn away_from_the_ball_screens_have_outcomes() {
    let mut seen = BTreeSet::new();
    for index in 0..10 {
        let game = play_game(&long(22), index);
        seen.extend(
            game.labels
                .screens
                .iter()
                .filter(|s| !s.on_ball)
                .filter_map(|s| s.outcome),
        );
    }
    assert_eq!(seen.into_iter().collect::<Vec<_>>(), OUTCOMES_PLAYED);
}

#[test]
fn screens_over_the_top_and_exits_are_now_and_then_played_as_the_vocabulary_has_them() {
    let (mut over_top, mut exit, mut all) = (0, 0, 0);
    for index in 0..18 {
        let game = play_game(&long(18), index);
        let truth = Truth::of(&game);
        for screen in game.labels.screens.iter().filter(|s| !s.on_ball) {
            let Some(kind) = screen.screen_kind else { continue };
            all += 1;
            let user =
                |after_s: f64| truth.at(screen.possession_id, screen.t_use_s + after_s, &screen.user_id);
            let screener = truth.at(screen.possession_id, screen.t_use_s, &screen.screener_id);
            match kind {
                ScreenKind::OverTop => {
                    over_top += 1;
                    // From one side to the other, above a screener near the free-throw line (4.2 m from the hoop's centre).
                    assert!(user(-1.4)[1] * user(1.4)[1] < 0.0, "{screen:?}");
                    assert!(user(0.0)[0] > screener[0] - 0.3, "{screen:?}");
                    assert!(
                        (3.2..6.2).contains(&screener[0]) && screener[1].abs() < 3.4,
                        "{screener:?} {screen:?}"
                    );
                }
                ScreenKind::Exit => {
                    exit += 1;
                    // Outward on the screener's side, low.
                    assert!(
                        (user(1.0)[1] - user(-0.6)[1]) * screener[1].signum() > 1.0,
                        "{screen:?}"
                    );
                    assert!(user(1.0)[0] < 3.2 && screener[0] < 2.6, "{screen:?}");
                }
                _ => {}
            }
        }
    }
    assert!(
        over_top >= 5 && exit >= 5,
        "{over_top} over the top, {exit} exits"
    );
    assert!((over_top + exit) * 3 < all, "{over_top} and {exit} of {all}");
}

/// What the scripts play on purpose: all kinds.
const KINDS_PLAYED: &[CutKind] = CutKind::ALL;
/// All words.
const ACTIVITIES_PLAYED: &[Activity] = Activity::ALL;
/// What can become of a screen away from the ball.
const OUTCOMES_PLAYED: &[Outcome] = &[
    Outcome::Used,
    Outcome::Rejected,
    Outcome::Slipped,
    Outcome::Unused,
];
