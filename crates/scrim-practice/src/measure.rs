//! From what the scripts meant to labels: every instant and distance is measured on the noise-free frames, and a
//! script that did not come out as the vocabulary has it becomes a zone of doubt or leaves its word empty.

mod coverage;
mod cut;
mod cut_word;
mod doubt;
mod entry;
mod film;
mod lift;
mod measured;
mod motion;
mod option;
mod possession;
mod reach;
mod run;
mod screen;
mod two_defenders;

use crate::labels::Labels;
pub(crate) use film::{Film, exact};
pub(crate) use lift::measure_lifts;

/// Measures everything. Beside the labels: for each screen of the log the label's id, if it is not in doubt.
pub(crate) fn measure_labels(film: &Film<'_>) -> (Labels, Vec<Option<u32>>) {
    let mut labels = Labels::default();
    let screens = screen::measure_screens(film, &mut labels);
    let cuts = cut::measure_cuts(film, &screens, &mut labels);
    motion::measure_motion(film, &screens, &cuts, &mut labels);
    entry::measure_entries(film, &screens, &cuts, &mut labels);
    possession::measure_possessions(film, &mut labels);
    let ids = screens.measured.iter().zip(&screens.ids);
    let plain = ids.map(|(m, &id)| m.is_plain.then_some(id)).collect();
    (labels, plain)
}
