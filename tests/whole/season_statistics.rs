//! The statistics of the season tables against SciPy: rates, differences of rates, entropies, teams drawn toward the league.

use scrim_statistics::{
    Estimate, Interval, Misread, RateSpread, ReadPairs, TagErrors, entropy_bits, rate_difference,
    rate_through_tags, shrink_differences, wilson,
};
use serde::Deserialize;
use serde_json::json;

use crate::python::ask;
use crate::sequence::Sequence;

#[derive(Deserialize)]
struct Answers {
    rates: Vec<[f64; 2]>,
    pairs: Vec<[f64; 2]>,
    counts: Vec<[f64; 4]>,
    teams: Vec<Vec<[f64; 3]>>,
    team_rates: Vec<Vec<[f64; 3]>>,
    misread: Vec<Vec<Vec<[f64; 3]>>>,
    tags: Vec<[f64; 3]>,
}

#[track_caller]
fn close(ours: f64, theirs: f64, within: f64, what: &str) {
    assert!(
        (ours - theirs).abs() <= within,
        "{what}: ours {ours}, SciPy's {theirs}"
    );
}

#[test]
fn rates_entropies_and_shrunken_teams_are_scipys() {
    let mut sequence = Sequence::new(5);
    let mut next = |below: u32| (sequence.next_share() * f64::from(below)) as u32;
    let mut rates: Vec<(u32, u32)> = vec![(0, 1), (1, 1), (0, 20), (20, 20), (81, 263), (1, 100_000)];
    for size in [3, 30, 300, 3_000] {
        for _ in 0..20 {
            let n = 1 + next(size);
            rates.push((next(n + 1), n));
        }
    }
    let pairs: Vec<[(u32, u32); 2]> = rates.windows(2).map(|two| [two[0], two[1]]).collect();
    let mut counts: Vec<Vec<u32>> = vec![vec![1], vec![7], vec![0, 3], vec![1, 1], vec![500, 1]];
    for size in [2, 20, 200] {
        for _ in 0..10 {
            let outcomes = 1 + next(9);
            let mut drawn: Vec<u32> = (0..outcomes).map(|_| next(size)).collect();
            drawn.push(1);
            counts.push(drawn);
        }
    }
    // Eight schools (Rubin 1981); teams that agree; teams of which one stands alone; thirty teams.
    let schools: Vec<(f64, f64)> = vec![
        (28.0, 15.0),
        (8.0, 10.0),
        (-3.0, 16.0),
        (7.0, 11.0),
        (-1.0, 9.0),
        (1.0, 11.0),
        (18.0, 10.0),
        (12.0, 18.0),
    ];
    let agree = vec![(0.1, 0.2), (0.1, 0.3), (0.1, 0.1), (0.1, 0.2)];
    let alone = vec![(0.1, 0.1), (0.0, 0.2), (0.2, 0.1), (2.0, 0.2)];
    let many = (0..30).map(|_| {
        (
            f64::from(next(100)) / 100.0 - 0.5,
            0.05 + f64::from(next(40)) / 100.0,
        )
    });
    let many: Vec<(f64, f64)> = many.collect();
    let teams = vec![schools, agree, alone, many];
    let few_shots: Vec<(u32, u32)> = vec![(0, 5), (2, 4), (1, 9), (3, 3)];
    let league: Vec<(u32, u32)> = (0..30)
        .map(|_| {
            let n = 5 + next(120);
            (n * (30 + next(25)) / 100, n)
        })
        .collect();
    let team_rates = vec![few_shots, league];

    // Enough pairs and labels that a bound is one of a normal distribution: the ways to it differ where they are few.
    let labels = [[4_600, 250, 150], [100, 4_750, 150], [300, 200, 4_500]];
    let read = [[9_000, 3_000, 1_200], [1_500, 11_000, 2_600], [900, 2_100, 7_000]];
    let misread: Vec<serde_json::Value> = [false, true]
        .map(|next| json!({ "pairs": read, "labels": labels, "next": next }))
        .to_vec();
    let tags = [
        (3_000_u32, 10_000_u32, [[2_700_u32, 300_u32], [150, 2_850]]),
        (14_000, 20_000, [[5_700, 300], [400, 3_600]]),
    ];

    let answers: Answers = ask(
        "season_statistics.py",
        &json!({
            "rates": rates, "pairs": pairs, "counts": counts, "teams": teams, "team_rates": team_rates,
            "misread": misread, "tags": tags,
        }),
    );
    // The value is the equations' solution; bounds by a formula (Wilson's, which lean
    // toward a half) and by drawing anew differ by a tenth of the width at most.
    let through = |ours: Interval, [value, low, high]: [f64; 3], what: &str| {
        close(ours.value, value, 1e-9, what);
        // Near 0 the two have other shapes: Wilson's never leaves what can be.
        if low < high - low {
            return;
        }
        let slack = (high - low) / 10.0;
        close(ours.low, low, slack, &format!("{what}, low"));
        close(ours.high, high, slack, &format!("{what}, high"));
    };
    let known = Misread::of(&labels.map(|row| row.to_vec())).unwrap();
    let counts_read = nalgebra::DMatrix::from_fn(3, 3, |row, column| f64::from(read[row][column]));
    for (next_too, theirs) in [false, true].into_iter().zip(&answers.misread) {
        let of = ReadPairs::of(counts_read.clone(), &known, next_too);
        for (first, row) in theirs.iter().enumerate() {
            for (next, theirs) in row.iter().enumerate() {
                through(
                    of.rate(first, next).unwrap(),
                    *theirs,
                    &format!("{first} then {next}"),
                );
            }
        }
    }
    for ((hits, n, [[found, missed], [wrong, passed]]), theirs) in tags.into_iter().zip(&answers.tags) {
        let errors = TagErrors {
            yes: (found + missed, found),
            no: (wrong + passed, passed),
        };
        let ours = rate_through_tags(hits, n, &errors).unwrap();
        through(ours, *theirs, &format!("{hits} of {n} through tags"));
    }
    for ((hits, n), [low, high]) in rates.iter().zip(&answers.rates) {
        let ours = wilson(*hits, *n).unwrap();
        close(ours.low, *low, 1e-12, &format!("Wilson, {hits} of {n}, low"));
        close(ours.high, *high, 1e-12, &format!("Wilson, {hits} of {n}, high"));
    }
    for (pair, [low, high]) in pairs.iter().zip(&answers.pairs) {
        let [first, second] = pair.map(|(hits, n)| wilson(hits, n).unwrap());
        let ours = rate_difference(first, second);
        close(ours.low, *low, 1e-12, &format!("Newcombe, {pair:?}, low"));
        close(ours.high, *high, 1e-12, &format!("Newcombe, {pair:?}, high"));
    }
    for (counts, [plug_in, corrected, low, high]) in counts.iter().zip(&answers.counts) {
        let ours = entropy_bits(counts).unwrap();
        close(
            ours.plug_in_bits,
            *plug_in,
            1e-12,
            &format!("entropy of {counts:?}"),
        );
        close(
            ours.bits.value,
            *corrected,
            1e-12,
            &format!("Miller's of {counts:?}"),
        );
        close(ours.bits.low, *low, 1e-9, &format!("low bound of {counts:?}"));
        close(ours.bits.high, *high, 1e-9, &format!("high bound of {counts:?}"));
    }
    // Grids against integration: a thousandth of an interval's width is no difference to anyone.
    let within = |ours: &Interval, theirs: &[f64; 3], what: &str| {
        let slack = 2e-3 * (theirs[2] - theirs[1]);
        close(ours.value, theirs[0], slack, what);
        close(ours.low, theirs[1], 5.0 * slack, what);
        close(ours.high, theirs[2], 5.0 * slack, what);
    };
    for (teams, theirs) in teams.iter().zip(&answers.teams) {
        let estimates: Vec<Estimate> = teams
            .iter()
            .map(|&(value, standard_error)| Estimate {
                value,
                standard_error,
            })
            .collect();
        for (k, (ours, theirs)) in shrink_differences(&estimates).iter().zip(theirs).enumerate() {
            within(ours, theirs, &format!("team {k} of {teams:?}"));
        }
    }
    for (teams, theirs) in team_rates.iter().zip(&answers.team_rates) {
        let spread = RateSpread::learn(teams).unwrap();
        for (&(hits, n), theirs) in teams.iter().zip(theirs) {
            within(
                &spread.shrink(hits, n),
                theirs,
                &format!("{hits} of {n} among {teams:?}"),
            );
        }
    }
}
