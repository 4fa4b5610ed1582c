//! A source of tracking data and its mapping, read into a game, a quality row and a quarantine.
