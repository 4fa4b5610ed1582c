//! Whole-program and reference tests: see `whole/`.
