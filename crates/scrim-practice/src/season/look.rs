//! How a possession runs its look, and what both sides remember of the last time.

use scrim_tables::tags::{Coverage, HelperAction, OnBallPath, Outcome, ScreenKind, ScreenerAction};

use super::habits::TeamHabits;
use super::planted::{FIRST_CENTER, FIRST_GUARD, Quirks, has_number};
use super::terms::{
    COVERAGES, LOOKS, Look, NextAction, OPEN_M, OPTIONS, PlayOption, RunResult, Screener, Token,
};
use crate::ball::Grip;
use crate::ball_screen::BallScreen;
use crate::dice::Dice;
use crate::off_ball::Style;
use crate::plan::Log;
use crate::shot::Next;
use crate::vec2::v2;
use crate::world::{Halt, World};

/// The last ball screen out of a look in this game.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LastRun {
    possession: usize,
    coverage: Coverage,
    option: PlayOption,
}

/// The habits of a game's two teams, and their memory.
#[derive(Debug, Clone)]
pub(crate) struct Playbook {
    /// Home and away.
    pub habits: [TeamHabits; 2],
    pub last: [[Option<LastRun>; LOOKS]; 2],
}

/// A run of a look as it was drawn, for the truth tables.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LookRun {
    pub possession: usize,
    pub look: usize,
    pub next: Option<NextAction>,
    /// Whether it was begun: nobody may stand where a handoff needs them.
    pub is_played: bool,
    /// The ball screen, by the log's index.
    pub screen: Option<usize>,
    pub coverage: Option<Coverage>,
    pub option: Option<PlayOption>,
    pub last_result: Option<RunResult>,
    pub last_coverage: Option<Coverage>,
    pub offense_changed: Option<bool>,
    pub defense_changed: Option<bool>,
}

/// Who had the better of possession number `possession`.
pub(crate) fn result_of(log: &Log, possession: usize) -> RunResult {
    let of = &log.possessions[possession];
    // Free throws are a possession of their own in the log, never labelled; the floor knows them as this one's.
    let free_throws = log
        .possessions
        .get(possession + 1)
        .filter(|next| next.is_doubtful && next.offense == of.offense);
    let scored = of.points > 0 || free_throws.is_some_and(|next| next.points > 0);
    let mut screens = log.screens.iter().rev();
    let open = screens
        .by_ref()
        .skip_while(|screen| screen.possession > possession)
        .take_while(|screen| screen.possession == possession)
        .any(|screen| screen.shot.is_some_and(|shot| shot.space_m >= OPEN_M));
    if scored || open {
        RunResult::Beat
    } else {
        RunResult::Beaten
    }
}

/// One of `items` by `shares`, but not number `but`.
fn draw<T: Copy>(dice: &mut Dice, items: &[T], shares: &[f64], but: Option<usize>) -> T {
    let options: Vec<(T, f64)> = items
        .iter()
        .zip(shares)
        .enumerate()
        .map(|(i, (&item, &share))| (item, if Some(i) == but { 0.0 } else { share }))
        .collect();
    dice.weighted(&options)
}

impl World<'_> {
    /// Draws the look of the possession that begins.
    pub fn choose_look(&mut self) -> Option<usize> {
        let looks = &self.playbook.as_ref()?.habits[self.offense].looks;
        let shares: Vec<(usize, f64)> = looks.iter().map(|l| l.p_look).enumerate().collect();
        let alignments: Vec<_> = looks.iter().map(|l| l.alignment).collect();
        let look = self.dice.weighted(&shares);
        self.wished_shape = Some(alignments[look]);
        Some(look)
    }

    /// What came of possession number `possession`.
    pub fn result_of(&self, possession: usize) -> RunResult {
        result_of(&self.log, possession)
    }

    /// Takes the shape of the look, runs its tokens and then the next action.
    pub fn run_look(&mut self, look: usize) -> Result<Next, Halt> {
        let Some(book) = self.playbook.as_ref() else {
            return Ok(Next::Play);
        };
        let plan = book.habits[self.offense].looks[look].clone();
        // On the way up they went to their places already.
        let spots = match self.shape {
            Some((shape, spots)) if shape == plan.alignment => spots,
            Some(_) | None => self.spots_of(plan.alignment),
        };
        let handler = self.handler;
        let mut own = spots;
        own.swap(0, handler % 5);
        self.grip(Grip::Dribble);
        for slot in self.attackers() {
            let pace = self.dice.between(3.2, 4.8);
            let spot = own[slot % 5];
            if self.pos(slot).distance(spot) > 0.6 {
                self.go(slot, spot, pace);
            }
        }
        let in_shape = self.run_until(6.5, Self::stands_in_shape)?;
        // Each token takes about four seconds, and a ball screen should still come of it.
        let needed_s = 6.0 + 4.0 * plan.tokens.len() as f64;
        if !in_shape || self.shot_clock_s < needed_s.max(10.0) {
            self.shape = None;
            return Ok(Next::Play);
        }
        self.note_alignment();
        let settle = self.dice.between(0.5, 0.9);
        self.run_for(settle)?;
        // Written down at once: a halt in the middle leaves the run without a next action.
        self.log.look_runs.push(LookRun {
            possession: self.log.possessions.len() - 1,
            look,
            next: None,
            is_played: false,
            screen: None,
            coverage: None,
            option: None,
            last_result: None,
            last_coverage: None,
            offense_changed: None,
            defense_changed: None,
        });
        let mut last_pair = None;
        for token in plan.tokens {
            match self.run_token(*token)? {
                Some(pair) => last_pair = Some(pair),
                // Nobody stood as it needs: this possession did not run its look.
                None => {
                    self.log.look_runs.pop();
                    return Ok(Next::Play);
                }
            }
        }
        let shares: Vec<(NextAction, f64)> = NextAction::ALL.into_iter().zip(plan.p_next).collect();
        let next = self.dice.weighted(&shares);
        if let Some(run) = self.log.look_runs.last_mut() {
            run.next = Some(next);
        }
        let screens = self.log.screens.len();
        let outcome = match next {
            NextAction::BallScreen => self.screen_by_habit(look, &plan, last_pair),
            NextAction::Handoff => self.draw_handoff(),
            NextAction::Down => {
                let side = self.dice.sign();
                self.off_ball(ScreenKind::Down, side, Style::Plain)
                    .map(|_| Next::Play)
            }
            NextAction::Isolation => self.finish(),
        };
        let is_played = next == NextAction::Isolation || self.log.screens.len() > screens;
        if let Some(run) = self.log.look_runs.last_mut() {
            run.is_played = is_played;
        }
        outcome
    }

    /// Runs one token; gives its user and its screener (the same player for a cut).
    fn run_token(&mut self, token: Token) -> Result<Option<(usize, usize)>, Halt> {
        match token {
            Token::Screen(kind) => {
                let side = self.nearer_side(kind);
                let index = self.off_ball(kind, side, Style::Plain)?;
                Ok(index.map(|i| (self.log.screens[i].user, self.log.screens[i].screener)))
            }
            Token::Cut(_) => {
                let Some(cutter) = self.flasher() else {
                    return Ok(None);
                };
                self.run_flash(cutter);
                self.run_until(2.4, |w| w.is_idle(cutter))?;
                // The cutter shows their hands before going on.
                let shows = self.dice.between(0.4, 0.7);
                self.run_for(shows)?;
                Ok(Some((cutter, cutter)))
            }
        }
    }

    /// The ball screen: coverage and option by habit and memory.
    fn screen_by_habit(
        &mut self,
        look: usize,
        plan: &Look,
        pair: Option<(usize, usize)>,
    ) -> Result<Next, Halt> {
        let (offense, handler) = (self.offense, self.handler);
        let base = offense * 5;
        let wished = match (plan.screener, pair) {
            (Screener::TokenUser, Some((user, _))) => user,
            (Screener::TokenScreener, Some((_, screener))) => screener,
            (Screener::Post, _) | (_, None) => base + 4,
        };
        let screener = if wished == handler {
            base + if handler % 5 == 4 { 3 } else { 4 }
        } else {
            wished
        };
        let (coverage, option) = self.call(look, plan);
        let index = self.log.screens.len();
        if let Some(run) = self.log.look_runs.last_mut() {
            run.screen = Some(index);
        }
        let here = self.pos(handler);
        let place = if here.length() > 5.5 {
            here
        } else {
            v2(8.2, here.y.clamp(-3.0, 3.0))
        };
        let side = self.dice.sign();
        let path = match coverage {
            Coverage::Switch => OnBallPath::Switched,
            Coverage::Drop
            | Coverage::Level
            | Coverage::Hedge
            | Coverage::Blitz
            | Coverage::Ice
            | Coverage::Unclear => OnBallPath::Over,
        };
        let helper_action = if option.0 == ScreenerAction::Roll && self.dice.chance(0.4) {
            HelperAction::Tag
        } else {
            HelperAction::None
        };
        let drawn = BallScreen {
            screener,
            place,
            side,
            outcome: Outcome::Used,
            coverage,
            path,
            screener_action: option.0,
            handler_action: option.1,
            helper_action,
            previous: None,
        };
        let outcome = self.outcome_by_quirk(&drawn);
        self.ball_screen(BallScreen { outcome, ..drawn })
    }

    /// What the two teams' quirks make of a ball screen that would be used. No dice are cast for a quirk that is not there.
    fn outcome_by_quirk(&mut self, screen: &BallScreen) -> Outcome {
        let book = self.playbook.as_ref().expect("only called in a season");
        let quirks = |team: usize| -> Quirks { book.habits[team].quirks };
        let (offense, defense) = (quirks(self.offense), quirks(1 - self.offense));
        let is = |slot: usize, number| has_number(self.bodies[slot].player, number);
        let is_pair = is(self.handler, FIRST_GUARD) && is(screen.screener, FIRST_CENTER);
        let mut comes_true = |p: f64| p > 0.0 && self.dice.chance(p);
        if screen.coverage == Coverage::Hedge && comes_true(defense.p_hedge_slipped) {
            Outcome::Slipped
        } else if comes_true(if is_pair {
            offense.p_pair_flips
        } else {
            offense.p_flips
        }) {
            Outcome::Flipped
        } else {
            Outcome::Used
        }
    }

    /// Whether the screener's defender steps out at the handler while the screener slips: where opponents slip hedges by a quirk.
    pub fn jumps_out_by_quirk(&self, coverage: Coverage) -> bool {
        let quirks = self
            .playbook
            .as_ref()
            .map(|book| book.habits[1 - self.offense].quirks);
        coverage == Coverage::Hedge && quirks.is_some_and(|quirks| quirks.p_hedge_slipped > 0.0)
    }

    /// How much later than others the defender of a screener is, seconds: by a quirk, after a rub in the look that is run.
    pub fn late_by_quirk_s(&self, on_screener: usize) -> f64 {
        let Some(book) = self.playbook.as_ref() else {
            return 0.0;
        };
        let late_s = book.habits[1 - self.offense].quirks.late_after_rub_s;
        let after_rub = || {
            let run = self.log.look_runs.last().filter(|run| run.screen.is_some())?;
            let look = &book.habits[self.offense].looks[run.look];
            Some(look.tokens.contains(&Token::Screen(ScreenKind::Rub)))
        };
        let is_first_center = has_number(self.bodies[on_screener].player, FIRST_CENTER);
        if late_s > 0.0 && is_first_center && after_rub() == Some(true) {
            late_s
        } else {
            0.0
        }
    }

    /// Both sides' calls, written into the run and into their memories.
    fn call(&mut self, look: usize, plan: &Look) -> (Coverage, PlayOption) {
        let offense = self.offense;
        let last = self.playbook.as_ref().and_then(|b| b.last[offense][look]);
        let result = last.map(|l| self.result_of(l.possession));
        let book = self.playbook.as_mut().expect("only called in a season");
        let defense = &book.habits[1 - offense];
        let dice = &mut self.dice;
        let (coverage, option) = match last.zip(result) {
            None => (
                draw(dice, &COVERAGES, &defense.p_coverage, None),
                draw(dice, &OPTIONS, &plan.p_option, None),
            ),
            Some((last, result)) => {
                let place = TeamHabits::coverage_place(last.coverage);
                let after = TeamHabits::result_place(result);
                let coverage = if dice.chance(defense.p_change_coverage[place][after]) {
                    draw(dice, &COVERAGES, &defense.p_coverage, Some(place))
                } else {
                    last.coverage
                };
                let option = if dice.chance(book.habits[offense].p_change_option[place][after]) {
                    let own = OPTIONS.iter().position(|o| *o == last.option);
                    draw(dice, &OPTIONS, &plan.p_option, own)
                } else {
                    last.option
                };
                (coverage, option)
            }
        };
        let possession = self.log.possessions.len() - 1;
        book.last[offense][look] = Some(LastRun {
            possession,
            coverage,
            option,
        });
        if let Some(run) = self.log.look_runs.last_mut() {
            run.coverage = Some(coverage);
            run.option = Some(option);
            run.last_result = result;
            run.last_coverage = last.map(|l| l.coverage);
            run.offense_changed = last.map(|l| l.option != option);
            run.defense_changed = last.map(|l| l.coverage != coverage);
        }
        (coverage, option)
    }
}
