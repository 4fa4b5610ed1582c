//! What every ball screen and handoff flowed out of.

use scrim_floor::Definitions;
use scrim_tables::tags::{Entry, EntryRole, ScreenKind};

use super::cut::Cut;
use super::film::{Film, exact};
use super::measured::Measured;
use super::screen::Screens;
use crate::labels::{EntryLabel, Labels};

/// The longest flow gap (vocabulary, "Entry").
const LONGEST_S: f64 = exact(Definitions::DEFAULT.entry_gap_s);
/// Nearer than this to the bound it is not sure, seconds.
const DOUBT_S: f64 = 0.2;
/// A run without a name that brings a player less far than this is no cut by any of the words, metres.
const MAY_BE_CUT_M: f64 = 3.0;
/// Nor is a slower one, m/s. (Both: common practice, no source. Real players off the ball drift at up to 3 m/s all the time, and
/// people who label two entries of three as `none` do not take that for cuts.)
const MAY_BE_CUT_MPS: f64 = 3.0;

/// Nearer to half court than this a run began on the way up, metres.
const COMING_M: f64 = 1.5;

/// An action before the ball screen, or what may be one.
struct Before {
    instant: usize,
    /// `None`: in doubt.
    what: Option<(Entry, EntryRole)>,
}

fn role(plan_screener: usize, user: usize, screener: Option<usize>) -> EntryRole {
    if user == plan_screener {
        EntryRole::User
    } else if screener == Some(plan_screener) {
        EntryRole::Screener
    } else {
        EntryRole::None
    }
}

/// Whether somebody may take a run without a name for a cut.
fn may_be_cut(film: &Film<'_>, c: &Cut) -> bool {
    let view = film.view(c.period, c.run.from);
    let start = view.spot(c.run.from, c.run.slot);
    // On the way up the floor they are only coming.
    start.x < f64::from(film.params.court.half_court_x_m()) - COMING_M
        && start.distance(view.spot(c.run.to, c.run.slot)) >= MAY_BE_CUT_M
        && view.peak_mps(c.run.from, c.run.to, c.run.slot) >= MAY_BE_CUT_MPS
}

/// Everything that the screener or the handler of `m` had part in, up to `set`.
fn find_before(film: &Film<'_>, screens: &Screens, cuts: &[Cut], m: &Measured, set: usize) -> Vec<Before> {
    let plan = &film.log.screens[m.plan];
    let (s, u) = (plan.screener, plan.user);
    let near = |instant: usize| instant <= set && instant + film.span(LONGEST_S + DOUBT_S) >= set;
    let mut found = Vec::new();
    for e in &screens.measured {
        let before = &film.log.screens[e.plan];
        let part = [before.user, before.screener].iter().any(|p| *p == s || *p == u);
        if e.plan == m.plan || before.possession != plan.possession || !part || !near(e.use_frame) {
            continue;
        }
        if before.kind == ScreenKind::BallScreen {
            continue;
        }
        let word = Entry::from(before.kind);
        found.push(Before {
            instant: e.use_frame,
            what: e
                .is_plain
                .then(|| (word, role(s, before.user, Some(before.screener)))),
        });
    }
    for d in &screens.doubts {
        let part = [d.user, d.screener].iter().any(|p| *p == s || *p == u);
        // Closeness on the ball may be a ball screen, which is no entry, or a handoff, which is one. A screener who runs
        // by a team-mate on the way to the ball screen is not screened for.
        let on_his_way = !d.on_ball
            && cuts.iter().any(|c| {
                c.is_approach
                    && c.period == d.period
                    && c.run.slot == d.user
                    && (c.run.from..=c.run.to).contains(&d.use_frame)
            });
        if !on_his_way && d.possession == plan.possession && part && near(d.use_frame) {
            found.push(Before {
                instant: d.use_frame,
                what: None,
            });
        }
    }
    for c in cuts {
        let mine = c.run.slot == s || c.run.slot == u;
        if c.possession != plan.possession || !mine || c.is_approach || !near(c.run.to) {
            continue;
        }
        // A cut off a screen counts as that screen.
        if c.screen.is_some_and(|i| film.log.screens[i].user == c.run.slot) {
            continue;
        }
        let what = c.kind.map(|kind| (Entry::from(kind), role(s, c.run.slot, None)));
        if what.is_some() || may_be_cut(film, c) {
            found.push(Before {
                instant: c.run.to,
                what,
            });
        }
    }
    found
}

/// The entry and its instant: the last action in time. `None`: it cannot be known.
fn find_entry(
    film: &Film<'_>,
    screens: &Screens,
    cuts: &[Cut],
    m: &Measured,
    set: usize,
) -> Option<(Entry, EntryRole, Option<f64>)> {
    let mut before = find_before(film, screens, cuts, m, set);
    before.sort_by_key(|b| b.instant);
    let Some(last) = before.last() else {
        return Some((Entry::None, EntryRole::None, None));
    };
    let gap_s = film.time_of(set) - film.time_of(last.instant);
    let (entry, role) = last.what?;
    (gap_s <= LONGEST_S - DOUBT_S).then_some((entry, role, Some(gap_s)))
}

pub(crate) fn measure_entries(film: &Film<'_>, screens: &Screens, cuts: &[Cut], labels: &mut Labels) {
    let mut rows = Vec::new();
    for m in &screens.measured {
        let plan = &film.log.screens[m.plan];
        if !m.is_plain || !plan.on_ball {
            continue;
        }
        let entry = m
            .set
            // A screener who never quite stood: what came before the use.
            .or(Some(m.use_frame))
            .filter(|_| !plan.early_denial)
            .and_then(|set| find_entry(film, screens, cuts, m, set));
        let possession = &film.log.possessions[plan.possession];
        rows.push(EntryLabel {
            game_id: film.game_id.clone(),
            period: plan.period,
            possession_id: plan.possession as u32,
            screen_id: screens.ids[m.plan],
            alignment: possession.alignment,
            entry: entry.map(|e| e.0),
            entry_role: entry.map(|e| e.1),
            flow_gap_s: entry.and_then(|e| e.2).filter(|_| m.set.is_some()),
        });
    }
    rows.sort_by_key(|r| r.screen_id);
    labels.entries = rows;
}
