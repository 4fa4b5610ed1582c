//! The program as people run it: arguments in, exit code, stdout, stderr and files out. A module a topic.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of tests: a test that cannot go on breaks here"
)]

mod any_pipeline;
mod commands;
mod compare;
mod exit_codes;
mod gate;
mod hostile;
mod house;
mod killed;
mod like;
mod logs;
mod nights;
mod nothing_vanishes;
mod one_count;
mod refused;
mod reports;
mod research;
mod review;
mod review_door;
mod review_labels;
mod same_bytes;
mod season;
mod tables;
mod translation;
mod tune;
mod video;
