//! Screens off the ball with a rarer name, or none, are actions like all others.

use scrim_tables::tags::{Entry, EntryRole, ScreenKind};

use super::{entry, flow, on_ball, screen};

#[test]
fn a_ball_screen_flows_out_of_each_of_the_rarer_kinds_and_the_look_has_its_word() {
    for (kind, word) in [
        (ScreenKind::OverTop, Entry::OverTop),
        (ScreenKind::Exit, Entry::Exit),
        (ScreenKind::Other, Entry::Other),
    ] {
        let before = screen(kind, 1, 3, 4.0, 5.0, (2.0, -3.0));
        let flow = flow(&[on_ball()], &[before], &[]);
        // Set at 8 s, used at 5 s.
        assert_eq!(entry(&flow, 0), (word, EntryRole::Screener, Some(3.0)));
        assert_eq!(flow.chains[0], format!("{kind}:left ball_screen:right"));
    }
}
