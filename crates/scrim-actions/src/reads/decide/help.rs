//! Who helped and how: `tag` before `sag` before `stunt`. A tag needs a screener on the way to the hoop.

use scrim_floor::Definitions;
use scrim_play::Defender;
use scrim_tables::tags::HelperAction;

use super::screener::ROLL_CAME_M;
use crate::reads::borders::beyond;
use crate::reads::evidence::ReadEvidence;
use crate::reads::read::Decided;

/// A tag: the helper came this much nearer the roller, m.
const TAG_CAME_M: f32 = 0.6;
/// A stunt: a step toward the handler of this, and as far back, m.
const STUNT_STEP_M: f32 = 0.5;
/// Softness of these distances, m.
const SOFTNESS_M: f32 = 0.25;

/// The word, and who helped.
pub(super) fn decide(
    evidence: &ReadEvidence,
    definitions: &Definitions,
) -> (Decided<HelperAction>, Option<Defender>) {
    let (help, screener) = (&evidence.help, &evidence.screener);
    let rolls = beyond(screener.start_m - screener.nearest_m, ROLL_CAME_M, SOFTNESS_M);
    let tag = help.tag.map_or(0.0, |tag| {
        let near = 1.0 - beyond(tag.gap_m, definitions.tag_m, SOFTNESS_M);
        rolls * near * beyond(tag.came_m, TAG_CAME_M, SOFTNESS_M)
    });
    let sag = help
        .sag
        .map_or(0.0, |sag| beyond(sag.off_m, definitions.sag_m, SOFTNESS_M));
    let stunt = help.stunt.map_or(0.0, |stunt| {
        beyond(stunt.step_m.min(stunt.back_m), STUNT_STEP_M, SOFTNESS_M)
    });
    let words = [
        (HelperAction::Tag, tag),
        (HelperAction::Sag, (1.0 - tag) * sag),
        (HelperAction::Stunt, (1.0 - tag) * (1.0 - sag) * stunt),
        (HelperAction::None, (1.0 - tag) * (1.0 - sag) * (1.0 - stunt)),
    ];
    let best = Decided::likeliest(&words).unwrap_or(Decided::unsure(HelperAction::None));
    let helper = match best.word {
        HelperAction::Tag => help.tag.map(|tag| tag.defender),
        HelperAction::Stunt => help.stunt.map(|stunt| stunt.defender),
        HelperAction::Sag => help.sag.map(|sag| sag.defender),
        HelperAction::None => None,
    };
    (best, helper)
}
