//! The sheet for the players: three rules, each with its number and a picture, on one page in large type.

use maud::{Markup, html};
use scrim_season::words;
use scrim_tables::tags::{Entry, Question};

use super::figures::Figures;
use super::frame::{Head, scope, stand_alone};
use super::view::View;
use super::{Report, findings};
use crate::ReportError;
use crate::drawing::Moment;
use crate::evidence::Share;
use crate::findings::findings as found;
use crate::plays::ScreenPlay;

/// How many rules there are at most.
const RULES: usize = 3;

/// A rule, why, and a play that shows it.
struct Rule<'a> {
    text: String,
    why: Markup,
    play: Option<&'a ScreenPlay<'a>>,
    moment: Moment,
}

/// The sheet.
pub(super) fn sheet(view: &View<'_>) -> Result<Report, ReportError> {
    let mut figures = Figures::new();
    let rules = rules(view);
    let main = html! {
        @if rules.is_empty() {
            p.none { "Too little is known of this team for a rule." }
        } @else {
            ol.rules {
                @for rule in &rules {
                    li {
                        h2 { (rule.text) }
                        p.why { (rule.why) }
                        @if let Some(play) = rule.play { (figures.picture(view, play, rule.moment)) }
                    }
                }
            }
        }
        p.note { "Circles: the team with the ball. X: the defence. Numbers are estimates from tracking; the film decides." }
    };
    let head = Head {
        title: &format!("{}: three rules", view.team_id()),
        kicker: "For the players",
        heading: view.team_id(),
        scope: &scope(view),
    };
    Ok(Report {
        html: stand_alone(&head, &main, &figures)?,
        drawings: figures.into_drawings(),
    })
}

/// What sets them apart, as far as it gives a rule; then what they do most.
fn rules<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let mut rules: Vec<Rule<'_>> = found(&view.team.season.against_league, &view.plays, &view.names)
        .into_iter()
        .filter_map(|finding| {
            Some(Rule {
                text: words::rule(&view.names, finding.row)?,
                why: html! { (finding.says.before) strong { (finding.says.ours) } (finding.says.after) },
                play: findings::best(&finding.shown_by).first().copied(),
                moment: match finding.row.question {
                    Question::Entry | Question::EntrySide => Moment::Before,
                    Question::Side
                    | Question::Coverage
                    | Question::DefenderPath
                    | Question::DefenderLate
                    | Question::DefenderGap => Moment::Screen,
                    _ => Moment::After,
                },
            })
        })
        .collect();
    rules.extend(most_of_all(view));
    rules.truncate(RULES);
    rules
}

/// What they do most: the place, and what comes before.
fn most_of_all<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let plays = &view.plays.offense;
    let mut rules = Vec::new();
    let entries = plays.by_entry();
    let known: usize = entries.iter().map(|(_, plays)| plays.len()).sum();
    if let Some((entry, of_entry)) = entries.iter().find(|(entry, _)| *entry != Entry::None)
        && let Some(share) = Share::of(of_entry.len(), known)
    {
        rules.push(Rule {
            text: format!("After {}, be ready for the ball screen.", words::a(words::entry(*entry))),
            why: html! { strong { (share.percent()) } " of their ball screens come out of one (" (share.hits) " of " (share.n) ")." },
            play: findings::best(of_entry).first().copied(),
            moment: Moment::Before,
        });
    }
    if let Some((zone, there)) = plays.by_zone().first()
        && let Some(share) = Share::of(there.len(), plays.count())
    {
        rules.push(Rule {
            text: format!("Be ready for the ball screen at the {}.", words::zone(*zone)),
            why: html! { strong { (share.percent()) } " of theirs are set there (" (share.hits) " of " (share.n) ")." },
            play: findings::best(there).first().copied(),
            moment: Moment::Screen,
        });
    }
    if let Some(((handler, screener), runs)) = plays.by_pair().first()
        && let Some(share) = Share::of(runs.len(), plays.count())
    {
        rules.push(Rule {
            text: format!(
                "Know where {} and {} are.",
                view.names.called(screener),
                view.names.called(handler)
            ),
            why: html! { "The first screens for the second on " strong { (share.percent()) } " of their ball screens (" (share.hits) " of " (share.n) ")." },
            play: findings::best(runs).first().copied(),
            moment: Moment::Screen,
        });
    }
    rules
}
