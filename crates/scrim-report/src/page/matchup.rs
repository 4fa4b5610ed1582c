//! Their attack against the coverages that the reader's team plays, and their coverages against its attack: one table each, a row a
//! coverage, each number with the reader's own and the league's beside it; what else comes of each coverage, folded; and what the staff
//! may want to ask, where something stands out (`questions`).

mod questions;

use maud::{Markup, html};
use scrim_season::words::{Words, sentence};
use scrim_season::{FEWEST_COMPARED, FEWEST_HITS, stands_out};
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Coverage, Question, TeamSide};

use super::table::{row, table, unbroken};
use super::view::{Section, View, more};

/// What stands in the one table, and what it is called.
const SHOWN: [(Question, &str); 2] = [
    (Question::CoveragePoints, "matchup-points"),
    (Question::CoverageOpenShot, "matchup-open-shot"),
];

/// What stands folded behind it: the same rows for every coverage.
const FOLDED: [(Question, &str); 4] = [
    (Question::CoverageBeat, "column-beat"),
    (Question::CoverageScreenerAtRim, "matchup-at-rim"),
    (Question::CoverageCornerThree, "matchup-corner-three"),
    (Question::CoverageTurnover, "matchup-turnover"),
];

/// Both sections; none without a team of the reader's.
pub(super) fn sections(view: &View<'_>) -> Vec<Section> {
    let Some(reader) = &view.team.choice.reader else {
        return Vec::new();
    };
    let words = view.words;
    let (theirs, ours) = (&view.team.season.against_league, &view.team.season.readers);
    let they = words.text("matchup-they");
    let attack = Side {
        words,
        attack: theirs,
        defense: ours,
        attack_is: they,
        defense_is: reader,
    };
    let defense = Side {
        words,
        attack: ours,
        defense: theirs,
        attack_is: reader,
        defense_is: they,
    };
    let section = |id, heading, side: &Side<'_>, questions: &[String]| Section {
        id,
        heading: words.say(heading, &[("reader", reader.into())]),
        folded: false,
        body: html! {
            @if view.lacks("against_league") { p.absent { (view.text("lacks-season")) } }
            @else { (side.body(questions)) }
        },
    };
    vec![
        section(
            "their-attack",
            "matchup-attack",
            &attack,
            &attack.questions_of_defense(),
        ),
        section(
            "their-defense",
            "matchup-defense",
            &defense,
            &defense.questions_of_attack(),
        ),
    ]
}

/// Who attacks and who defends.
struct Side<'a> {
    words: &'a Words,
    attack: &'a [AgainstLeagueRow],
    defense: &'a [AgainstLeagueRow],
    attack_is: &'a str,
    defense_is: &'a str,
}

fn is_more(row: &AgainstLeagueRow) -> bool {
    stands_out(row) && row.effect > 0.0
}

fn is_less(row: &AgainstLeagueRow) -> bool {
    stands_out(row) && row.effect < 0.0
}

fn find(
    rows: &[AgainstLeagueRow],
    side: TeamSide,
    question: Question,
    coverage: Coverage,
) -> Option<&AgainstLeagueRow> {
    rows.iter()
        .find(|row| row.side == side && row.question == question && row.coverage == Some(coverage))
}

/// The league's number: of all its teams, so that it is one wherever the same is counted; of older tables that of the other teams.
fn league(row: &AgainstLeagueRow) -> f32 {
    row.all_teams.unwrap_or(row.league)
}

impl Side<'_> {
    /// How often the defence plays the coverage.
    fn played(&self, coverage: Coverage) -> Option<&AgainstLeagueRow> {
        self.defense.iter().find(|row| {
            row.question == Question::Coverage && row.answer.as_deref() == Some(coverage.as_str())
        })
    }

    /// What the attack gets from the coverage, and what the defence gives up with it.
    fn get_and_give(&self, question: Question, coverage: Coverage) -> [Option<&AgainstLeagueRow>; 2] {
        [
            find(self.attack, TeamSide::Offense, question, coverage),
            find(self.defense, TeamSide::Defense, question, coverage),
        ]
    }

    /// The coverages that there is something to say of, the one most often played first.
    fn coverages(&self) -> Vec<Coverage> {
        let mut coverages: Vec<Coverage> = Coverage::ALL
            .iter()
            .copied()
            .filter(|&coverage| {
                let mut all = SHOWN.iter().chain(&FOLDED);
                all.any(|(question, _)| self.get_and_give(*question, coverage).iter().any(Option::is_some))
            })
            .collect();
        let often = |coverage: &Coverage| self.played(*coverage).map_or(0.0, |row| row.value);
        // A stable sort: of equals the earlier word.
        coverages.sort_by(|a, b| often(b).total_cmp(&often(a)));
        coverages
    }

    /// The table, what is folded behind it, and the questions.
    fn body(&self, questions: &[String]) -> Markup {
        let words = self.words;
        let coverages = self.coverages();
        if coverages.is_empty() {
            return html! { p.none { (words.text("matchup-nothing")) } };
        }
        let is_marked = coverages.iter().any(|&coverage| {
            let mut all = SHOWN.iter().chain(&FOLDED);
            self.played(coverage).is_some_and(stands_out)
                || all.any(|(question, _)| {
                    let both = self.get_and_give(*question, coverage);
                    both.into_iter().flatten().any(stands_out)
                })
        });
        let says = if is_marked {
            Some("matchup-marks")
        } else if questions.is_empty() {
            Some("matchup-no-question")
        } else {
            None
        };
        html! {
            (self.table(&coverages))
            p.note { (words.text("matchup-note")) @if let Some(key) = says { " " (words.text(key)) } }
            @if !questions.is_empty() {
                h3 { (words.text("matchup-questions")) }
                ul { @for question in questions { li { (question) } } }
            }
            (more(words.text("matchup-more"), &html! {
                div.coverage-tables { @for &coverage in &coverages { (self.folded_table(coverage)) } }
            }))
        }
    }

    /// They get, you give up, the league.
    fn heads(&self) -> [String; 3] {
        let words = self.words;
        let who = |of: &str| [("who", sentence(of).into())];
        [
            words.say("matchup-get", &who(self.attack_is)),
            words.say("matchup-give", &who(self.defense_is)),
            words.text("matchup-league").to_owned(),
        ]
    }

    /// A row a coverage: how often it is played, what the attack gets from it, what the defence gives up with it, and the league.
    fn table(&self, coverages: &[Coverage]) -> Markup {
        let words = self.words;
        let heads = self.heads();
        let often = words.say("matchup-plays", &[("who", sentence(self.defense_is).into())]);
        html! {
            table.matchup {
                thead {
                    tr {
                        th scope="col" rowspan="2" { (words.text("column-coverage")) }
                        th scope="col" rowspan="2" { (often) }
                        @for (_, key) in SHOWN { th scope="colgroup" colspan="3" { (words.text(key)) } }
                    }
                    tr { @for _ in SHOWN { @for head in &heads { th scope="col" { (head) } } } }
                }
                tbody {
                    @for &coverage in coverages {
                        tr {
                            th scope="row" { (sentence(words.coverage(coverage))) }
                            td data-head=(often) { (self.often(coverage)) }
                            @for (question, key) in SHOWN {
                                @for (cell, head) in self.cells(question, coverage).iter().zip(&heads) {
                                    td data-head=(format!("{}: {head}", words.text(key))) { (cell) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }

    /// How often the coverage is played, and in the league.
    fn often(&self, coverage: Coverage) -> Markup {
        let words = self.words;
        let any = self.defense.iter().find(|row| row.question == Question::Coverage);
        match (self.played(coverage), any) {
            (Some(row), _) => html! {
                (cell(words, row)) " "
                span.count { (words.say("matchup-in-league", &[("league", words.number(row, league(row)).into())])) }
            },
            (None, Some(any)) => few(words, Some(any.n)),
            (None, None) => few(words, None),
        }
    }

    /// What else comes of a coverage.
    fn folded_table(&self, coverage: Coverage) -> Markup {
        let words = self.words;
        let heads = self.heads();
        let heads: Vec<&str> = std::iter::once(words.text("matchup-what"))
            .chain(heads.iter().map(String::as_str))
            .collect();
        let rows: Vec<Markup> = FOLDED
            .iter()
            .map(|(question, key)| row(words.text(key), &html! {}, &self.cells(*question, coverage)))
            .collect();
        table(&sentence(words.coverage(coverage)), &heads, &rows)
    }

    /// They get, you give up, the league.
    fn cells(&self, question: Question, coverage: Coverage) -> [Markup; 3] {
        let words = self.words;
        let both = self.get_and_give(question, coverage);
        let sides = [
            (self.attack, TeamSide::Offense),
            (self.defense, TeamSide::Defense),
        ];
        let mut cells = both.iter().zip(sides).map(|(found, (rows, side))| match found {
            Some(row) => cell(words, row),
            None => {
                // Turnovers, as points, have one ball screen of each possession; of points there are too few or all.
                let asked = match question {
                    Question::CoveragePoints => None,
                    Question::CoverageTurnover => Some(Question::CoveragePoints),
                    _ => Some(Question::CoverageBeat),
                };
                let of = asked.and_then(|asked| find(rows, side, asked, coverage));
                few(words, of.map(|row| row.n))
            }
        });
        let [get, give] = [cells.next(), cells.next()].map(Option::unwrap_or_default);
        let of_league = both.into_iter().flatten().next();
        let league = html! {
            @match of_league {
                Some(row) => { span.main { (words.bare_number(row, league(row))) } }
                None => { span.none { "–" } }
            }
        };
        [get, give, league]
    }
}

/// A number with its count, its range, and whether the league differs.
fn cell(words: &Words, row: &AgainstLeagueRow) -> Markup {
    let range = words.bare_range(row);
    let count = match row.hits {
        Some(hits) => words.say(
            "hits-of",
            &[
                ("hits", hits.into()),
                ("n", row.n.into()),
                ("range", range.into()),
            ],
        ),
        None => format!("{}; {range}", words.say("sample", &[("n", row.n.into())])),
    };
    html! {
        span.main { (words.bare_number(row, row.value)) } " "
        span.count {
            (unbroken(&count))
            @if is_more(row) { strong { "; " (words.text("more")) } }
            @else if is_less(row) { strong { "; " (words.text("less")) } }
        }
    }
}

/// In place of a number that is not counted: under so many, of as many as are known.
fn few(words: &Words, of: Option<u32>) -> Markup {
    let text = match of {
        Some(n) => {
            let least = words.decimal(FEWEST_HITS, 0);
            words.say("cell-few-of", &[("least", least.into()), ("n", n.into())])
        }
        None => words.say("cell-few", &[("least", FEWEST_COMPARED.into())]),
    };
    html! { span.none { (text) } }
}

#[cfg(test)]
mod tests;
