//! The sheet for the players: at most three rules, each with its number and a picture, on one page in large type.

use maud::{Markup, html};
use scrim_season::words::{self, SampleSize};
use scrim_tables::Id;
use scrim_tables::tags::{Entry, Question};

use super::Report;
use super::figures::Figures;
use super::frame::{Head, scope, stand_alone};
use super::view::View;
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
    /// The plays that show it, the best first.
    plays: Vec<&'a ScreenPlay<'a>>,
    moment: Moment,
    /// The defender whom it is about: one rule each.
    about: Option<Id>,
}

/// The sheet.
pub(super) fn sheet(view: &View<'_>) -> Result<Report, ReportError> {
    let mut figures = Figures::new();
    let rules = rules(view);
    let mut drawn = Vec::new();
    let main = html! {
        @if rules.is_empty() {
            p.none { "Too little is known of this team for a rule." }
        } @else {
            ol.rules {
                @for rule in &rules {
                    li {
                        h2 { (rule.text) }
                        p.why { (rule.why) }
                        @if let Some(play) = pick(&rule.plays, &mut drawn) { (figures.picture(view, play, rule.moment)) }
                    }
                }
            }
        }
        p.note { "Circles: the team with the ball. X: the defence. Numbers are estimates from tracking; the film decides." }
    };
    let head = Head {
        title: &format!("{}: for the players", view.team_id()),
        kicker: "For the players",
        heading: view.team_id(),
        scope: &scope(view),
    };
    Ok(Report {
        html: stand_alone(&head, &main, &figures)?,
        drawings: figures.into_drawings(),
    })
}

/// What sets them apart, as far as it gives a rule; then what they do most. Each thing once, each play once.
fn rules<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let apart = found(&view.team.season.against_league, &view.plays, &view.names)
        .into_iter()
        .filter_map(|finding| {
            Some(Rule {
                text: words::rule(&view.names, finding.row)?,
                why: html! { (finding.says.before) strong { (finding.says.ours) } (finding.says.after) },
                plays: finding.shown_by,
                moment: match finding.row.question {
                    Question::Entry | Question::EntrySide => Moment::Before,
                    Question::Side
                    | Question::Coverage
                    | Question::DefenderPath
                    | Question::DefenderLate
                    | Question::DefenderGap => Moment::Screen,
                    _ => Moment::After,
                },
                about: finding.row.defender_id.clone(),
            })
        });
    let mut rules: Vec<Rule<'_>> = Vec::with_capacity(RULES);
    for rule in apart.chain(most_of_all(view)) {
        let is_said = rules
            .iter()
            .any(|known| known.text == rule.text || (known.about.is_some() && known.about == rule.about));
        if !is_said && rules.len() < RULES {
            rules.push(rule);
        }
    }
    rules
}

/// What they do most: the way in, the place, the pair. None of fewer ball screens than a share is worth saying of.
fn most_of_all<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let plays = &view.plays.offense;
    let size = SampleSize::of(plays.count());
    if size == SampleSize::VerySmall {
        return Vec::new();
    }
    let rule = |text: String, share: Share, of: &str, runs: &[&'v ScreenPlay<'v>], moment: Moment| {
        let mut surest_first = runs.to_vec();
        // A stable sort: of equals the earlier.
        surest_first.sort_by(|a, b| b.confidence().total_cmp(&a.confidence()));
        Rule {
            text,
            why: html! { strong { (share.percent()) } " of their ball screens " (of) " (" (share.hits) " of " (share.n) ")." @if let Some(caution) = size.caution() { " " span.weak { (words::sentence(caution)) "." } } },
            plays: surest_first,
            moment,
            about: None,
        }
    };
    let entries = plays.by_entry();
    let known: usize = entries.iter().map(|(_, plays)| plays.len()).sum();
    let way_in = entries.iter().find(|(entry, _)| *entry != Entry::None);
    let way_in = way_in.and_then(|(entry, runs)| {
        let text = format!(
            "Know their most frequent way into it: out of {}.",
            words::a(words::entry(*entry))
        );
        let share = Share::of(runs.len(), known)?;
        Some(rule(text, share, "come out of one", runs, Moment::Before))
    });
    let zones = plays.by_zone();
    let place = zones.first().and_then(|(zone, runs)| {
        let text = format!("Know where they set it most: at the {}.", words::zone(*zone));
        let share = Share::of(runs.len(), plays.count())?;
        Some(rule(text, share, "are set there", runs, Moment::Screen))
    });
    let pairs = plays.by_pair();
    let pair = pairs.first().and_then(|((handler, screener), runs)| {
        let [screener, handler] = [screener, handler].map(|id| view.names.called(id));
        let text = format!("Know their most frequent pair: {screener} screening for {handler}.");
        let share = Share::of(runs.len(), plays.count())?;
        Some(rule(text, share, "are theirs", runs, Moment::Screen))
    });
    [way_in, place, pair].into_iter().flatten().collect()
}

/// The first of the plays that is not drawn yet.
fn pick<'p>(plays: &[&'p ScreenPlay<'p>], drawn: &mut Vec<(usize, u32)>) -> Option<&'p ScreenPlay<'p>> {
    let play = plays.iter().copied().find(|play| !drawn.contains(&play.key()))?;
    drawn.push(play.key());
    Some(play)
}
