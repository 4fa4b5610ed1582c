//! Ball control, touches, possessions and matchups.
