//! Doubles: two team-mates screen in a row for one handler. Each of the two is surer for the other: he comes off the first
//! on the run, so that the second looks like a team-mate whom he passes.

use scrim_tables::tags::Outcome;

use super::ScreenParams;
use super::decide::Decision;
use super::reading::Reading;

/// The second screen of a double is used at least this long after the first, s ...
pub(super) const DOUBLE_S: f32 = 0.4;
/// ... and at most this long. Common practice, no source: the two stand 1.5 to 4 m apart, and a handler covers 3 to 5 m a
/// second there.
const DOUBLE_LATEST_S: f32 = 1.4;

/// Tells every used screen how sure the surest other is that the same handler used just before or after.
pub(super) fn weigh_doubles(decided: &mut [(Reading, Decision)], params: &ScreenParams) {
    let alone: Vec<f32> = decided.iter().map(|(_, decision)| decision.confidence).collect();
    for one in 0..decided.len() {
        let partner = (0..decided.len())
            .filter(|&other| is_double(&decided[one], &decided[other]))
            .map(|other| alone[other])
            .fold(0.0, f32::max);
        if partner > 0.0 {
            let decision = &mut decided[one].1;
            decision.fits.doubled = partner;
            decision.confidence = decision.fits.confidence(decision.outcome, &params.weights);
        }
    }
}

fn is_double(one: &(Reading, Decision), other: &(Reading, Decision)) -> bool {
    let ((reading, decision), (partner, partners)) = (one, other);
    let apart = decision.at.abs_diff(partners.at);
    reading.handler == partner.handler
        && reading.mate != partner.mate
        && (decision.outcome, partners.outcome) == (Outcome::Used, Outcome::Used)
        && (reading.frames_in(DOUBLE_S)..=reading.frames_in(DOUBLE_LATEST_S)).contains(&apart)
}
