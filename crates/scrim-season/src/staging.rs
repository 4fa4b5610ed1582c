//! Hand-made games for the tests of this crate.

use scrim_floor::{Side, Zone};
use scrim_tables::rows::EntryRow;
use scrim_tables::tags::{
    Coverage, EndKind, Entry, EntryRole, HandlerAction, Outcome, Phase, ScreenKind, ScreenerAction,
};
use scrim_tables::{Partition, Row};

use crate::coverage_shares::CoverageShares;
use crate::facts::{GameFacts, Play, Possession, Run};
use crate::play_in_game::mark_last;
use crate::shot::Shot;
use scrim_tables::chain::{Token, merged};

use crate::disguise::Disguise;
use crate::look::Look;

/// A game between `a` (with the ball) and `b`, on a day.
pub(crate) struct Staged(GameFacts);

/// What became of a ball screen, in short.
#[derive(Debug, Clone, Copy)]
pub(crate) struct What {
    pub(crate) coverage: Coverage,
    /// How likely ice, switch, drop, blitz, hedge and level are.
    pub(crate) probabilities: Option<[f32; 6]>,
    pub(crate) handler_action: HandlerAction,
    pub(crate) space_m: Option<f32>,
    pub(crate) late_s: Option<f32>,
    pub(crate) entry: Entry,
}

impl Default for What {
    fn default() -> Self {
        Self {
            coverage: Coverage::Drop,
            probabilities: None,
            handler_action: HandlerAction::Drive,
            space_m: None,
            late_s: None,
            entry: Entry::Down,
        }
    }
}

/// A handler's shot of which only the space is known.
pub(crate) fn shot(space_m: Option<f32>) -> Shot {
    Shot {
        space_m,
        by_screener: false,
        spot: None,
        value: None,
    }
}

impl Staged {
    pub(crate) fn new(game_id: &str, date: Option<&str>) -> Self {
        Self(GameFacts {
            partition: Partition::new(Some("2041"), game_id),
            date: date.map(Into::into),
            possessions: Vec::new(),
            plays: Vec::new(),
            runs: Vec::new(),
        })
    }

    /// A half-court possession of `a` against `b`: alignment and chain as text. Each ball screen in the chain is a play.
    pub(crate) fn possession(self, look: &str, points: Option<u8>, what: What) -> Self {
        self.possession_of(["a", "b"], look, points, what)
    }

    pub(crate) fn possession_of(
        mut self,
        teams: [&str; 2],
        look: &str,
        points: Option<u8>,
        what: What,
    ) -> Self {
        let Look { alignment, tokens } = Look::parse(look).unwrap();
        let possession = self.0.possessions.len();
        let t_start_s = possession as f64 * 20.0;
        self.0.possessions.push(Possession {
            period: 1,
            t_start_s,
            game_clock_start_s: Some(600.0 - t_start_s as f32),
            game_clock_end_s: Some(580.0 - t_start_s as f32),
            offense: teams[0].into(),
            defense: teams[1].into(),
            phase: Phase::HalfCourt,
            points,
            end: EndKind::Unknown,
            alignment,
            chain: tokens.clone(),
        });
        for (place, token) in tokens.iter().enumerate() {
            if token.word != Entry::BallScreen {
                continue;
            }
            let look = Look {
                alignment,
                tokens: tokens[..place].to_vec(),
            };
            self.play(possession, t_start_s + 5.0, look, what);
        }
        self
    }

    fn play(&mut self, possession: usize, t_use_s: f64, look: Look, what: What) {
        let id = self.0.plays.len() as u32;
        let text = |tokens: &mut dyn Iterator<Item = Token>| {
            tokens.fold(look.alignment.to_string(), |text, token| {
                format!("{text} {token}")
            })
        };
        let set_key = text(&mut merged(&look.tokens));
        let before = self.0.plays.iter().filter(|play| {
            play.entry.set_key == set_key
                && self.0.possessions[play.possession].offense == self.0.possessions[possession].offense
        });
        self.0.runs.push(Run {
            play: id as usize,
            run_index: before.count() as u16,
        });
        let entry = EntryRow {
            game_id: self.0.partition.game_id().into(),
            period: 1,
            possession_id: possession as u32,
            screen_id: id,
            alignment: Some(look.alignment),
            look: text(&mut look.tokens.iter().copied()),
            set_key,
            entry: what.entry,
            entry_role: EntryRole::User,
            screener_defender_late_s: what.late_s,
            ..EntryRow::blank()
        };
        self.0.plays.push(Play {
            possession,
            kind: ScreenKind::BallScreen,
            handler: "h".into(),
            screener: "s".into(),
            zone: Zone::Top,
            side: Side::Middle,
            outcome: Outcome::Used,
            screener_defender: Some("sd".into()),
            user_defender: Some("hd".into()),
            path: None,
            t_use_s,
            look,
            action_id: id,
            coverage: what.coverage,
            coverage_shares: what
                .probabilities
                .and_then(|shares| CoverageShares::of(shares.map(Some))),
            option: Some((ScreenerAction::Roll, what.handler_action)),
            shot: what.space_m.map(|space_m| shot(Some(space_m))),
            entry,
            is_last: false,
            is_last_so_covered: false,
            disguise: Disguise::default(),
        });
    }

    pub(crate) fn done(mut self) -> GameFacts {
        mark_last(&mut self.0.plays);
        self.0
    }
}
