//! The sheet for the players: at most three rules, each with its number and a picture, on one page in large type.

mod most;
mod picture;

use std::collections::BTreeMap;

use maud::{Markup, html};
use scrim_season::ball_screens::OnBallScreen;
use scrim_season::words::{Begins, Words, sentence, strong};
use scrim_tables::Id;
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Outcome, Question, TeamSide};

use super::Report;
use super::figures::Figures;
use super::frame::{Head, scope, stand_alone};
use super::view::{View, markup};
use super::worked::{Wanted, Worked, latest, worked};
use crate::ReportError;
use crate::drawing::Moment;
use crate::findings::findings as found;
use crate::plays::ScreenPlay;
use most::most_of_all;
use picture::pick;

/// How many rules there are at most.
const RULES: usize = 3;

/// A rule, why, and a play that shows it.
struct Rule<'a> {
    text: String,
    why: Markup,
    /// The plays that show it, the first to be shown first.
    plays: Vec<&'a ScreenPlay<'a>>,
    moment: Moment,
    about: Option<About>,
}

/// What a rule may be about, of which there is one rule each.
#[derive(PartialEq, Eq)]
enum About {
    Defender(Id),
    /// A way into ball screens, by its tag.
    WayIn(String),
}

impl About {
    fn of(row: &AgainstLeagueRow) -> Option<Self> {
        let way_in = || row.answer.clone().filter(|_| row.question == Question::Entry);
        let defender = row.defender_id.clone().map(Self::Defender);
        defender.or_else(|| way_in().map(Self::WayIn))
    }
}

/// The sheet.
pub(super) fn sheet(view: &View<'_>) -> Result<Report, ReportError> {
    let mut figures = Figures::new();
    let rules = rules(view);
    let mut drawn = Vec::new();
    let main = html! {
        @if rules.is_empty() {
            p.none { (view.text("sheet-no-rule")) }
        } @else {
            ol.rules {
                @for rule in &rules {
                    li {
                        h2 { (rule.text) }
                        p.why { (rule.why) }
                        @if let Some((play, frames)) = pick(view, rule, &mut drawn) { (figures.picture(view, play, &frames)) }
                    }
                }
            }
        }
        p.note { (view.text("sheet-note")) }
    };
    let head = Head {
        title: &view.words.say("sheet-title", &[("team", view.team_id().into())]),
        kicker: view.text("sheet-kicker"),
        heading: view.team_id(),
        scope: &scope(view),
    };
    Ok(Report {
        html: stand_alone(&head, &main, &figures, view.words)?,
        drawings: figures.into_drawings(),
    })
}

/// What sets them apart, as far as it gives a rule; then what worked against them; then what they do most. Each thing once, each play once.
fn rules<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let apart = found(
        &view.team.season.against_league,
        &view.plays,
        &view.names,
        view.words,
    )
    .into_iter()
    .filter_map(|finding| {
        // Who does it is more to a player than that the team does.
        let finding = match finding.by_whom {
            Some(one) if view.words.rule(&view.names, one.row).is_some() => *one,
            _ => finding,
        };
        let row = finding.row;
        let plays = warned_of(view, row, finding.shown_by);
        Some(Rule {
            text: view.words.rule(&view.names, row)?,
            why: html! {
                (markup(&view.words.standing(&view.names, row, Begins::Sentence)?))
                @if let Some(pay) = view.words.pay(row).filter(|pay| pay.is_clear) { " " (pay.says) }
                @if let Some(worked) = worked_of(view.words, row, &plays) { " " (worked) }
            },
            moment: moment(row.question),
            about: About::of(row),
            plays,
        })
    });
    let mut rules: Vec<Rule<'_>> = Vec::with_capacity(RULES);
    for rule in apart.chain(what_worked(view)).chain(most_of_all(view)) {
        let is_said = rules
            .iter()
            .any(|known| known.text == rule.text || (known.about.is_some() && known.about == rule.about));
        if !is_said && rules.len() < RULES {
            rules.push(rule);
        }
    }
    rules
}

/// The frame that shows what the rule is about: the ball screen, or what comes of it; never only what lies before.
const fn moment(question: Question) -> Moment {
    match question {
        Question::Entry
        | Question::EntrySide
        | Question::Side
        | Question::Coverage
        | Question::PairOutcome
        | Question::DefenderPath
        | Question::DefenderLate
        | Question::DefenderGap => Moment::Screen,
        Question::ScreenerAction
        | Question::HandlerAction
        | Question::CoverageBeat
        | Question::ActionBeat
        | Question::CoveragePoints
        | Question::CoverageOpenShot
        | Question::CoverageScreenerAtRim
        | Question::CoverageCornerThree
        | Question::CoverageTurnover => Moment::After,
    }
}

/// The plays that the rule warns of, in their order: of a flip the screen that it turned into, else those that show the finding.
fn warned_of<'v>(
    view: &'v View<'_>,
    row: &AgainstLeagueRow,
    shown_by: Vec<&'v ScreenPlay<'v>>,
) -> Vec<&'v ScreenPlay<'v>> {
    let is_flip =
        row.question == Question::PairOutcome && row.answer.as_deref() == Some(Outcome::Flipped.as_str());
    if !is_flip {
        return shown_by;
    }
    let turned_into: BTreeMap<(usize, u32), &ScreenPlay<'_>> = view
        .plays
        .offense
        .all()
        .iter()
        .filter(|play| play.action_id != play.screen.screen_id)
        .map(|play| ((play.game_place, play.action_id), play))
        .collect();
    let warned_of = shown_by
        .into_iter()
        .map(|play| turned_into.get(&play.key()).copied().unwrap_or(play));
    warned_of.collect()
}

/// What worked on the very ball screens that a finding is about, where one thing clearly did: against their offence the coverage that gave up
/// least, against a coverage of theirs what the screener did that got most.
fn worked_of(words: &Words, row: &AgainstLeagueRow, plays: &[&ScreenPlay<'_>]) -> Option<String> {
    let plays = plays.iter().copied();
    match (row.side, row.question) {
        (
            TeamSide::Offense,
            Question::Entry | Question::EntrySide | Question::Side | Question::PairOutcome,
        ) => {
            let covered = plays.filter_map(|play| Some((play.coverage()?, play)));
            let best = worked(covered, Wanted::Least)?;
            let coverage = sentence(words.coverage(best.what));
            let args = [
                ("coverage", coverage.into()),
                ("beside", beside(words, &best).into()),
            ];
            Some(words.say("sheet-coverage-worked", &args))
        }
        (TeamSide::Defense, Question::Coverage) => {
            let did = plays.filter_map(|play| Some((play.option?.screener_action, play)));
            let best = worked(did, Wanted::Most)?;
            let args = [
                ("does", words.screener(best.what)?.into()),
                ("beside", sentence(&beside(words, &best)).into()),
            ];
            Some(words.say("sheet-action-worked", &args))
        }
        _ => None,
    }
}

/// `points or an open shot on 22 % (…), on 45 % (…) of the others.`
fn beside<K>(words: &Words, worked: &Worked<'_, '_, K>) -> String {
    words.say(
        "sheet-beside",
        &[
            ("share", worked.share.text(words).into()),
            ("others", worked.others.text(words).into()),
        ],
    )
}

/// What worked against all their ball screens: the coverage and the way around the screen that gave up least, and when to be earlier.
fn what_worked<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let words = view.words;
    let plays = || view.plays.offense.all().iter();
    let rule = |text: String, why: Markup, plays: Vec<&'v ScreenPlay<'v>>| Rule {
        text,
        why,
        plays: latest_first(plays),
        moment: Moment::Screen,
        about: None,
    };
    let covered = plays().filter_map(|play| Some((play.coverage()?, play)));
    let coverage = worked(covered, Wanted::Least).and_then(|best| {
        let text = words.coverage_rule(best.what)?.to_owned();
        let why = html! { (sentence(&beside(words, &best))) };
        Some(rule(text, why, best.plays))
    });
    let around = plays().filter_map(|play| {
        let path = play.coverage?.on_ball_path;
        words.path(path).map(|_| (path, play))
    });
    let path = worked(around, Wanted::Least).and_then(|best| {
        let text = words.path_rule(best.what)?.to_owned();
        let why = html! { (sentence(&beside(words, &best))) };
        Some(rule(text, why, best.plays))
    });
    let earlier = latest(plays()).map(|found| {
        let ((late_s, n), (other_s, other_n)) = (found.late, found.otherwise);
        let text = words.say("rule-earlier", &[("entry", words.a(found.entry).into())]);
        let why = [
            ("late", strong(view.seconds(f64::from(late_s))).into()),
            ("late-n", n.into()),
            ("other", view.seconds(f64::from(other_s)).into()),
            ("other-n", other_n.into()),
        ];
        rule(text, view.html("rule-earlier-why", &why), found.plays)
    });
    [coverage, path, earlier].into_iter().flatten().collect()
}

fn latest_first<'v>(mut plays: Vec<&'v ScreenPlay<'v>>) -> Vec<&'v ScreenPlay<'v>> {
    plays.sort_by_key(|play| play.latest_first());
    plays
}
