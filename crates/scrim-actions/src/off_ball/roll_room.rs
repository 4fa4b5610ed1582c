//! The room that the screener gets after a ball screen: how much while they run and when they catch, who had to come over, who did.

use scrim_floor::Court;
use scrim_play::{Defender, Scene};
use scrim_tables::tags::Duty;
use scrim_tracks::PlayerIx;

use super::instants::duty::duties;
use super::space::mean;
use super::window::{at_set, at_use};
use crate::{BallScreen, Screens};

/// The screener is followed for this long after the use, or until they have the ball, s.
const FOLLOWED_S: f32 = 4.0;
/// A third defender who comes this near has tagged the screener, m. Common practice, no source.
const TAGGED_M: f32 = 2.0;

/// The room of one ball screen's screener. Everything is `None` where those who matter are not seen.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct RollRoom {
    /// Their distance to the nearest defender, mean over the time that they are followed, m.
    pub space_mean_m: Option<f32>,
    /// The same at the instant at which they get the ball, m; `None` when they do not in that time.
    pub catch_space_m: Option<f32>,
    /// The low man when the screen was set: whose it is to come over.
    pub low_man: Option<PlayerIx>,
    /// How near the low man came, m.
    pub low_man_gap_m: Option<f32>,
    /// Who tagged: of the defenders who are neither the user's nor the screener's, the one who came nearest, near enough.
    pub tagger: Option<PlayerIx>,
    /// How near that was, m.
    pub tagger_gap_m: Option<f32>,
}

/// Measures the room of every ball screen's screener, in their order.
pub fn find_roll_rooms(scenes: &[Scene], court: &Court, screens: &Screens) -> Vec<RollRoom> {
    let room = |screen: &BallScreen| {
        let scene = &scenes[screen.possession];
        measure(scene, court, screen).unwrap_or_default()
    };
    screens.on_ball().iter().map(room).collect()
}

fn measure(scene: &Scene, court: &Court, screen: &BallScreen) -> Option<RollRoom> {
    let (set, used) = (at_set(scene, screen)?, at_use(scene, screen)?);
    let screener = scene.attackers.place_of(screen.screener)?;
    let user = scene.attackers.place_of(screen.user)?;
    let duties = duties(scene, court, set, user, screener);
    let end = (used + scene.frames_in(FOLLOWED_S)).min(scene.frames.checked_sub(1)?);
    // In a handoff the screener has the ball at first: a catch comes after somebody else had it.
    let gave = (used..=end).find(|&k| scene.handler[k].is_some_and(|handler| handler != screener));
    let caught = gave.and_then(|gave| (gave..=end).find(|&k| scene.handler[k] == Some(screener)));
    let last = caught.unwrap_or(end);
    let spaces = (used..=last).filter_map(|k| scene.space_m(screener, k));
    let nearest_m = |defender: Defender| {
        (used..=last)
            .map(|k| scene.gap_m(screener, defender, k))
            .filter(|gap_m| gap_m.is_finite())
            .min_by(f32::total_cmp)
    };
    let of_duty = |duty: Duty| duties.find(|&known| known == Some(duty));
    let low_man = of_duty(Duty::LowMan);
    let is_third = |defender: Defender| {
        duties[defender].is_some_and(|duty| duty != Duty::OnBall && duty != Duty::OnScreener)
    };
    let tagger = scene
        .defenders
        .places()
        .filter(|&defender| is_third(defender))
        .filter_map(|defender| Some((nearest_m(defender)?, defender)))
        .filter(|&(gap_m, _)| gap_m <= TAGGED_M)
        .min_by(|a, b| a.0.total_cmp(&b.0));
    Some(RollRoom {
        space_mean_m: mean(spaces),
        catch_space_m: caught.and_then(|k| scene.space_m(screener, k)),
        low_man: low_man.map(|defender| scene.defenders[defender].player),
        low_man_gap_m: low_man.and_then(nearest_m),
        tagger: tagger.map(|(_, defender)| scene.defenders[defender].player),
        tagger_gap_m: tagger.map(|(gap_m, _)| gap_m),
    })
}
