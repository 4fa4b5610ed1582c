//! What each team does, with the ball and against it.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use scrim_tables::chain::{Token, merged};
use scrim_tables::rows::TendencyRow;
use scrim_tables::tags::{Alignment, Coverage, Entry, Grouping, Phase, TeamSide};
use scrim_tables::{Id, ids_key};

use crate::ball_screens::OnBallScreen;
use crate::coverage_shares::ExpectedCoverages;
use crate::facts::{GameFacts, Possession};
use crate::look::token_code;
use crate::tally::Tally;
use crate::teams::{TeamIx, Teams};
use crate::{Counting, PlayInGame, SeasonParams, TagCounts, TaggingParams};
use scrim_statistics::{Interval, entropy_bits, mean_interval, rate_through_tags, wilson, wilson_share};

/// One team, one side.
#[derive(Debug, Default)]
struct Counts {
    /// Ball screens.
    all: u32,
    /// Those whose coverage is clear.
    clear: u32,
    entries: BTreeMap<Entry, EntryCounts>,
    coverages: BTreeMap<Coverage, Tally>,
    expected: ExpectedCoverages,
    pairs: BTreeMap<(Id, Id), Tally>,
    zones: BTreeMap<&'static str, Tally>,
    looks: BTreeMap<LookIx, LookCounts>,
}

#[derive(Debug, Default)]
struct EntryCounts {
    tally: Tally,
    clear: u32,
    coverages: BTreeMap<Coverage, Tally>,
    expected: ExpectedCoverages,
}

#[derive(Debug, Default)]
struct LookCounts {
    tally: Tally,
    ball_screens: u32,
    /// How often each action came next; [`Entry::None`] is no further action.
    next: Vec<(Entry, u32)>,
}

/// A look's place in [`Looks`].
type LookIx = u32;

/// Every look that came up, mirror images merged: a tree of tokens below each alignment.
#[derive(Debug, Default)]
struct Looks {
    /// Each look's alignment or last token, and the look before it.
    parts: Vec<(Option<LookIx>, Part)>,
    /// Only looked up in, never walked: its order is nobody's.
    places: HashMap<(Option<LookIx>, u8), LookIx>,
}

#[derive(Debug, Clone, Copy)]
enum Part {
    Alignment(Alignment),
    Token(Token),
}

impl Looks {
    fn place(&mut self, before: Option<LookIx>, part: Part) -> LookIx {
        let code = match part {
            Part::Alignment(alignment) => alignment as u8,
            Part::Token(token) => token_code(token),
        };
        *self.places.entry((before, code)).or_insert_with(|| {
            self.parts.push((before, part));
            self.parts.len() as LookIx - 1
        })
    }

    /// The look as `entries.set_key` has it.
    fn key(&self, look: LookIx) -> String {
        let mut words = Vec::new();
        let mut at = Some(look);
        while let Some(place) = at {
            let (before, part) = self.parts[place as usize];
            words.push(match part {
                Part::Alignment(alignment) => alignment.to_string(),
                Part::Token(token) => token.to_string(),
            });
            at = before;
        }
        words.reverse();
        words.join(" ")
    }
}

/// The rows of `tendencies`, by team, side, grouping and key.
pub(crate) fn tendency_rows(games: &[GameFacts], teams: &Teams, params: &SeasonParams) -> Vec<TendencyRow> {
    let mut counter = Counter {
        teams,
        looks: Looks::default(),
        counts: (0..teams.len())
            .map(|_| [Counts::default(), Counts::default()])
            .collect(),
        season: Tally::default(),
    };
    for (number, game) in games.iter().enumerate() {
        counter.game(number as u32, game);
    }
    counter.rows(params)
}

struct Counter<'a> {
    teams: &'a Teams,
    looks: Looks,
    /// A pair a team: [`TeamSide::Offense`], [`TeamSide::Defense`].
    counts: Vec<[Counts; 2]>,
    /// All possessions.
    season: Tally,
}

impl Counter<'_> {
    fn game(&mut self, number: u32, game: &GameFacts) {
        for (place, possession) in game.possessions.iter().enumerate() {
            self.season.add(number, place, possession.points);
            if possession.phase == Phase::HalfCourt {
                self.possession(number, place, possession);
            }
        }
        for screen in game
            .plays_in_game(number as usize)
            .filter(OnBallScreen::is_ball_screen)
        {
            for (team, side) in self.sides(screen.possession()) {
                self.counts[team.0][side].screen(number, &screen);
            }
        }
    }

    fn sides(&self, possession: &Possession) -> [(TeamIx, usize); 2] {
        [
            (self.teams.place(&possession.offense), 0),
            (self.teams.place(&possession.defense), 1),
        ]
    }

    /// Every look of a possession, from the alignment alone to the whole chain, and what came next.
    fn possession(&mut self, number: u32, place: usize, possession: &Possession) {
        let sides = self.sides(possession);
        let mut look = self.looks.place(None, Part::Alignment(possession.alignment));
        let mut tokens = merged(&possession.chain);
        loop {
            let next = tokens.next();
            for (team, side) in sides {
                let counts = self.counts[team.0][side].looks.entry(look).or_default();
                counts.add(
                    number,
                    place,
                    possession.points,
                    next.map_or(Entry::None, |token| token.word),
                );
            }
            let Some(token) = next else { break };
            look = self.looks.place(Some(look), Part::Token(token));
        }
    }

    fn rows(&self, params: &SeasonParams) -> Vec<TendencyRow> {
        let variance = self.season.points.variance().unwrap_or(0.0);
        let mut rows = Vec::new();
        for (place, sides) in self.counts.iter().enumerate() {
            for (side, counts) in [TeamSide::Offense, TeamSide::Defense].into_iter().zip(sides) {
                let writer = Writer {
                    team: self.teams.id(TeamIx(place)),
                    side,
                    variance,
                    tagging: &params.tagging,
                };
                writer.rows(counts, &self.looks, params, &mut rows);
            }
        }
        rows
    }
}

impl Counts {
    fn screen(&mut self, game: u32, screen: &PlayInGame<'_>) {
        let (_, possession) = screen.possession_key();
        let points = screen.possession_points();
        let coverage = screen.coverage_tag().unwrap_or(Coverage::Unclear);
        let clear = u32::from(screen.coverage().is_some());
        self.all += 1;
        self.clear += clear;
        // The facts have an entry of every play.
        let came_out_of = screen.came_out_of().unwrap_or(Entry::None);
        let entry = self.entries.entry(came_out_of).or_default();
        entry.tally.add(game, possession, points);
        entry.clear += clear;
        for expected in [&mut entry.expected, &mut self.expected] {
            expected.add(screen.play.coverage_shares, coverage);
        }
        let of_entry = entry.coverages.entry(coverage).or_default();
        of_entry.add(game, possession, points);
        let of_coverage = self.coverages.entry(coverage).or_default();
        of_coverage.add(game, possession, points);
        let (handler, screener) = screen.pair();
        let pair = (handler.clone(), screener.clone());
        self.pairs.entry(pair).or_default().add(game, possession, points);
        let zone = self.zones.entry(screen.zone().as_str()).or_default();
        zone.add(game, possession, points);
    }
}

impl LookCounts {
    fn add(&mut self, game: u32, possession: usize, points: Option<u8>, next: Entry) {
        self.tally.add(game, possession, points);
        self.ball_screens += u32::from(next == Entry::BallScreen);
        match self.next.iter_mut().find(|(word, _)| *word == next) {
            Some((_, count)) => *count += 1,
            None => self.next.push((next, 1)),
        }
    }
}

/// The coverages of some ball screens.
struct CoverageCounts<'a> {
    all: u32,
    /// Those whose tag is clear.
    clear: u32,
    tags: &'a BTreeMap<Coverage, Tally>,
    expected: &'a ExpectedCoverages,
}

/// The rows of one team and side.
struct Writer<'a> {
    team: &'a Id,
    side: TeamSide,
    variance: f64,
    tagging: &'a TaggingParams,
}

impl Writer<'_> {
    fn rows(&self, counts: &Counts, looks: &Looks, params: &SeasonParams, rows: &mut Vec<TendencyRow>) {
        for (entry, of_entry) in &counts.entries {
            let row = self.counted(Grouping::Entry, entry.to_string(), counts.all, &of_entry.tally);
            let errors = self.tagging.entry.get(entry);
            rows.extend(row.map(|row| adjusted(row, errors)));
        }
        let mut of_looks: Vec<(String, &LookCounts)> = counts
            .looks
            .iter()
            .filter(|(_, look)| look.tally.count >= params.min_look_n)
            .map(|(place, look)| (looks.key(*place), look))
            .collect();
        of_looks.sort_by(|a, b| a.0.cmp(&b.0));
        for (key, look) in of_looks {
            let mut counts: Vec<u32> = look.next.iter().map(|(_, count)| *count).collect();
            // Sums of floats depend on their order: the games' order must not show.
            counts.sort_unstable();
            let entropy = entropy_bits(&counts).map(|entropy| entropy.bits);
            let row = self.row(
                Grouping::Look,
                key,
                look.tally.count,
                look.ball_screens,
                &look.tally,
            );
            rows.extend(row.map(|row| TendencyRow {
                next_action_entropy_bits: entropy.map(|bits| bits.value as f32),
                entropy_low_bits: entropy.map(|bits| bits.low as f32),
                entropy_high_bits: entropy.map(|bits| bits.high as f32),
                ..adjusted(row, Some(&self.tagging.ball_screen))
            }));
        }
        let by_coverage = CoverageCounts {
            all: counts.all,
            clear: counts.clear,
            tags: &counts.coverages,
            expected: &counts.expected,
        };
        self.coverages(Grouping::Coverage, "", &by_coverage, params.count, rows);
        for (entry, of_entry) in &counts.entries {
            let by_coverage = CoverageCounts {
                all: of_entry.tally.count,
                clear: of_entry.clear,
                tags: &of_entry.coverages,
                expected: &of_entry.expected,
            };
            let prefix = format!("{entry}/");
            self.coverages(Grouping::EntryCoverage, &prefix, &by_coverage, params.count, rows);
        }
        for ((handler, screener), tally) in &counts.pairs {
            rows.extend(self.counted(Grouping::Pair, ids_key(&[handler, screener]), counts.all, tally));
        }
        for (zone, tally) in &counts.zones {
            rows.extend(self.counted(Grouping::Zone, (*zone).to_owned(), counts.all, tally));
        }
    }

    /// A row a coverage.
    fn coverages(
        &self,
        grouping: Grouping,
        prefix: &str,
        counts: &CoverageCounts,
        count: Counting,
        rows: &mut Vec<TendencyRow>,
    ) {
        let expected = match count {
            Counting::Tags => BTreeMap::new(),
            Counting::Expected => counts.expected.hits().collect(),
        };
        let words: BTreeSet<Coverage> = counts.tags.keys().chain(expected.keys()).copied().collect();
        for coverage in words {
            let none = Tally::default();
            let tally = counts.tags.get(&coverage).unwrap_or(&none);
            let is_unclear = coverage == Coverage::Unclear;
            let n = match expected.get(&coverage) {
                Some(_) => counts.expected.known,
                None if is_unclear => counts.all,
                None => counts.clear,
            };
            let key = format!("{prefix}{coverage}");
            let row = match expected.get(&coverage) {
                Some(&hits) => self.expected(grouping, key, n, hits, tally),
                None => self
                    .counted(grouping, key, n, tally)
                    .map(|row| adjusted(row, self.tagging.coverage_counts(coverage).as_ref())),
            };
            rows.extend(row);
        }
    }

    /// A row whose hits are expected, not counted: so many of `n`, whole or not.
    fn expected(
        &self,
        grouping: Grouping,
        key: String,
        n: u32,
        hits: f64,
        tally: &Tally,
    ) -> Option<TendencyRow> {
        let rate = wilson_share(hits, n)?;
        Some(TendencyRow {
            rate: rate.value as f32,
            rate_low: rate.low as f32,
            rate_high: rate.high as f32,
            expected_hits: Some(hits as f32),
            ..self.row(grouping, key, n, tally.count, tally)?
        })
    }

    fn counted(&self, grouping: Grouping, key: String, n: u32, tally: &Tally) -> Option<TendencyRow> {
        self.row(grouping, key, n, tally.count, tally)
    }

    fn row(&self, grouping: Grouping, key: String, n: u32, hits: u32, tally: &Tally) -> Option<TendencyRow> {
        let rate = wilson(hits, n)?;
        let points = mean_interval(&tally.points, self.variance).map(|mean| mean.within(0.0, f64::INFINITY));
        let of = |get: fn(&Interval) -> f64| points.as_ref().map(|mean| get(mean) as f32);
        Some(TendencyRow {
            team_id: self.team.clone(),
            side: self.side,
            grouping,
            key,
            games: tally.games,
            n,
            hits,
            rate: rate.value as f32,
            rate_low: rate.low as f32,
            rate_high: rate.high as f32,
            points_per_play: of(|mean| mean.value),
            ppp_low: of(|mean| mean.low),
            ppp_high: of(|mean| mean.high),
            next_action_entropy_bits: None,
            entropy_low_bits: None,
            entropy_high_bits: None,
            expected_hits: None,
            possessions: tally.points.n,
            rate_adjusted: None,
            rate_adjusted_low: None,
            rate_adjusted_high: None,
        })
    }
}

/// The row with its rate as it is likely to be in truth, when it is known how often tags are right.
fn adjusted(row: TendencyRow, errors: Option<&TagCounts>) -> TendencyRow {
    let rate = errors.and_then(|counts| rate_through_tags(row.hits, row.n, &counts.errors()));
    let of = |get: fn(&Interval) -> f64| rate.as_ref().map(|rate| get(rate) as f32);
    TendencyRow {
        rate_adjusted: of(|rate| rate.value),
        rate_adjusted_low: of(|rate| rate.low),
        rate_adjusted_high: of(|rate| rate.high),
        ..row
    }
}

#[cfg(test)]
mod tests;
