//! What comes next, given what was seen: a variable-order model over tokens.
//!
//! For each team, and for the league, the model counts what came after each chain of actions, up to a length, mirror images
//! merged. A prediction starts from the league's counts of all actions (the estimator of Krichevsky & Trofimov 1981, so that
//! nothing is impossible), then takes in the league's counts after ever longer chains, then the team's, from the shortest chain
//! to the longest. What is seen seldom weighs little, what is seen often outweighs what came before it.
//!
//! Prediction by partial matching: J. G. Cleary & I. H. Witten, "Data compression using adaptive coding and partial string
//! matching", IEEE Transactions on Communications 32 (1984), 396–402. The escape is P. G. Howard's method D ("The design and
//! analysis of efficient lossless data compression systems", thesis, Brown University, 1993): of n times, with q different
//! successors, a successor that came c times has (c − ½) / n, and q / 2n is left to the shorter chain; all orders are
//! blended (no exclusion). Cleary & Witten's own methods leave more to shorter chains: after 60 sightings with five
//! different successors method C (A. Moffat, "Implementing the PPM data compression scheme", IEEE Transactions on
//! Communications 38 (1990), 1917–1921) still gives them 5/65, method D 5/120, which matters for rare actions.

use std::collections::HashMap;

use scrim_tables::chain::{Token, merged};
use scrim_tables::tags::{Alignment, Entry};

use crate::look::{alignment_code, token_code};
use crate::teams::TeamIx;
use scrim_statistics::kt_probability;

/// What may come next: each action, and [`Entry::None`] for "nothing more in this possession".
pub(crate) const SYMBOLS: usize = Entry::ALL.len();

/// How likely each of [`Entry::ALL`] is to come next, in that order.
pub(crate) type Forecast = [f64; SYMBOLS];

/// Counts after one chain.
#[derive(Debug, Clone, Default)]
struct Successors {
    total: u32,
    /// Few differ, so a list.
    counts: Vec<(Entry, u32)>,
}

impl Successors {
    fn add(&mut self, next: Entry) {
        self.total += 1;
        match self.counts.iter_mut().find(|(word, _)| *word == next) {
            Some((_, count)) => *count += 1,
            None => self.counts.push((next, 1)),
        }
    }

    /// Takes these counts into a forecast of shorter chains: method D.
    fn sharpen(&self, forecast: &mut Forecast) {
        if self.total == 0 {
            return;
        }
        let n = f64::from(self.total);
        let left = self.counts.len() as f64 / (2.0 * n);
        for share in forecast.iter_mut() {
            *share *= left;
        }
        for (word, count) in &self.counts {
            forecast[*word as usize] += (f64::from(*count) - 0.5) / n;
        }
    }
}

/// A chain's place in the model.
type ChainIx = u32;

/// The model, as far as games have been learnt.
#[derive(Debug)]
pub(crate) struct SequenceModel {
    max_tokens: usize,
    /// Only looked up in, never walked: its order is nobody's.
    chains: HashMap<Box<[u8]>, ChainIx>,
    league: Vec<Successors>,
    /// Likewise.
    teams: Vec<HashMap<ChainIx, Successors>>,
    key: Vec<u8>,
}

impl SequenceModel {
    /// A model of `teams` teams that has learnt nothing.
    pub(crate) fn new(teams: usize, max_tokens: usize) -> Self {
        Self {
            max_tokens,
            chains: HashMap::new(),
            league: Vec::new(),
            teams: vec![HashMap::new(); teams],
            key: Vec::new(),
        }
    }

    /// Learns a possession of `team`: what came after each of its looks, the last of which nothing followed.
    pub(crate) fn learn(&mut self, team: TeamIx, alignment: Alignment, chain: &[Token]) {
        for k in 0..=chain.len() {
            let next = chain.get(k).map_or(Entry::None, |token| token.word);
            for order in 0..self.orders(k) {
                self.write_key(alignment, &chain[..k], order);
                let place = match self.chains.get(self.key.as_slice()) {
                    Some(place) => *place,
                    None => {
                        let place = self.league.len() as ChainIx;
                        self.league.push(Successors::default());
                        self.chains.insert(self.key.as_slice().into(), place);
                        place
                    }
                };
                self.league[place as usize].add(next);
                self.teams[team.0].entry(place).or_default().add(next);
            }
        }
    }

    /// What comes next after `alignment` and `chain`, for `team`; `None` before anything was learnt of anyone.
    pub(crate) fn forecast(
        &mut self,
        team: TeamIx,
        alignment: Alignment,
        chain: &[Token],
    ) -> Option<Forecast> {
        let mut places = Vec::with_capacity(self.max_tokens + 2);
        for order in 0..self.orders(chain.len()) {
            self.write_key(alignment, chain, order);
            places.push(self.chains.get(self.key.as_slice()).copied());
        }
        let ground = &self.league[(*places.first()?)? as usize];
        let mut forecast = [0.0; SYMBOLS];
        for (share, word) in forecast.iter_mut().zip(Entry::ALL) {
            let count = ground.counts.iter().find(|(seen, _)| seen == word);
            *share = kt_probability(count.map_or(0, |(_, count)| *count), ground.total, SYMBOLS);
        }
        for place in places[1..].iter().flatten() {
            self.league[*place as usize].sharpen(&mut forecast);
        }
        for place in places.iter().flatten() {
            if let Some(successors) = self.teams[team.0].get(place) {
                successors.sharpen(&mut forecast);
            }
        }
        Some(forecast)
    }

    /// Whether anything was learnt of the team.
    pub(crate) fn knows(&self, team: TeamIx) -> bool {
        !self.teams[team.0].is_empty()
    }

    /// How many chains a look of that many tokens backs off through: the last 0, 1, 2 … tokens, and the whole look with its
    /// alignment when it is short enough.
    fn orders(&self, tokens: usize) -> usize {
        if tokens <= self.max_tokens {
            tokens + 2
        } else {
            self.max_tokens + 1
        }
    }

    /// The key of the chain of the last `order` tokens, mirror images merged; one order beyond all tokens is the alignment too.
    fn write_key(&mut self, alignment: Alignment, chain: &[Token], order: usize) {
        self.key.clear();
        let from = if order > chain.len() {
            self.key.push(alignment_code(alignment));
            0
        } else {
            chain.len() - order
        };
        self.key.extend(merged(&chain[from..]).map(token_code));
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    use super::*;

    const US: TeamIx = TeamIx(0);
    const THEM: TeamIx = TeamIx(1);

    fn chain(text: &str) -> Vec<Token> {
        Token::parse_chain(text).unwrap()
    }

    fn share(forecast: &Forecast, word: Entry) -> f64 {
        forecast[word as usize]
    }

    #[test]
    fn before_anything_was_learnt_there_is_no_forecast() {
        let mut model = SequenceModel::new(2, 4);
        assert_eq!(model.forecast(US, Alignment::Horns, &[]), None);
        assert!(!model.knows(US));
    }

    #[test]
    fn a_forecast_is_the_one_worked_out_by_hand() {
        // One possession learnt, of us: horns, then a ball screen, then nothing more. After no token: ball screen once; after
        // one token (the ball screen): nothing more, once.
        let mut model = SequenceModel::new(2, 4);
        model.learn(US, Alignment::Horns, &chain("ball_screen:left"));
        // Chains: "" {ball screen 1, nothing 1}, "horns" {ball screen 1}, "ball_screen" {nothing 1}, "horns ball_screen" {nothing 1}.
        let m = SYMBOLS as f64;
        let ground = 1.5 / (2.0 + m / 2.0);
        // After "horns": ground (league), then "horns" of the league: (1 - 1/2)/1 + 1/2 * ground; then of us: "" is 2 times,
        // q = 2: (1 - 1/2)/2 + 2/4 * that; then "horns": 1/2 + 1/2 * that.
        let league = 0.5 + 0.5 * ground;
        let ours = 0.5 + 0.5 * (0.25 + 0.5 * league);
        let forecast = model.forecast(US, Alignment::Horns, &[]).unwrap();
        assert_relative_eq!(share(&forecast, Entry::BallScreen), ours, max_relative = 1e-12);
        // A team of which nothing is known has the league's.
        let forecast = model.forecast(THEM, Alignment::Horns, &[]).unwrap();
        assert_relative_eq!(share(&forecast, Entry::BallScreen), league, max_relative = 1e-12);
    }

    #[test]
    fn a_look_seen_often_is_known_and_one_never_seen_backs_off_to_its_last_actions() {
        let mut model = SequenceModel::new(2, 4);
        for _ in 0..500 {
            model.learn(US, Alignment::Horns, &chain("down:left ball_screen:left"));
            model.learn(US, Alignment::Box, &chain("cross:left down:left flare:left"));
        }
        let after = |model: &mut SequenceModel, alignment, text: &str| {
            model.forecast(US, alignment, &chain(text)).unwrap()
        };
        let known = after(&mut model, Alignment::Horns, "down:left");
        assert!(share(&known, Entry::BallScreen) > 0.99, "{known:?}");
        let known = after(&mut model, Alignment::Box, "cross:left down:left");
        assert!(share(&known, Entry::Flare) > 0.99, "{known:?}");
        // Stack never came, a down screen did, with either successor as often.
        let unknown = after(&mut model, Alignment::Stack, "down:left");
        assert_relative_eq!(share(&unknown, Entry::BallScreen), 0.5, epsilon = 0.01);
        assert_relative_eq!(share(&unknown, Entry::Flare), 0.5, epsilon = 0.01);
    }

    #[test]
    fn chains_longer_than_the_model_knows_are_known_by_their_end() {
        let mut model = SequenceModel::new(1, 1);
        for _ in 0..100 {
            model.learn(
                US,
                Alignment::Horns,
                &chain("cross:left down:left ball_screen:left"),
            );
        }
        let forecast = model
            .forecast(US, Alignment::Box, &chain("flex:right rub:left down:right"))
            .unwrap();
        assert!(share(&forecast, Entry::BallScreen) > 0.98, "{forecast:?}");
    }

    fn any_chain() -> impl Strategy<Value = Vec<Token>> {
        let side = prop_oneof![
            Just(scrim_floor::Side::Left),
            Just(scrim_floor::Side::Right),
            Just(scrim_floor::Side::Middle)
        ];
        let token = (1..4usize, side).prop_map(|(word, side)| Token {
            word: Entry::ALL[word],
            side,
        });
        prop::collection::vec(token, 0..6)
    }

    proptest! {
        #[test]
        fn shares_sum_to_1_and_none_is_0(chains in prop::collection::vec(any_chain(), 1..20), chain in any_chain()) {
            let mut model = SequenceModel::new(2, 3);
            for (k, chain) in chains.iter().enumerate() {
                model.learn(TeamIx(k % 2), Alignment::Horns, chain);
            }
            let forecast = model.forecast(US, Alignment::Horns, &chain).unwrap();
            prop_assert!((forecast.iter().sum::<f64>() - 1.0).abs() < 1e-9);
            prop_assert!(forecast.iter().all(|share| *share > 0.0));
        }

        #[test]
        fn the_mirror_image_is_forecast_the_same(chains in prop::collection::vec(any_chain(), 1..20), chain in any_chain()) {
            let mut model = SequenceModel::new(1, 3);
            for chain in &chains {
                model.learn(US, Alignment::Horns, chain);
            }
            let mirror: Vec<Token> = chain.iter().map(|token| token.mirrored()).collect();
            prop_assert_eq!(
                model.forecast(US, Alignment::Horns, &chain),
                model.forecast(US, Alignment::Horns, &mirror)
            );
        }

        #[test]
        fn the_order_of_what_was_learnt_changes_nothing(chains in prop::collection::vec(any_chain(), 1..20), chain in any_chain()) {
            let (mut forward, mut turned) = (SequenceModel::new(1, 3), SequenceModel::new(1, 3));
            for chain in &chains {
                forward.learn(US, Alignment::Horns, chain);
            }
            for chain in chains.iter().rev() {
                turned.learn(US, Alignment::Horns, chain);
            }
            prop_assert_eq!(
                forward.forecast(US, Alignment::Horns, &chain),
                turned.forecast(US, Alignment::Horns, &chain)
            );
        }
    }
}
