//! The sheet for the players: at most three rules, each with its number and a picture, on one page in large type.

use std::collections::BTreeMap;

use maud::{Markup, html};
use scrim_season::ball_screens::OnBallScreen;
use scrim_season::words::{self, SampleSize};
use scrim_tables::Id;
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Coverage, Entry, Outcome, Question, TeamSide};

use super::Report;
use super::figures::Figures;
use super::frame::{Head, scope, stand_alone};
use super::view::View;
use super::worked::{Wanted, Worked, latest, worked};
use crate::ReportError;
use crate::drawing::Moment;
use crate::evidence::{Most, Share};
use crate::findings::findings as found;
use crate::plays::ScreenPlay;

/// How many rules there are at most.
const RULES: usize = 3;
/// So large a share is most of them.
const MOST_OF_ALL: f64 = 0.5;

/// A rule, why, and a play that shows it.
struct Rule<'a> {
    text: String,
    why: Markup,
    /// The plays that show it, the first to be shown first.
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

/// What sets them apart, as far as it gives a rule; then what worked against them; then what they do most. Each thing once, each play once.
fn rules<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let apart = found(&view.team.season.against_league, &view.plays, &view.names)
        .into_iter()
        .filter_map(|finding| {
            // Who does it is more to a player than that the team does.
            let finding = match finding.by_whom {
                Some(one) if words::rule(&view.names, one.row).is_some() => *one,
                _ => finding,
            };
            let row = finding.row;
            let plays = warned_of(view, row, finding.shown_by);
            Some(Rule {
                text: words::rule(&view.names, row)?,
                why: html! {
                    (finding.says.before) strong { (finding.says.ours) } (finding.says.after)
                    @if let Some(pay) = words::pay(row).filter(|pay| pay.is_clear) { " " (pay.says) }
                    @if let Some(worked) = worked_of(row, &plays) { " " (worked) }
                },
                moment: moment(row.question),
                about: row.defender_id.clone(),
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
fn worked_of(row: &AgainstLeagueRow, plays: &[&ScreenPlay<'_>]) -> Option<Markup> {
    let plays = plays.iter().copied();
    match (row.side, row.question) {
        (
            TeamSide::Offense,
            Question::Entry | Question::EntrySide | Question::Side | Question::PairOutcome,
        ) => {
            let covered = plays.filter_map(|play| Some((play.coverage()?, play)));
            let best = worked(covered, Wanted::Least)?;
            Some(html! { (words::sentence(words::coverage(best.what))) " worked: " (beside(&best)) })
        }
        (TeamSide::Defense, Question::Coverage) => {
            let did = plays.filter_map(|play| Some((play.option?.screener_action, play)));
            let best = worked(did, Wanted::Most)?;
            let does = words::screener(best.what)?;
            Some(html! { "What worked: the " (does) ". " (words::sentence(&beside(&best))) })
        }
        _ => None,
    }
}

/// `points or an open shot on 22 % (…), on 45 % (…) of the others.`
fn beside<K>(worked: &Worked<'_, '_, K>) -> String {
    format!(
        "points or an open shot on {}, on {} of the others.",
        worked.share.text(),
        worked.others.text()
    )
}

/// What worked against all their ball screens: the coverage and the way around the screen that gave up least, and when to be earlier.
fn what_worked<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let plays = || view.plays.offense.all().iter();
    let covered = plays().filter_map(|play| Some((play.coverage()?, play)));
    let coverage = worked(covered, Wanted::Least).and_then(|best| {
        Some(Rule {
            text: format!("{} on their ball screens: it gave up least.", play_it(best.what)?),
            why: html! { (words::sentence(&beside(&best))) },
            plays: latest_first(best.plays),
            moment: Moment::Screen,
            about: None,
        })
    });
    let around = plays().filter_map(|play| {
        let path = words::path(play.coverage?.on_ball_path)?;
        Some((path, play))
    });
    let path = worked(around, Wanted::Least).map(|best| Rule {
        text: format!("Go {} their screens: it gave up least.", best.what),
        why: html! { (words::sentence(&beside(&best))) },
        plays: latest_first(best.plays),
        moment: Moment::Screen,
        about: None,
    });
    let earlier = latest(plays()).map(|found| {
        let ((late_s, n), (other_s, other_n)) = (found.late, found.otherwise);
        Rule {
            text: format!(
                "Be at the ball screen earlier when it comes out of {}.",
                words::a(words::entry(found.entry))
            ),
            why: html! {
                "The screener's defenders were in place " strong { (format!("{late_s:.1}\u{a0}s")) } " after the set (n\u{a0}=\u{a0}" (n) "), "
                (format!("{other_s:.1}\u{a0}s")) " where nothing came before it (n\u{a0}=\u{a0}" (other_n) ")."
            },
            plays: latest_first(found.plays),
            moment: Moment::Screen,
            about: None,
        }
    });
    [coverage, path, earlier].into_iter().flatten().collect()
}

/// A coverage as an instruction.
const fn play_it(coverage: Coverage) -> Option<&'static str> {
    Some(match coverage {
        Coverage::Drop => "Drop",
        Coverage::Level => "Come up to the level of the screen",
        Coverage::Hedge => "Hedge",
        Coverage::Blitz => "Blitz",
        Coverage::Switch => "Switch",
        Coverage::Ice => "Play ice",
        Coverage::Unclear => return None,
    })
}

fn latest_first<'v>(mut plays: Vec<&'v ScreenPlay<'v>>) -> Vec<&'v ScreenPlay<'v>> {
    plays.sort_by_key(|play| play.latest_first());
    plays
}

/// What they do most: the way in, the place, the pair; where no one thing clearly is it, the first two. None of fewer ball screens than a
/// share is worth saying of.
fn most_of_all<'v>(view: &'v View<'_>) -> Vec<Rule<'v>> {
    let plays = &view.plays.offense;
    let size = SampleSize::of(plays.count());
    if size == SampleSize::VerySmall {
        return Vec::new();
    }
    let rule = |text: String, share: Share, of: &str, runs: &[&'v ScreenPlay<'v>]| Rule {
        text,
        why: html! { strong { (share.percent()) } " of their ball screens " (of) " (" (share.hits) " of " (share.n) ")." @if let Some(caution) = size.caution() { " " span.weak { (words::sentence(caution)) "." } } },
        plays: latest_first(runs.to_vec()),
        moment: Moment::Screen,
        about: None,
    };
    let mut entries = plays.by_entry();
    let known: usize = entries.iter().map(|(_, plays)| plays.len()).sum();
    let straight = Most::of(&entries, known).and_then(Most::clear);
    let straight =
        straight.filter(|(entry, share)| *entry == Entry::None && share.interval.low > MOST_OF_ALL);
    let straight = straight.map(|(_, share)| {
        let text = "Get to the ball screen at once: most of theirs come with nothing before.".to_owned();
        rule(text, share, "come straight", &entries[0].1)
    });
    entries.retain(|(entry, _)| *entry != Entry::None);
    let way_in = Often::of(&entries, known, |entry| words::a(words::entry(entry)));
    let way_in = way_in.map(|ways| {
        let text = format!(
            "When you see {}, get to the ball: {}.",
            ways.names("or"),
            ways.if_clear(
                "it is their most frequent way into a ball screen",
                "a ball screen comes out of it"
            )
        );
        rule(
            text,
            ways.share,
            ways.if_one("come out of it", "come out of one of them"),
            &entries[0].1,
        )
    });
    let zones = plays.by_zone();
    let place = Often::of(&zones, plays.count(), |zone| format!("the {}", words::zone(zone)));
    let place = place.map(|places| {
        let text = format!(
            "Be at {} early: they set it there{}.",
            places.names("or"),
            places.if_clear(" most", "")
        );
        rule(text, places.share, "are set there", &zones[0].1)
    });
    let pairs = plays.by_pair();
    let pair = Often::of(&pairs, plays.count(), |(handler, screener)| {
        format!(
            "{} for {}",
            view.names.called(screener),
            view.names.called(handler)
        )
    });
    let pair = pair.map(|pairs_named| {
        let text = format!(
            "Get early to the screen of {}{}.",
            pairs_named.names("and of"),
            pairs_named.if_clear(": it is the one they set most", "")
        );
        rule(text, pairs_named.share, "are theirs", &pairs[0].1)
    });
    [way_in, place, pair, straight].into_iter().flatten().collect()
}

/// What comes up often: the most frequent of several things, or the first two where none clearly is.
struct Often {
    named: Vec<String>,
    is_clear: bool,
    /// Of these together.
    share: Share,
}

impl Often {
    fn of<K: Clone, T>(groups: &[(K, Vec<T>)], n: usize, name: impl Fn(K) -> String) -> Option<Self> {
        let most = Most::of(groups, n)?;
        let second = most.second.filter(|_| !most.is_clear);
        let hits = most.first.1.hits + second.as_ref().map_or(0, |(_, share)| share.hits);
        let named = std::iter::once(most.first)
            .chain(second)
            .map(|(thing, _)| name(thing));
        Some(Self {
            is_clear: most.is_clear,
            named: named.collect(),
            share: Share::of(hits, n)?,
        })
    }

    fn names(&self, word: &str) -> String {
        self.named.join(&format!(" {word} "))
    }

    const fn if_one(&self, one: &'static str, two: &'static str) -> &'static str {
        if self.named.len() == 1 { one } else { two }
    }

    const fn if_clear(&self, clear: &'static str, else_what: &'static str) -> &'static str {
        if self.is_clear { clear } else { else_what }
    }
}

/// The first of the plays that is not drawn yet.
fn pick<'p>(plays: &[&'p ScreenPlay<'p>], drawn: &mut Vec<(usize, u32)>) -> Option<&'p ScreenPlay<'p>> {
    let play = plays.iter().copied().find(|play| !drawn.contains(&play.key()))?;
    drawn.push(play.key());
    Some(play)
}
