//! Their defenders: how each meets a ball screen, at the handler and at the screener; who helps, and whom that leaves open.

use maud::{Markup, html};
use scrim_season::ball_screens::grouped;
use scrim_season::words::sentence;
use scrim_tables::Id;
use scrim_tables::rows::DilemmaRow;
use scrim_tables::tags::{Coverage, HelperAction, OnBallPath};

use super::table::{row, table};
use super::view::{Section, View, more};
use crate::evidence::{Share, median_of};
use crate::plays::{ScreenPlay, points_of};

/// How many defenders a table lists.
const LISTED: usize = 8;
/// A median of fewer cases is not printed.
const LEAST_FOR_MEDIAN: usize = 3;
/// A defender with fewer ball screens has a row behind the table: a small sample.
const FEWEST_SHOWN: usize = 25;
/// A median under this shows as none, s.
const SHOWS_S: f32 = 0.05;

/// Who guards the handler and the screener, who helps.
pub(super) fn section(view: &View<'_>) -> Section {
    let plays: Vec<&ScreenPlay<'_>> = view.plays.defense.all().iter().collect();
    let body = html! {
        @if plays.is_empty() { p.none { (view.text("guarding-none")) } }
        @else {
            (at_the_handler(view, &plays))
            (at_the_screener(view, &plays))
            (helpers(view, &plays))
        }
    };
    Section {
        id: "defenders",
        heading: view.text("guarding-heading").into(),
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

/// Whom they switched on to: with a team of the reader's only its players, else all.
fn switched_on_to<'p>(view: &View<'_>, players: impl Iterator<Item = &'p Id>) -> String {
    let Some(reader) = &view.team.choice.reader else {
        return players_text(view, "guarding-switched-to", players);
    };
    let rows = || view.team.games.iter().flat_map(|game| &game.players);
    let is_ours = |player: &Id| rows().any(|row| row.player_id == *player && row.team_id.as_ref() == reader);
    let ours = players.filter(|player| is_ours(player));
    named_text(
        view,
        "guarding-switched-to-ours",
        ours.map(|player| view.player(player)),
    )
}

/// A table of whose rows those of fewer than [`FEWEST_SHOWN`] ball screens stand folded behind it.
fn table_of_many(view: &View<'_>, caption: &str, heads: &[&str], rows: Vec<(usize, Markup)>) -> Markup {
    let (shown, few): (Vec<_>, Vec<_>) = rows.into_iter().partition(|(n, _)| *n >= FEWEST_SHOWN);
    let [shown, few] = [shown, few].map(|rows| rows.into_iter().map(|(_, row)| row).collect::<Vec<_>>());
    let behind = [("least", FEWEST_SHOWN.into())];
    html! {
        @if !shown.is_empty() { (table(caption, heads, &shown)) }
        @if !few.is_empty() { (more(&view.words.say("guarding-few", &behind), &table(caption, heads, &few))) }
    }
}

/// `Switched on to 4 (3), 12 (1). `: a message of players, with how often each; empty when there is nobody.
fn players_text<'p>(view: &View<'_>, key: &str, players: impl Iterator<Item = &'p Id>) -> String {
    named_text(view, key, players.map(|player| view.names.called(player)))
}

/// The same of players by name.
fn named_text(view: &View<'_>, key: &str, players: impl Iterator<Item = String>) -> String {
    let players = grouped(players.map(|player| (player, ())));
    if players.is_empty() {
        return String::new();
    }
    let each: Vec<String> = players
        .iter()
        .map(|(name, times)| {
            let args = [("player", name.into()), ("n", times.len().into())];
            view.words.say("player-times", &args)
        })
        .collect();
    view.words.say(key, &[("players", each.join(", ").into())]) + " "
}

fn switches<'p, 'a>(plays: &[&'p ScreenPlay<'a>]) -> impl Iterator<Item = &'p ScreenPlay<'a>> {
    let plays = plays.iter().copied();
    plays.filter(|play| play.coverage.is_some_and(|row| row.coverage == Coverage::Switch))
}

fn at_the_handler(view: &View<'_>, plays: &[&ScreenPlay<'_>]) -> Markup {
    let defenders = by_player(plays, |play| play.screen.user_defender_id.as_ref());
    let rows: Vec<(usize, Markup)> = defenders
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
                (OnBallPath::Denied, "guarding-denied"),
                (OnBallPath::Switched, "guarding-switched"),
            ];
            let others: Vec<String> = others
                .iter()
                .filter(|(path, _)| paths(*path) > 0)
                .map(|(path, key)| view.words.count(key, paths(*path)))
                .collect();
            let sum = points_of(plays.iter().copied());
            let under_text = html! {
                (view.words.count("guarding-screens", plays.len())) " "
                @if !others.is_empty() { (sentence(&others.join(", "))) ". " }
                (switched_on_to(view, switches(plays).map(|play| &play.screen.screener_id)))
                (view.clips(plays))
            };
            let cells = [view.share(Share::of(over, over + under)), view.points(sum)];
            (plays.len(), row(&view.player(defender), &under_text, &cells))
        })
        .collect();
    let heads = ["column-defender", "guarding-over", "column-points"].map(|key| view.text(key));
    table_of_many(view, view.text("guarding-handler"), &heads, rows)
}

fn at_the_screener(view: &View<'_>, plays: &[&ScreenPlay<'_>]) -> Markup {
    let defenders = by_player(plays, |play| play.screen.screener_defender_id.as_ref());
    let middle = |plays: &[&ScreenPlay<'_>]| {
        let late = plays
            .iter()
            .filter_map(|play| play.entry?.screener_defender_late_s);
        let late: Vec<f32> = late.collect();
        let known = late.len();
        (median_of(late).filter(|_| known >= LEAST_FOR_MEDIAN), known)
    };
    // Where all are in place at once, a column of zeros says nothing.
    let listed = defenders.iter().take(LISTED);
    let is_any_known = listed.clone().any(|(_, plays)| middle(plays).0.is_some());
    let is_any_late = listed
        .clone()
        .any(|(_, plays)| middle(plays).0.is_some_and(|late_s| late_s >= SHOWS_S));
    let rows: Vec<(usize, Markup)> = listed
        .map(|(defender, plays)| {
            let coverages = grouped(plays.iter().filter_map(|play| {
                let coverage = play.coverage?.coverage;
                (coverage != Coverage::Unclear).then_some((view.words.coverage(coverage), ()))
            }));
            let played: Vec<String> = coverages
                .iter()
                .map(|(coverage, times)| view.tag_times(coverage, times.len()))
                .collect();
            let (middle, known) = middle(plays);
            let sum = points_of(plays.iter().copied());
            let under = html! {
                @if played.is_empty() { (view.text("no-coverage-read")) " " } @else { (sentence(&played.join(", "))) ". " }
                (switched_on_to(view, switches(plays).map(|play| &play.screen.user_id)))
                (view.clips(plays))
            };
            let lateness = html! {
                @match middle {
                    Some(late_s) => {
                        span.main { (view.seconds(late_s.into())) } " "
                        span.count { (view.html("guarding-known", &[("known", known.into()), ("n", plays.len().into())])) }
                    }
                    None => { span.none { (view.text("too-few-cases")) } }
                }
            };
            let cells: Vec<Markup> = is_any_late
                .then_some(lateness)
                .into_iter()
                .chain([view.points(sum)])
                .collect();
            (plays.len(), row(&view.player(defender), &under, &cells))
        })
        .collect();
    let heads = ["column-defender", "guarding-in-place", "column-points"].map(|key| view.text(key));
    let heads: Vec<&str> = heads
        .into_iter()
        .filter(|head| is_any_late || *head != view.text("guarding-in-place"))
        .collect();
    html! {
        (table_of_many(view, view.text("guarding-screener"), &heads, rows))
        @if is_any_late { p.note { (view.text("guarding-in-place-note")) } }
        @else if is_any_known { p.note { (view.text("guarding-all-in-place")) } }
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
        return html! { p.none { (view.text("helpers-none")) } };
    }
    let rows: Vec<Markup> = helps
        .iter()
        .take(LISTED)
        .map(|(helper, helps)| {
            let of = |action: HelperAction| helps.iter().filter(|help| help.action == action).count();
            let did: Vec<String> = [HelperAction::Tag, HelperAction::Sag, HelperAction::Stunt]
                .into_iter()
                .filter(|&action| of(action) > 0)
                .filter_map(|action| Some(view.tag_times(view.words.helper(action)?, of(action))))
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
                (players_text(view, "helpers-left-open", left_open))
                (view.clips(&shown))
            };
            row(
                &view.player(helper),
                &under,
                &[
                    view.share(Share::of(helps.len(), plays.len())),
                    view.share(Share::of(
                        got_there.iter().filter(|&&got| got).count(),
                        got_there.len(),
                    )),
                ],
            )
        })
        .collect();
    html! {
        @if view.lacks("dilemmas") { p.absent { (view.text("lacks-dilemmas")) } }
        (table(
            view.text("helpers-caption"),
            &["helpers-column", "helpers-helped", "helpers-left"].map(|key| view.text(key)),
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
