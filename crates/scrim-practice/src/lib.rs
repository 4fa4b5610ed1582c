//! Simulated, labelled practice games in an invented league.
