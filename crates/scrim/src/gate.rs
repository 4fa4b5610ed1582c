//! The gate: what a game's data are worth, from measured facts. Nonsense must not pass as a game.
//!
//! Nobody watches a nightly run. A file without a ball, with seven of ten players, with a wrong rate or origin gives tables that
//! look like any others; the gate measures what a game must have and says which games may enter a season.

use scrim_floor::Court;
use scrim_floor::parameter::{Numbers, falling, rising};
use scrim_tables::rows::{GameQualityRow, PossessionRow};
use scrim_tables::tags::Verdict;
use scrim_tracks::{Game, Period};

scrim_floor::parameters! {
    /// The gate. Each list has the limit of a good, of a usable and of a poor game; a game that misses the last one is refused.
    pub struct GateParams {
        /// Whether poor games enter the season tables all the same.
        poor_in_seasons: bool = false, words "true or false";
        /// Least share of live time with ten players and the ball: of a good, a usable and a poor game.
        usable_share: Numbers<3> = Numbers([0.9, 0.6, 0.1]), list falling(0.0..=1.0);
        /// How far the game clock may run from the frames' own time, as a share of it: good, usable, poor. Not used without a game
        /// clock.
        clock_off_share: Numbers<3> = Numbers([0.02, 0.05, 0.15]), list rising(0.0..=1.0);
        /// Least share of the possessions without a fault of the tracking: good, usable, poor. Not used for fewer than ten.
        clean_share: Numbers<3> = Numbers([0.5, 0.2, 0.0]), list falling(0.0..=1.0);
        // What falls short of these asks for another mapping, not for other limits.
        fixed {
            /// Least share of the players' places that lie on the court or within 1.5 m of it: good, usable, poor.
            court_share: Numbers<3> = Numbers([0.97, 0.9, 0.6]);
            /// Least share of the players' speeds that people can run (below 9.5 m/s): good, usable, poor.
            speed_share: Numbers<3> = Numbers([0.999, 0.99, 0.9]);
            /// Least share of the court's width over which the middle 96 % of the players' places spread: good, usable, poor.
            spread_share: Numbers<3> = Numbers([0.5, 0.4, 0.15]);
            /// Least share of the ball's heights between -0.5 and 12 m: good, usable, poor. Not used where no height is known.
            height_share: Numbers<3> = Numbers([0.99, 0.9, 0.5]);
        }
    }
}

/// What was measured of a game; a fact that cannot be measured is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GameFacts {
    /// Live time with ten players and the ball, of all live time.
    pub usable_share: f64,
    /// Players' places on the court or near it, of all.
    pub court_share: Option<f64>,
    /// The width over which the middle 96 % of the players' places spread, of the court's.
    pub spread_share: Option<f64>,
    /// Players' speeds that people can run, of all.
    pub speed_share: Option<f64>,
    /// How far the game clock runs from the frames' time, as a share of it.
    pub clock_off_share: Option<f64>,
    /// Heights of the ball that a ball can have, of all.
    pub height_share: Option<f64>,
    /// Possessions without a fault, of all.
    pub clean_share: Option<f64>,
}

/// Who runs off the court is within this of it, m. Common practice, no source.
const BESIDE_M: f32 = 1.5;
/// Nobody runs faster with a track's noise on top, m/s. Common practice, no source.
const RUNS_MPS: f32 = 9.5;
/// A thrown ball stays below this, and above the floor but for noise, m. Common practice, no source.
const HEIGHTS_M: std::ops::RangeInclusive<f32> = -0.5..=12.0;
/// The clock is compared with the frames' time over this long, s: long beside its last digit.
const CLOCK_SPAN_S: f64 = 5.0;
/// Fewer possessions are too few to judge a game by.
const FEW_POSSESSIONS: usize = 10;

impl GameFacts {
    /// Measures a cleaned game, with the quality of its periods and its possessions.
    pub fn measure(game: &Game, quality: &[GameQualityRow], possessions: &[PossessionRow]) -> Self {
        let frames: f64 = quality.iter().map(|period| f64::from(period.frames)).sum();
        let usable = |period: &GameQualityRow| f64::from(period.frames) * f64::from(period.usable_share);
        let usable_sum: f64 = quality.iter().map(usable).sum();
        let clean = possessions.iter().filter(|possession| possession.clean).count();
        let mut on_court = Share::default();
        let mut across = Spread::default();
        let mut runs = Share::default();
        let mut heights = Share::default();
        for period in &game.periods {
            for track in &period.tracks {
                for frame in (0..period.frames).step_by(STEP) {
                    let at = track.at(frame);
                    if at.is_finite() {
                        on_court.add(is_on(&game.info.court, at.x_m, at.y_m));
                        across.add(at.y_m);
                    }
                    let speed_mps = track.velocity_at(frame).length();
                    if speed_mps.is_finite() {
                        runs.add(speed_mps < RUNS_MPS);
                    }
                }
            }
            for z_m in period.ball.z_m.iter().step_by(STEP).filter(|z_m| z_m.is_finite()) {
                heights.add(HEIGHTS_M.contains(z_m));
            }
        }
        Self {
            usable_share: if frames > 0.0 { usable_sum / frames } else { 0.0 },
            court_share: on_court.value(),
            spread_share: across
                .middle_m()
                .map(|width_m| width_m / f64::from(game.info.court.width_m)),
            speed_share: runs.value(),
            clock_off_share: clock_off_share(&game.periods),
            height_share: heights.value(),
            clean_share: (possessions.len() >= FEW_POSSESSIONS)
                .then(|| clean as f64 / possessions.len() as f64),
        }
    }

    /// What the game is worth, and why it is not better.
    pub fn verdict(&self, params: &GateParams) -> (Verdict, Vec<String>) {
        let mut worst = Verdict::Good;
        let mut reasons = Vec::new();
        for fact in &FACTS {
            let Some(found) = (fact.of)(self) else { continue };
            let limits = (fact.limits)(params);
            let verdict = match limits.iter().position(|&limit| fact.is_met(found, limit)) {
                Some(0) => continue,
                Some(1) => Verdict::Usable,
                Some(_) => Verdict::Poor,
                None => Verdict::Refused,
            };
            worst = worst.max(verdict);
            reasons.push(fact.reason(found, limits[0]));
        }
        (worst, reasons)
    }
}

/// A fact that the gate holds against its limits.
struct Fact {
    of: fn(&GameFacts) -> Option<f64>,
    /// Of a good, a usable and a poor game.
    limits: fn(&GateParams) -> [f64; 3],
    what: &'static str,
    /// What to look at when it falls short.
    look_at: &'static str,
    /// Whether less is better.
    less_is_better: bool,
}

const fn fact(
    of: fn(&GameFacts) -> Option<f64>,
    limits: fn(&GateParams) -> [f64; 3],
    what: &'static str,
    look_at: &'static str,
) -> Fact {
    Fact {
        of,
        limits,
        what,
        look_at,
        less_is_better: false,
    }
}

const FACTS: [Fact; 7] = [
    fact(
        |facts| Some(facts.usable_share),
        |gate| gate.usable_share.0,
        "of the live time have ten players and the ball",
        "[player], [team] and [ball] of the mapping, or the feed's gaps",
    ),
    fact(
        |facts| facts.court_share,
        |gate| gate.court_share.0,
        "of the players' places are on the court",
        "[place] unit and origin of the mapping, and the court",
    ),
    fact(
        |facts| facts.spread_share,
        |gate| gate.spread_share.0,
        "of the court's width is used by the players",
        "[place] unit of the mapping, and the court",
    ),
    fact(
        |facts| facts.speed_share,
        |gate| gate.speed_share.0,
        "of the players' speeds are such as people run",
        "[time] unit and rate_hz of the mapping",
    ),
    Fact {
        less_is_better: true,
        ..fact(
            |facts| facts.clock_off_share,
            |gate| gate.clock_off_share.0,
            "apart run the game clock and the frames' time",
            "[time] unit and rate_hz of the mapping",
        )
    },
    fact(
        |facts| facts.height_share,
        |gate| gate.height_share.0,
        "of the ball's heights are such as a ball has",
        "[ball] z and its unit",
    ),
    fact(
        |facts| facts.clean_share,
        |gate| gate.clean_share.0,
        "of the possessions are without a fault of the tracking",
        "the notes of game_quality",
    ),
];

impl Fact {
    fn is_met(&self, found: f64, limit: f64) -> bool {
        if self.less_is_better {
            found <= limit
        } else {
            found >= limit
        }
    }

    fn reason(&self, found: f64, good: f64) -> String {
        // A share that is short of a limit must not be printed as the limit.
        let (found, from) = if self.less_is_better {
            (format!("{:.0} %", (100.0 * found).ceil()), "up to")
        } else {
            (format!("only {:.0} %", (100.0 * found).floor()), "from")
        };
        format!(
            "{found} {} (good {from} {} %): look at {}",
            self.what,
            100.0 * good,
            self.look_at
        )
    }
}

/// Every so many frames are looked at: five a second are enough.
const STEP: usize = 5;

fn is_on(court: &Court, x_m: f32, y_m: f32) -> bool {
    x_m.abs() <= court.length_m / 2.0 + BESIDE_M && y_m.abs() <= court.width_m / 2.0 + BESIDE_M
}

/// How many of how many.
#[derive(Default)]
struct Share {
    hits: u64,
    all: u64,
}

impl Share {
    fn add(&mut self, hit: bool) {
        self.hits += u64::from(hit);
        self.all += 1;
    }

    fn value(&self) -> Option<f64> {
        (self.all > 0).then(|| self.hits as f64 / self.all as f64)
    }
}

/// Where places across the court lie, in bins of [`BIN_M`].
struct Spread {
    bins: [u64; BINS],
    all: u64,
}

const BIN_M: f32 = 0.1;
const BINS: usize = 600;

impl Default for Spread {
    fn default() -> Self {
        Self {
            bins: [0; BINS],
            all: 0,
        }
    }
}

impl Spread {
    fn add(&mut self, y_m: f32) {
        let bin = (y_m / BIN_M) as isize + BINS as isize / 2;
        self.bins[bin.clamp(0, BINS as isize - 1) as usize] += 1;
        self.all += 1;
    }

    /// How wide the middle 96 % are, m.
    fn middle_m(&self) -> Option<f64> {
        if self.all == 0 {
            return None;
        }
        let below = |share: f64| {
            let wanted = (self.all as f64 * share) as u64;
            let mut seen = 0;
            self.bins
                .iter()
                .position(|count| {
                    seen += count;
                    seen > wanted
                })
                .unwrap_or(BINS - 1)
        };
        Some((below(0.98) - below(0.02)) as f64 * f64::from(BIN_M))
    }
}

/// The median of how far the game clock runs from the frames' time, over spans in which it runs all along.
fn clock_off_share(periods: &[Period]) -> Option<f64> {
    let mut off = Vec::new();
    for period in periods {
        let span = period.frames_in(CLOCK_SPAN_S);
        let second = period.frames_in(1.0);
        let mut from = 0;
        while from + span < period.frames {
            let clock = &period.game_clock_s[from..=from + span];
            // A clock that stands for a second does not run all along.
            let runs = clock
                .iter()
                .step_by(second)
                .zip(clock.iter().step_by(second).skip(1))
                .all(|(a, b)| a > b);
            if runs {
                let gone_s = f64::from(clock[0] - clock[span]);
                off.push((gone_s / (span as f64 / period.hz) - 1.0).abs());
            }
            from += span;
        }
    }
    off.sort_by(f64::total_cmp);
    off.get(off.len() / 2).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: GameFacts = GameFacts {
        usable_share: 0.98,
        court_share: Some(1.0),
        spread_share: Some(0.9),
        speed_share: Some(1.0),
        clock_off_share: Some(0.0),
        height_share: None,
        clean_share: None,
    };

    #[test]
    fn the_worst_fact_decides_and_is_named() {
        let params = GateParams::default();
        assert_eq!(GOOD.verdict(&params), (Verdict::Good, vec![]));
        let seven = GameFacts {
            usable_share: 0.05,
            ..GOOD
        };
        let (verdict, reasons) = seven.verdict(&params);
        assert_eq!(verdict, Verdict::Refused);
        assert_eq!(
            reasons,
            [
                "only 5 % of the live time have ten players and the ball (good from 90 %): look at [player], [team] and [ball] of the mapping, or the feed's gaps"
            ]
        );
        let (verdict, reasons) = GameFacts {
            clock_off_share: Some(0.1),
            court_share: Some(0.95),
            ..GOOD
        }
        .verdict(&params);
        assert_eq!((verdict, reasons.len()), (Verdict::Poor, 2));
    }

    #[test]
    fn a_share_just_short_of_a_limit_is_not_printed_as_the_limit() {
        let (verdict, reasons) = GameFacts {
            usable_share: 0.8999,
            ..GOOD
        }
        .verdict(&GateParams::default());
        assert_eq!(verdict, Verdict::Usable);
        assert!(reasons[0].starts_with("only 89 %"), "{reasons:?}");
    }
}
