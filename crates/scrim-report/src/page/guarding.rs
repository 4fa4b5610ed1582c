//! Their defenders: how each meets a ball screen, at the handler and at the screener; who helps, and whom that leaves open.

use maud::{Markup, html};
use scrim_season::ball_screens::grouped;
use scrim_season::words::{self, sentence};
use scrim_tables::Id;
use scrim_tables::rows::DilemmaRow;
use scrim_tables::tags::{Coverage, HelperAction, OnBallPath};

use super::table::{clips, points, row, share, table};
use super::view::{Section, View};
use crate::evidence::{Share, median_of};
use crate::plays::{ScreenPlay, points_of};

/// How many defenders a table lists.
const LISTED: usize = 8;
/// A median of fewer cases is not printed.
const LEAST_FOR_MEDIAN: usize = 3;

/// Who guards the handler and the screener, who helps.
pub(super) fn section(view: &View<'_>) -> Section {
    let plays: Vec<&ScreenPlay<'_>> = view.plays.defense.all().iter().collect();
    let body = html! {
        @if plays.is_empty() { p.none { "No ball screen against them was found." } }
        @else {
            (at_the_handler(view, &plays))
            (at_the_screener(view, &plays))
            (helpers(view, &plays))
        }
    };
    Section {
        id: "defenders",
        heading: "Who guards, who helps".into(),
        folded: true,
        body,
    }
}

/// Plays by a player, the most frequent first.
type ByPlayer<'p, 'a> = Vec<(&'p Id, Vec<&'p ScreenPlay<'a>>)>;

fn by_player<'p, 'a>(
    plays: &[&'p ScreenPlay<'a>],
    player: impl Fn(&'p ScreenPlay<'a>) -> Option<&'p Id>,
) -> ByPlayer<'p, 'a> {
    grouped(plays.iter().filter_map(|&play| Some((player(play)?, play))))
}

/// `switched on to 4 (3), 12 (1)`; empty when there is nobody.
fn players_text<'p>(view: &View<'_>, does: &str, players: impl Iterator<Item = &'p Id>) -> String {
    let players = grouped(players.map(|player| (view.names.called(player), ())));
    if players.is_empty() {
        return String::new();
    }
    let each: Vec<String> = players
        .iter()
        .map(|(name, times)| format!("{name} ({})", times.len()))
        .collect();
    format!("{does} {}. ", each.join(", "))
}

fn switches<'p, 'a>(plays: &[&'p ScreenPlay<'a>]) -> impl Iterator<Item = &'p ScreenPlay<'a>> {
    let plays = plays.iter().copied();
    plays.filter(|play| play.coverage.is_some_and(|row| row.coverage == Coverage::Switch))
}

fn at_the_handler(view: &View<'_>, plays: &[&ScreenPlay<'_>]) -> Markup {
    let defenders = by_player(plays, |play| play.screen.user_defender_id.as_ref());
    let rows: Vec<Markup> = defenders
        .iter()
        .take(LISTED)
        .map(|(defender, plays)| {
            let paths = |path: OnBallPath| {
                let with = plays
                    .iter()
                    .filter(|play| play.coverage.is_some_and(|row| row.on_ball_path == path));
                with.count()
            };
            let (over, under) = (paths(OnBallPath::Over), paths(OnBallPath::Under));
            let others = [
                (OnBallPath::Denied, "took the screen away"),
                (OnBallPath::Switched, "switched"),
            ];
            let others: Vec<String> = others
                .iter()
                .filter(|(path, _)| paths(*path) > 0)
                .map(|(path, does)| format!("{does} {}", paths(*path)))
                .collect();
            let sum = points_of(plays.iter().copied());
            let under_text = html! {
                "Ball screens: " (plays.len()) ". "
                @if !others.is_empty() { (sentence(&others.join(", "))) ". " }
                (players_text(view, "Switched on to", switches(plays).map(|play| &play.screen.screener_id)))
                (clips(plays))
            };
            row(
                &view.names.called(defender),
                &under_text,
                &[
                    share(Share::of(over, over + under)),
                    points(sum, view.plays.variance),
                ],
            )
        })
        .collect();
    html! {
        (table(
            "Guarding the handler",
            &["Defender", "Over the screen, of over and under", "Points per possession"],
            &rows,
        ))
    }
}

fn at_the_screener(view: &View<'_>, plays: &[&ScreenPlay<'_>]) -> Markup {
    let defenders = by_player(plays, |play| play.screen.screener_defender_id.as_ref());
    let rows: Vec<Markup> = defenders
        .iter()
        .take(LISTED)
        .map(|(defender, plays)| {
            let coverages = grouped(plays.iter().filter_map(|play| {
                let coverage = play.coverage?.coverage;
                (coverage != Coverage::Unclear).then_some((words::coverage(coverage), ()))
            }));
            let played: Vec<String> = coverages
                .iter()
                .map(|(coverage, times)| format!("{coverage} {}", times.len()))
                .collect();
            let late: Vec<f32> = plays
                .iter()
                .filter_map(|play| play.entry?.screener_defender_late_s)
                .collect();
            let known = late.len();
            let middle = median_of(late).filter(|_| known >= LEAST_FOR_MEDIAN);
            let sum = points_of(plays.iter().copied());
            let under = html! {
                @if played.is_empty() { "No coverage could be read. " } @else { (sentence(&played.join(", "))) ". " }
                (players_text(view, "Switched on to", switches(plays).map(|play| &play.screen.user_id)))
                (clips(plays))
            };
            let lateness = html! {
                @match middle {
                    Some(late_s) => {
                        span.main { (format!("{late_s:.1}\u{a0}s")) } " "
                        span.count { "known for " (known) " of " (plays.len()) }
                    }
                    None => { span.none { "too few cases" } }
                }
            };
            row(&view.names.called(defender), &under, &[lateness, points(sum, view.plays.variance)])
        })
        .collect();
    html! {
        (table(
            "Guarding the screener",
            &["Defender", "In place after the set", "Points per possession"],
            &rows,
        ))
        p.note {
            "In place: how long after the screen is set they are where their coverage wants them, the middle of the times that are known. None is "
            "known where the screener never stood, the coverage could not be read, or they never got there."
        }
    }
}

/// A helper at one ball screen.
struct Help<'p, 'a> {
    play: &'p ScreenPlay<'a>,
    action: HelperAction,
}

fn helpers(view: &View<'_>, plays: &[&ScreenPlay<'_>]) -> Markup {
    let helps = grouped(plays.iter().filter_map(|&play| {
        let coverage = play.coverage?;
        let action = coverage.helper_action;
        let helper = coverage
            .helper_id
            .as_ref()
            .filter(|_| action != HelperAction::None)?;
        Some((helper, Help { play, action }))
    }));
    if helps.is_empty() {
        return html! { p.none { "Nobody was seen to help at a ball screen." } };
    }
    let rows: Vec<Markup> = helps
        .iter()
        .take(LISTED)
        .map(|(helper, helps)| {
            let of = |action: HelperAction| helps.iter().filter(|help| help.action == action).count();
            let did: Vec<String> = [HelperAction::Tag, HelperAction::Sag, HelperAction::Stunt]
                .into_iter()
                .filter(|&action| of(action) > 0)
                .filter_map(|action| Some(format!("{} {}", words::helper(action)?, of(action))))
                .collect();
            let dilemmas: Vec<&DilemmaRow> = helps
                .iter()
                .filter_map(|help| dilemma(help.play))
                .filter(|row| row.helper_id.as_ref() == Some(*helper))
                .collect();
            let left_open = dilemmas.iter().filter_map(|row| row.left_open_id.as_ref());
            let got_there: Vec<bool> = dilemmas.iter().filter_map(|row| row.ball_got_there).collect();
            let shown: Vec<&ScreenPlay<'_>> = helps.iter().map(|help| help.play).collect();
            let under = html! {
                (sentence(&did.join(", "))) ". "
                (players_text(view, "Left open", left_open))
                (clips(&shown))
            };
            row(
                &view.names.called(helper),
                &under,
                &[
                    share(Share::of(helps.len(), plays.len())),
                    share(Share::of(
                        got_there.iter().filter(|&&got| got).count(),
                        got_there.len(),
                    )),
                ],
            )
        })
        .collect();
    html! {
        @if view.lacks("dilemmas") { p.absent { "These tables have no dilemmas: run the games again to see whom help left open." } }
        (table(
            "Who helps; the player left open is known where the help took the helper off their place",
            &["Helper", "Helped, of all ball screens", "The ball got to the player they left"],
            &rows,
        ))
    }
}

fn dilemma<'a>(play: &ScreenPlay<'a>) -> Option<&'a DilemmaRow> {
    let rows = &play.game.dilemmas;
    let at = rows
        .binary_search_by_key(&play.screen.screen_id, |row| row.screen_id)
        .ok()?;
    rows.get(at)
}
