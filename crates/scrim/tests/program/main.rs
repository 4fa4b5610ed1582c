//! The program as people run it: arguments in, exit code, stdout, stderr and files out. A module a topic.

mod any_pipeline;
mod exit_codes;
mod house;
mod logs;
mod same_bytes;
mod tables;
