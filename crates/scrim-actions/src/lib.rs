//! Ball screens and handoffs found in a game's play.
