//! Whole-program tests, a module a topic.
