//! Who helped and how: `tag` before `sag` before `stunt`. A tag needs a screener on his way to the hoop.

use scrim_tables::tags::HelperAction;

use super::{Decided, beyond, likeliest};
use crate::HelpParams;
use crate::reads::evidence::ReadEvidence;

/// The word, and the helper's place in the scene's defenders.
pub(super) fn decide(evidence: &ReadEvidence, p: &HelpParams) -> (Decided<HelperAction>, Option<usize>) {
    let (help, screener) = (&evidence.help, &evidence.screener);
    let rolls = beyond(screener.start_m - screener.nearest_m, p.roll_came_m, p.softness_m);
    let tag = help.tag.map_or(0.0, |tag| {
        let near = 1.0 - beyond(tag.gap_m, p.tag_m, p.softness_m);
        rolls * near * beyond(tag.came_m, p.tag_came_m, p.softness_m)
    });
    let sag = help
        .sag
        .map_or(0.0, |sag| beyond(sag.off_m, p.sag_m, p.softness_m));
    let stunt = help.stunt.map_or(0.0, |stunt| {
        beyond(stunt.step_m.min(stunt.back_m), p.stunt_step_m, p.softness_m)
    });
    let words = [
        (HelperAction::Tag, tag),
        (HelperAction::Sag, (1.0 - tag) * sag),
        (HelperAction::Stunt, (1.0 - tag) * (1.0 - sag) * stunt),
        (HelperAction::None, (1.0 - tag) * (1.0 - sag) * (1.0 - stunt)),
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
