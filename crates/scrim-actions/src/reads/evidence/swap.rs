//! Whether the handler's and the screener's defender exchanged their men.

use super::guard_spot;
use crate::ReadParams;
use crate::reads::cast::Cast;

/// Exchanged matchups after the use, by the play's matchups and by the places of the four.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwapEvidence {
    /// The longest time for which the play's matchups have them exchanged, s.
    pub told_s: f32,
    /// The longest time for which each stood nearer to where the other should, s.
    pub stood_s: f32,
    /// When that began; `None` when it never did.
    pub begins_s: Option<f32>,
    /// Whether it lasted as long as could be seen.
    pub to_the_end: bool,
    /// By how much nearer (the lesser of the two), mean over the longest time, m.
    pub margin_m: f32,
    /// The time that was looked at, s.
    pub seen_s: f32,
}

/// A break this short does not end an exchange, s.
const BREAK_S: f32 = 0.25;

pub(super) fn measure(cast: &Cast, params: &ReadParams) -> Option<SwapEvidence> {
    let scene = cast.scene;
    let (on_ball, big) = (cast.user_defender?, cast.screener_defender?);
    let (o, b) = (&scene.defenders[on_ball], &scene.defenders[big]);
    let to = cast.after_use(params.window.swap_after_s);
    let may_break = scene.frames_in(BREAK_S);
    let mut told = Run::default();
    let mut stood = Run::default();
    let mut seen = 0;
    for k in cast.used..=to {
        let exchanged = scene.guard[k][cast.user] == Some(big as u8)
            && scene.guard[k][cast.screener] == Some(on_ball as u8);
        told.step(k, if exchanged { 1.0 } else { -1.0 }, may_break);
        let (user, screener) = (
            guard_spot(scene, cast.user, k),
            guard_spot(scene, cast.screener, k),
        );
        let (o, b) = (o.at(k), b.at(k));
        // Both must have gone over: two on the ball, or two in the paint, are no exchange.
        let margin = f32::min(
            o.distance_m(user) - o.distance_m(screener),
            b.distance_m(screener) - b.distance_m(user),
        );
        if margin.is_finite() {
            seen += 1;
            stood.step(k, margin, may_break);
        }
    }
    let told = told.longest();
    let stood = stood.longest();
    (seen > 0).then(|| SwapEvidence {
        told_s: cast.seconds(told.frames()),
        stood_s: cast.seconds(stood.frames()),
        begins_s: (stood.frames() > 0).then(|| cast.since_use_s(stood.start)),
        to_the_end: stood.frames() > 0 && stood.end + may_break > to,
        margin_m: if stood.count == 0 {
            0.0
        } else {
            stood.sum / stood.count as f32
        },
        seen_s: cast.seconds(seen),
    })
}

/// A stretch of frames with a positive value, short breaks forgiven.
#[derive(Debug, Clone, Copy, Default)]
struct Stretch {
    start: usize,
    /// One past the last positive frame.
    end: usize,
    sum: f32,
    count: usize,
}

impl Stretch {
    fn frames(&self) -> usize {
        self.end - self.start
    }
}

/// Finds the longest stretch, a frame at a time.
#[derive(Debug, Clone, Copy, Default)]
struct Run {
    now: Stretch,
    best: Stretch,
}

impl Run {
    fn step(&mut self, k: usize, value: f32, may_break: usize) {
        if value <= 0.0 {
            return;
        }
        if self.now.count == 0 || k > self.now.end + may_break {
            self.best = self.longest();
            self.now = Stretch {
                start: k,
                end: k,
                ..Stretch::default()
            };
        }
        self.now.end = k + 1;
        self.now.sum += value;
        self.now.count += 1;
    }

    fn longest(&self) -> Stretch {
        if self.now.frames() > self.best.frames() {
            self.now
        } else {
            self.best
        }
    }
}
