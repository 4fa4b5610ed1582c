//! Which clip comes first. All that decides it stands here.
//!
//! **One screen in five is kept for chance**, by a hash of its game and id alone ([`is_by_chance`]): these come in the hash's order, every
//! fifth clip, and are never pulled forward. So those of them that are answered, however many, are a random sample of all ball
//! screens, and scores from them lean neither way. The others come by what an answer is expected to bring.
//!
//! **What an answer brings**: for each tag that the program has probabilities for (that it is a screen, its outcome, its coverage) the
//! entropy of these, in bits, times the rows that hang on the tag (a screen that is none takes its coverage, option and entry with it), times
//! how rare the tag's word is; added up. A tag without probabilities brings nothing: no fit would use it. Ties go by game and id.
//!
//! Common practice (uncertainty sampling: D. D. Lewis & W. A. Gale, "A sequential algorithm for training text classifiers", SIGIR 1994);
//! the weights have no source.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use scrim_tables::ledger::sha256_of;

use crate::answer::Picked;
use crate::candidates::Candidate;
use crate::clip::Clip;
use crate::question::Question;

/// One screen in so many is kept for chance, and one clip in so many is one of these.
pub const CHANCE_ONE_IN: u32 = 5;
/// A rare word counts at most so many times as much as one that is as frequent as words are on average.
const MOST_RARITY: f64 = 3.0;

/// A number that only the screen's game and id decide.
fn draw(clip: &Clip) -> u32 {
    let digest = sha256_of(format!("{}\n{}", clip.game_id, clip.screen_id).as_bytes());
    // Hexadecimal digits of a digest are a number.
    u32::from_str_radix(&digest[..8], 16).unwrap_or(0)
}

/// Whether a screen is one of those that are kept for chance.
pub fn is_by_chance(clip: &Clip) -> bool {
    draw(clip).is_multiple_of(CHANCE_ONE_IN)
}

/// By the hash; ties by game and id.
fn by_hash(a: &Clip, b: &Clip) -> Ordering {
    (draw(a), &a.game_id, a.screen_id).cmp(&(draw(b), &b.game_id, b.screen_id))
}

/// All candidates in the order in which they are asked, each with why: four by what they bring, then one by chance. When either are used up,
/// the others follow.
pub fn order(candidates: &[Candidate]) -> Vec<(usize, Picked)> {
    let gains = gains(candidates);
    let (mut chance, mut doubt): (Vec<usize>, Vec<usize>) =
        (0..candidates.len()).partition(|&place| is_by_chance(&candidates[place].clip));
    chance.sort_by(|&a, &b| by_hash(&candidates[a].clip, &candidates[b].clip));
    let id = |place: usize| (&candidates[place].clip.game_id, candidates[place].clip.screen_id);
    doubt.sort_by(|&a, &b| gains[b].total_cmp(&gains[a]).then_with(|| id(a).cmp(&id(b))));
    let (mut chance, mut doubt) = (chance.into_iter(), doubt.into_iter());
    let mut order = Vec::with_capacity(candidates.len());
    while order.len() < candidates.len() {
        let is_chances_turn = (order.len() as u32 + 1).is_multiple_of(CHANCE_ONE_IN);
        let mut by_chance = || chance.next().map(|place| (place, Picked::Chance));
        let mut by_doubt = || doubt.next().map(|place| (place, Picked::Doubt));
        let next = if is_chances_turn {
            by_chance().or_else(by_doubt)
        } else {
            by_doubt().or_else(by_chance)
        };
        order.extend(next);
    }
    order
}

/// Clips that somebody has answered, for another: in the hash's order, so that any number of them is a random sample of these.
pub fn order_for_second(candidates: &[Candidate]) -> Vec<(usize, Picked)> {
    let mut places: Vec<usize> = (0..candidates.len()).collect();
    places.sort_by(|&a, &b| by_hash(&candidates[a].clip, &candidates[b].clip));
    places.into_iter().map(|place| (place, Picked::Second)).collect()
}

/// What an answer to each candidate is expected to bring.
fn gains(candidates: &[Candidate]) -> Vec<f64> {
    let mut counts: BTreeMap<Question, BTreeMap<&str, usize>> = BTreeMap::new();
    for doubt in candidates.iter().flat_map(|one| &one.doubts) {
        *counts
            .entry(doubt.question)
            .or_default()
            .entry(&doubt.word)
            .or_default() += 1;
    }
    let rarity = |question: Question, word: &str| {
        let words = counts.get(&question);
        let all: usize = words.map_or(0, |words| words.values().sum());
        let own = words.and_then(|words| words.get(word)).copied().unwrap_or(1);
        let kinds = words.map_or(1, BTreeMap::len);
        (all as f64 / (kinds * own) as f64).sqrt().min(MOST_RARITY)
    };
    let gain = |one: &Candidate| {
        let parts = one.doubts.iter();
        parts
            .map(|doubt| doubt.bits * doubt.rows as f64 * rarity(doubt.question, &doubt.word))
            .sum()
    };
    candidates.iter().map(gain).collect()
}

#[cfg(test)]
mod tests {
    use scrim_tables::Partition;

    use super::*;
    use crate::candidates::Doubt;
    use crate::staging::clip;

    fn candidate(number: u32, bits: f64, coverage: &str) -> Candidate {
        Candidate {
            partition: Partition::new(None, "G"),
            clip: clip(number),
            doubts: vec![Doubt {
                question: Question::Coverage,
                word: coverage.into(),
                bits,
                rows: 1,
            }],
        }
    }

    fn by_doubt(candidates: &[Candidate]) -> Vec<u32> {
        let order = order(candidates);
        let doubts = order.iter().filter(|(_, picked)| *picked == Picked::Doubt);
        doubts
            .map(|(place, _)| candidates[*place].clip.screen_id)
            .collect()
    }

    #[test]
    fn the_least_sure_come_first_and_of_equals_the_rarer_word_and_then_the_id() {
        let mut candidates: Vec<Candidate> = (0..60).map(|k| candidate(k, 0.5, "drop")).collect();
        let mut free = (0..60).filter(|&k| !is_by_chance(&clip(k)));
        let (unsure, rare) = (free.next().unwrap(), free.nth(3).unwrap());
        candidates[unsure as usize].doubts[0].bits = 2.5;
        candidates[rare as usize].doubts[0].word = "ice".into();
        let asked = by_doubt(&candidates);
        // 59 drops, 1 ice, two words: the ice counts min(3, √(60 / 2)) = 3 times, a drop √(60 / 118) = 0.71 times.
        // So 2.5 · 0.71 = 1.78 comes before 0.5 · 3 = 1.5, and that before 0.5 · 0.71.
        assert_eq!(asked[..2], [unsure, rare]);
        assert!(asked[2..].is_sorted());
    }

    #[test]
    fn every_fifth_is_by_chance_and_each_comes_once() {
        let candidates: Vec<Candidate> = (0..400).map(|k| candidate(k, f64::from(k % 7), "drop")).collect();
        let order = order(&candidates);
        let mut places: Vec<usize> = order.iter().map(|(place, _)| *place).collect();
        places.sort_unstable();
        assert_eq!(places, (0..400).collect::<Vec<_>>());
        let chance = (0..400).filter(|&k| is_by_chance(&clip(k))).count();
        // One in five: 80 ± 8 (a standard deviation of √(400 · 0.2 · 0.8)); four of these are 32.
        assert!(chance.abs_diff(80) < 32, "{chance}");
        for (turn, (_, picked)) in order.iter().enumerate().take(200) {
            assert_eq!(*picked == Picked::Chance, turn % 5 == 4, "{turn}");
        }
    }

    #[test]
    fn how_unsure_a_screen_is_does_not_say_whether_chance_takes_it() {
        let sure: Vec<Candidate> = (0..300).map(|k| candidate(k, 0.0, "drop")).collect();
        let unsure: Vec<Candidate> = (0..300).map(|k| candidate(k, f64::from(k % 11), "ice")).collect();
        let by_chance = |candidates: &[Candidate]| -> Vec<usize> {
            let order = order(candidates);
            let chance = order.into_iter().filter(|(_, picked)| *picked == Picked::Chance);
            chance.map(|(place, _)| place).collect()
        };
        assert_eq!(by_chance(&sure), by_chance(&unsure));
    }
}
