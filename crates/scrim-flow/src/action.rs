//! Every screen, handoff and cut of a game as one list in time order.

use scrim_actions::{Cut, OffBallScreen, ScreenRef, Screens, of_possession};
use scrim_floor::{AttackFrame, Point};
use scrim_play::Scene;
use scrim_tables::tags::{CutKind, Entry};
use scrim_tracks::PlayerIx;

use crate::FlowParams;

/// A cut by the user of a screen counts as that screen when the use lies in the cut's time, give or take this, s; so does
/// one that begins this soon after the end of such a cut.
const OFF_SCREEN_SLACK_S: f32 = 0.4;
/// A cut by a player who sets an off-ball screen within this after its end is their way to that screen, s.
const TO_SCREEN_S: f32 = 1.5;

/// Where an action was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ActionSource {
    /// A screen or handoff.
    Screen(ScreenRef),
    /// A cut, by its place in its list.
    Cut(usize),
}

/// One action. Frames are the period's.
#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    /// The possession's id.
    pub possession: usize,
    /// Its place in the chain: of a ball screen or handoff the instant at which the screener is set (the use, when they never
    /// is), of an off-ball screen the use, of a cut its end.
    pub at: usize,
    /// Its instant as an entry: of a screen or handoff the use, of a cut its end.
    pub instant: usize,
    /// When its players set off, as far as is known: the start of a cut, the set of a screen (else its use).
    pub begin: usize,
    /// What it is.
    pub word: Entry,
    /// Where it is: the screener's spot, or the end of the cut.
    pub spot: Point<AttackFrame>,
    /// Who screens, or hands the ball off; `None` of a cut.
    pub screener: Option<PlayerIx>,
    /// Who uses the screen, takes the ball, or cuts.
    pub user: PlayerIx,
    /// Where it was found.
    pub source: ActionSource,
}

impl Action {
    /// Whether `player` has a part in it.
    pub fn has(&self, player: PlayerIx) -> bool {
        self.user == player || self.screener == Some(player)
    }

    /// Whether it is a cut of one of these kinds.
    pub fn is_one_of(&self, kinds: &[CutKind]) -> bool {
        kinds.iter().any(|&kind| Entry::from(kind) == self.word)
    }
}

/// Whether the word is a spacing cut: a player makes room, nothing is run for them.
pub const fn is_spacing(word: Entry) -> bool {
    match word {
        Entry::Lift | Entry::Drift | Entry::Fill => true,
        Entry::None
        | Entry::BallScreen
        | Entry::Handoff
        | Entry::Down
        | Entry::Back
        | Entry::Rub
        | Entry::Cross
        | Entry::Flex
        | Entry::Flare
        | Entry::Zipper
        | Entry::OverTop
        | Entry::Exit
        | Entry::Other
        | Entry::Basket
        | Entry::Backdoor
        | Entry::Curl
        | Entry::Fade
        | Entry::PopOut
        | Entry::Flash
        | Entry::RubCut
        | Entry::FlexCut
        | Entry::Baseline => false,
    }
}

/// The actions of a game, by possession, then by [`Action::at`]; at the same instant screens come before cuts. Spacing cuts
/// are among them; cuts off a screen are not: they are that screen, and so are ways to a screen. Off-ball screens that came to
/// nothing ([`FlowParams::left_out_outcomes`]) or are too unsure ([`FlowParams::min_confidence`]) are left out.
pub fn find_actions(scenes: &[Scene], screens: &Screens, cuts: &[Cut], params: &FlowParams) -> Vec<Action> {
    let mut actions: Vec<Action> = screens
        .in_order()
        .iter()
        .filter(|&&screen| is_run(screens, screen, params))
        .map(|&screen| of_screen(screens, screen))
        .collect();
    // Of each cut so far: whether it is a screen's.
    let mut off_screen: Vec<bool> = Vec::with_capacity(cuts.len());
    for (place, cut) in cuts.iter().enumerate() {
        let scene = &scenes[cut.possession];
        let off = cut.screen.is_some()
            || is_off_a_screen(scene, screens, cut)
            || goes_on(scene, cuts, &off_screen, cut);
        off_screen.push(off);
        if !off && !is_to_a_screen(scene, screens, cut) {
            actions.push(Action {
                possession: cut.possession,
                at: cut.end,
                instant: cut.end,
                begin: cut.start,
                word: cut.kind.into(),
                spot: cut.to,
                screener: None,
                user: cut.player,
                source: ActionSource::Cut(place),
            });
        }
    }
    actions.sort_by_key(|action| (action.possession, action.at, action.source));
    actions
}

/// Whether something was run off the screen: on the ball always, off the ball by its outcome, when it is sure enough.
fn is_run(screens: &Screens, screen: ScreenRef, params: &FlowParams) -> bool {
    match screen {
        ScreenRef::OnBall(_) => true,
        ScreenRef::OffBall(place) => {
            let of = &screens.off_ball()[place];
            of.confidence >= params.min_confidence && !params.left_out_outcomes.contains(&of.outcome)
        }
    }
}

fn of_screen(screens: &Screens, screen: ScreenRef) -> Action {
    let of = screens.get(screen);
    Action {
        possession: of.possession,
        at: match screen {
            ScreenRef::OnBall(_) => of.begins(),
            ScreenRef::OffBall(_) => of.used,
        },
        instant: of.used,
        begin: of.begins(),
        word: of.kind.into(),
        spot: of.spot,
        screener: Some(of.screener),
        user: of.user,
        source: ActionSource::Screen(screen),
    }
}

/// Whether the cut's player uses an off-ball screen in the cut's time, though the cut does not say so.
fn is_off_a_screen(scene: &Scene, screens: &Screens, cut: &Cut) -> bool {
    let slack = scene.frames_in(OFF_SCREEN_SLACK_S);
    off_ball_of(screens, cut.possession).any(|screen| {
        screen.user == cut.player && cut.start <= screen.used + slack && screen.used <= cut.end + slack
    })
}

/// Whether the cut goes on, without a stop, with the same player's cut off a screen: a way past a screen that turns at the rim is
/// found as two cuts, and is one run. `cuts`: in order; `off_screen`: what is known of those before this one.
fn goes_on(scene: &Scene, cuts: &[Cut], off_screen: &[bool], cut: &Cut) -> bool {
    let slack = scene.frames_in(OFF_SCREEN_SLACK_S);
    let before = cuts[..off_screen.len()].iter().zip(off_screen).rev();
    before
        .take_while(|(other, _)| other.possession == cut.possession)
        .any(|(other, off)| {
            *off && other.player == cut.player && other.start < cut.start && cut.start <= other.end + slack
        })
}

/// Whether the cut is its player's way to the spot where they then screen for another off the ball: that screen is what is run.
fn is_to_a_screen(scene: &Scene, screens: &Screens, cut: &Cut) -> bool {
    let within = scene.frames_in(TO_SCREEN_S);
    off_ball_of(screens, cut.possession).any(|screen| {
        let set = screen.begins();
        screen.screener == cut.player && cut.start < set && set <= cut.end + within
    })
}

/// The off-ball screens of a possession, in time order.
fn off_ball_of(screens: &Screens, possession: usize) -> impl Iterator<Item = &OffBallScreen> {
    of_possession(screens.off_ball(), possession, |screen| screen.possession).iter()
}
