//! A person's answers to the program's tags.
//!
//! In: finished tables, through the storage door. Out: a page on this machine that asks for one clip after the other, a journal of
//! answers, label files in the data contract's form, and how far two labellers agree. Knows `scrim-report` (playback), `scrim-season`
//! (words, clocks, rows that belong together), `scrim-statistics` and `scrim-tables`; no detector, no score.
//!
//! - `question`: what is asked of a clip, and the words that may answer it; `clip`: what an answer is about;
//! - `candidates`, `order`: all ball screens and handoffs with how unsure the program is of them; which comes first, and which by chance;
//! - `answer`, `journal`: an answer as a line, on disk before the page goes on; `standing`: what the lines come to;
//! - `labels`: label files from the lines;
//! - `agreement`: two labellers;
//! - `shown`: a clip with its tracks, and what may be answered to it; `sitting`: one labeller at work; `page`, `review.js`, `review.css`: what they see;
//! - `door`: who is let in, over HTTP on this machine alone; `token`: by what; `http`: a request; `crowd`: how many at once.

mod agreement;
mod answer;
mod candidates;
mod clip;
mod crowd;
mod door;
mod error;
mod http;
mod journal;
mod labels;
mod order;
mod page;
mod question;
mod shown;
mod sitting;
mod standing;
mod token;

#[cfg(test)]
mod staging;

pub use agreement::{Asked, QuestionAgreement, TwoLabellers, agreement};
pub use answer::{Answer, Line, Picked};
pub use candidates::{Candidate, Doubt, Games, JUDGED_S, candidates};
pub use clip::{Beside, Clip, Named};
pub use door::Door;
pub use error::ReviewError;
pub use journal::{Draft, JOURNAL, Journal, folder_of, read_journal};
pub use labels::{CHANCE, LabelFiles, label_files, write_labels};
pub use order::{CHANCE_ONE_IN, is_by_chance, order, order_for_second};
pub use question::{Choice, Question, Words};
pub use shown::Given;
pub use sitting::{Nothing, Refusal, Sitting, SittingPlan, State};
pub use standing::{Answered, Missed, Standing, Verdict, counting};
