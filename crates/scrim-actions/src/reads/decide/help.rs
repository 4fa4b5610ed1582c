//! Who helped and how: `tag` before `stunt` before `sag`.

use scrim_tables::tags::HelperAction;

use super::{Decided, beyond, likeliest};
use crate::HelpParams;
use crate::reads::evidence::ReadEvidence;

/// The word, and the helper's place in the scene's defenders.
pub(super) fn decide(evidence: &ReadEvidence, p: &HelpParams) -> (Decided<HelperAction>, Option<usize>) {
    let help = &evidence.help;
    let tag = help.tag.map_or(0.0, |tag| {
        (1.0 - beyond(tag.gap_m, p.tag_m, p.softness_m)) * beyond(tag.came_m, p.tag_came_m, p.softness_m)
    });
    let stunt = help.stunt.map_or(0.0, |stunt| {
        beyond(stunt.step_m, p.stunt_step_m, p.softness_m)
            * beyond(stunt.back_m, p.stunt_back_m, p.softness_m)
    });
    let sag = help
        .sag
        .map_or(0.0, |sag| beyond(sag.off_m, p.sag_m, p.softness_m));
    let words = [
        (HelperAction::Tag, tag),
        (HelperAction::Stunt, (1.0 - tag) * stunt),
        (HelperAction::Sag, (1.0 - tag) * (1.0 - stunt) * sag),
        (HelperAction::None, (1.0 - tag) * (1.0 - stunt) * (1.0 - sag)),
    ];
    let best = likeliest(&words).unwrap_or(Decided {
        word: HelperAction::None,
        confidence: 0.0,
    });
    let helper = match best.word {
        HelperAction::Tag => help.tag.map(|tag| tag.defender),
        HelperAction::Stunt => help.stunt.map(|stunt| stunt.defender),
        HelperAction::Sag => help.sag.map(|sag| sag.defender),
        HelperAction::None => None,
    };
    (best, helper)
}
