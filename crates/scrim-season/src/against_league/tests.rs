//! Seasons made by hand, with one thing that sets a team apart, or none.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use scrim_floor::Definitions;
use scrim_statistics::wilson;
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Coverage, Question, TeamSide};

use super::against_league_rows;
use crate::facts::GameFacts;
use crate::staging::{Staged, What};
use crate::teams::Teams;

const TEAMS: [&str; 6] = ["a", "b", "c", "d", "e", "f"];

/// Everybody meets everybody twice, forty possessions with a ball screen a side. Each is hedged with the defence's probability, else
/// met by a drop, and late by `late_s` of the defence, half a second more or less.
fn season(seed: u64, p_hedge: impl Fn(&str) -> f64, late_s: impl Fn(&str) -> f32) -> Vec<GameFacts> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut chance = move || f64::from(rng.next_u32()) / f64::from(u32::MAX);
    let mut games = Vec::new();
    for round in 0..2 {
        for (k, one) in TEAMS.iter().enumerate() {
            for other in &TEAMS[k + 1..] {
                let mut game = Staged::new(&format!("{round}{one}{other}"), None);
                for number in 0..80 {
                    let teams = if number % 2 == 0 {
                        [*one, *other]
                    } else {
                        [*other, *one]
                    };
                    let what = What {
                        coverage: if chance() < p_hedge(teams[1]) {
                            Coverage::Hedge
                        } else {
                            Coverage::Drop
                        },
                        late_s: Some(late_s(teams[1]) + chance() as f32 - 0.5),
                        ..What::default()
                    };
                    let points = if chance() < 0.5 { 2 } else { 0 };
                    game = game.possession_of(teams, "horns down:left ball_screen:left", Some(points), what);
                }
                games.push(game.done());
            }
        }
    }
    games
}

fn rows(games: &[GameFacts]) -> Vec<AgainstLeagueRow> {
    against_league_rows(games, &Teams::of(games), &Definitions::DEFAULT)
}

#[test]
fn what_one_team_alone_does_stands_out_and_nothing_else_does() {
    let games = season(1, |team| if team == "d" { 0.5 } else { 0.2 }, |_| 0.3);
    let rows = rows(&games);
    let standing: Vec<_> = rows
        .iter()
        .filter(|row| row.rank.is_some())
        .map(|row| {
            (
                row.team_id.as_ref(),
                row.side,
                row.question,
                row.answer.as_deref().unwrap_or(""),
            )
        })
        .collect();
    let coverage = |word| ("d", TeamSide::Defense, Question::Coverage, word);
    // Fewer drops are the other side of more hedges: said once.
    assert_eq!(standing, [coverage("hedge")]);
    let hedge = rows
        .iter()
        .find(|row| row.rank.is_some() && row.answer.as_deref() == Some("hedge"))
        .unwrap();
    let of_team = |team: &str| -> (u32, u32) {
        let mut counts = (0, 0);
        for game in &games {
            for play in &game.plays {
                if game.possessions[play.possession].defense.as_ref() == team {
                    counts.0 += 1;
                    counts.1 += u32::from(play.coverage == Coverage::Hedge);
                }
            }
        }
        counts
    };
    let (n, hits) = of_team("d");
    assert_eq!((hedge.games, hedge.n, hedge.hits), (10, n, Some(hits)));
    let league = ["a", "b", "c", "e", "f"].map(of_team);
    assert_eq!(hedge.league_n, league.iter().map(|(n, _)| n).sum::<u32>());
    // The other teams together, or the middle one of them: whichever is nearer, of two that lie below.
    let league_hits: u32 = league.iter().map(|(_, hits)| hits).sum();
    let together = f64::from(league_hits) / f64::from(hedge.league_n);
    let mut rates = league.map(|(n, hits)| f64::from(hits) / f64::from(n));
    rates.sort_by(f64::total_cmp);
    assert!((f64::from(hedge.league) - together.max(rates[2])).abs() < 1e-6);
    // Games hang together or not: the range is never narrower than Wilson's, and the difference is drawn toward none.
    let alone = wilson(hits, n).unwrap();
    assert!(
        f64::from(hedge.value_low) <= alone.low + 1e-6 && f64::from(hedge.value_high) >= alone.high - 1e-6
    );
    assert!(0.0 < hedge.difference && hedge.difference < hedge.value - hedge.league);
}

#[test]
fn points_with_an_answer_stand_beside_those_of_the_teams_other_ball_screens() {
    // `a` defends 400 possessions in ten games: every third is hedged and costs two points, of the others every second one does.
    let mut games = season(5, |_| 0.3, |_| 0.3);
    let mut number = 0;
    for game in &mut games {
        for play in &mut game.plays {
            let possession = &mut game.possessions[play.possession];
            if possession.defense.as_ref() != "a" {
                continue;
            }
            let is_hedge = number % 3 == 0;
            play.coverage = if is_hedge { Coverage::Hedge } else { Coverage::Drop };
            possession.points = Some(if is_hedge || number % 2 == 0 { 2 } else { 0 });
            number += 1;
        }
    }
    let rows = rows(&games);
    let is_it = |row: &&AgainstLeagueRow| {
        row.team_id.as_ref() == "a"
            && row.question == Question::Coverage
            && row.answer.as_deref() == Some("hedge")
    };
    let hedge = rows.iter().find(is_it).unwrap();
    assert_eq!(hedge.points_per_play, Some(2.0));
    // Of six in a row the 2nd, 3rd, 5th and 6th are no hedges, and of these the 3rd and the 5th are even: two of four.
    assert_eq!(hedge.points_without, Some(1.0));
    // About 1 ± 1.96 · 1.0 · √(1/133 + 1/267) = 1 ± 0.21: 400 possessions of a spread of about one point.
    let (low, high) = (hedge.points_gain_low.unwrap(), hedge.points_gain_high.unwrap());
    assert!((low + high - 2.0).abs() < 1e-5);
    assert!((0.75..0.83).contains(&low), "{low}");
}

#[test]
fn a_late_defender_stands_out_by_seconds() {
    // Each team has one defender of screeners in these games, who is called the same in all: by team they stay apart.
    let games = season(2, |_| 0.3, |team| if team == "b" { 0.7 } else { 0.3 });
    let rows = rows(&games);
    let standing: Vec<_> = rows.iter().filter(|row| row.rank.is_some()).collect();
    assert_eq!(standing.len(), 1);
    let late = standing[0];
    assert_eq!(
        (late.team_id.as_ref(), late.question),
        ("b", Question::DefenderLate)
    );
    assert_eq!((late.hits, late.answer.as_deref()), (None, None));
    // Uniform within half a second: a spread of 0.289 s, so that 0.4 s is an effect of about 1.4.
    assert!((late.value - 0.7).abs() < 0.05 && (late.league - 0.3).abs() < 0.05);
    assert!((1.2..1.6).contains(&late.effect), "{}", late.effect);
}

#[test]
fn among_teams_that_are_alike_hardly_a_row_stands_out() {
    // Of seasons at most one in fifty has any, on average; of twenty three or more have a chance of 0.7 % (binomial).
    let with_any = (10..30).filter(|&seed| {
        let games = season(seed, |_| 0.3, |_| 0.3);
        rows(&games).iter().any(|row| row.rank.is_some())
    });
    assert!(with_any.count() <= 2);
}

#[test]
fn too_few_ball_screens_are_not_compared() {
    let games: Vec<GameFacts> = season(3, |_| 0.3, |_| 0.3).into_iter().take(2).collect();
    assert!(rows(&games).is_empty());
}

#[test]
fn the_order_of_the_games_changes_nothing() {
    let mut games = season(4, |team| if team == "d" { 0.5 } else { 0.2 }, |_| 0.3);
    let before = rows(&games);
    games.reverse();
    let after = rows(&games);
    // Sums of floats are in the games' order; whoever calls sorts the games first.
    assert_eq!(before.len(), after.len());
    for (a, b) in before.iter().zip(&after) {
        assert_eq!(
            (&a.team_id, a.question, a.n, a.hits, a.rank),
            (&b.team_id, b.question, b.n, b.hits, b.rank)
        );
    }
}
