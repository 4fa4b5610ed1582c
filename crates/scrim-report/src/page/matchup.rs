//! Their attack against the coverages that the reader's team plays, and their coverages against its attack: each number with the reader's
//! own and the league's beside it, and what the staff may want to ask.

use maud::{Markup, html};
use scrim_season::stands_out;
use scrim_season::words::{self, sentence};
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Coverage, Question, ScreenerAction, TeamSide};

use super::findings::ABSENT;
use super::table::{row, table};
use super::view::{Section, View};

/// What a coverage gives up, and what the row is called.
const ROWS: [(Question, &str); 6] = [
    (Question::CoveragePoints, "Points a possession"),
    (Question::CoverageBeat, "Points or an open shot"),
    (Question::CoverageOpenShot, "Open shots"),
    (Question::CoverageScreenerAtRim, "Screener at the rim"),
    (Question::CoverageCornerThree, "Corner threes"),
    (Question::CoverageTurnover, "Turnovers"),
];

/// Both sections; none without a team of the reader's.
pub(super) fn sections(view: &View<'_>) -> Vec<Section> {
    let Some(reader) = &view.team.choice.reader else {
        return Vec::new();
    };
    let (theirs, ours) = (&view.team.season.against_league, &view.team.season.readers);
    let attack = Side {
        attack: theirs,
        defense: ours,
        attack_is: "they",
        defense_is: reader,
    };
    let defense = Side {
        attack: ours,
        defense: theirs,
        attack_is: reader,
        defense_is: "they",
    };
    let body = |side: &Side<'_>, questions: &[String]| {
        html! {
            @if view.lacks("against_league") { p.absent { (ABSENT) } }
            @else { (side.tables()) (asked(questions)) }
        }
    };
    vec![
        Section {
            id: "their-attack",
            heading: format!("Their attack against what {reader} plays"),
            folded: false,
            body: body(&attack, &attack.questions_of_defense()),
        },
        Section {
            id: "their-defense",
            heading: format!("What they play against {reader}’s attack"),
            folded: false,
            body: body(&defense, &defense.questions_of_attack()),
        },
    ]
}

/// Who attacks and who defends.
struct Side<'a> {
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

impl Side<'_> {
    /// How often the defence plays the coverage.
    fn played(&self, coverage: Coverage) -> Option<&AgainstLeagueRow> {
        self.defense.iter().find(|row| {
            row.question == Question::Coverage && row.answer.as_deref() == Some(coverage.as_str())
        })
    }

    /// The coverages that there is something to say of, the one most often played first.
    fn coverages(&self) -> Vec<Coverage> {
        let mut coverages: Vec<Coverage> = Coverage::ALL
            .iter()
            .copied()
            .filter(|&coverage| {
                ROWS.iter().any(|(question, _)| {
                    find(self.attack, TeamSide::Offense, *question, coverage).is_some()
                        || find(self.defense, TeamSide::Defense, *question, coverage).is_some()
                })
            })
            .collect();
        let often = |coverage: &Coverage| self.played(*coverage).map_or(0.0, |row| row.value);
        // A stable sort: of equals the earlier word.
        coverages.sort_by(|a, b| often(b).total_cmp(&often(a)));
        coverages
    }

    /// A table a coverage: what the attack gets from it, what the defence gives up with it, and the league.
    fn tables(&self) -> Markup {
        let coverages = self.coverages();
        if coverages.is_empty() {
            return html! { p.none { "Too few ball screens of the season to set the two teams side by side." } };
        }
        let [get, give] = [self.attack_is, self.defense_is].map(sentence);
        html! {
            p.note { "Counted over all games of either team in the season, whichever games this report is about. “More” and “less” are said where a number stands out from the league as on the first page; other differences may be chance." }
            div.coverage-tables {
            @for coverage in coverages {
                @let caption = match self.played(coverage) {
                    Some(row) => format!(
                        "{}. {give} play it on {} ({}) over the season; the league on {}",
                        sentence(words::coverage(coverage)), words::number(row, row.value), words::range(row), words::number(row, row.league)
                    ),
                    None => format!("{}. {give} play it too rarely to say", sentence(words::coverage(coverage))),
                };
                (table(
                    &caption,
                    &["What comes of it", &format!("{get} get"), &format!("{give} give up"), "League"],
                    &self.rows(coverage),
                ))
            }
            }
        }
    }

    fn rows(&self, coverage: Coverage) -> Vec<Markup> {
        let rows = ROWS.iter().filter_map(|(question, name)| {
            let get = find(self.attack, TeamSide::Offense, *question, coverage);
            let give = find(self.defense, TeamSide::Defense, *question, coverage);
            let of_league = get.or(give)?;
            let league = html! { span.main { (words::number(of_league, of_league.league)) } };
            Some(row(name, &html! {}, &[cell(get), cell(give), league]))
        });
        rows.collect()
    }

    /// What the defence may want to ask itself.
    fn questions_of_defense(&self) -> Vec<String> {
        let mut questions = Vec::new();
        let coverages = self.coverages();
        for &coverage in &coverages {
            let word = words::noun(coverage);
            let Some(played) = self.played(coverage) else {
                continue;
            };
            if let Some(beat) = find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage)
                .filter(|beat| is_more(beat))
            {
                questions.push(format!(
                    "{} play {word} on {}. They get points or an open shot from it on {}, other teams on {}: do you stay in it?",
                    sentence(self.defense_is),
                    words::number(played, played.value),
                    words::number(beat, beat.value),
                    words::number(beat, beat.league)
                ));
            }
            for action in [
                ScreenerAction::Slip,
                ScreenerAction::Ghost,
                ScreenerAction::Pop,
                ScreenerAction::ShortRoll,
            ] {
                let does = self.attack.iter().find(|row| {
                    row.side == TeamSide::Offense
                        && row.question == Question::ScreenerAction
                        && row.coverage == Some(coverage)
                        && row.answer.as_deref() == Some(action.as_str())
                        && is_more(row)
                });
                if let Some((does, acts)) = does.zip(words::screener(action)) {
                    questions.push(format!(
                        "Against {word} the {acts} on {}, other teams’ on {}: who has that player then?",
                        words::number(does, does.value),
                        words::number(does, does.league)
                    ));
                }
            }
        }
        let least = coverages
            .iter()
            .filter_map(|&coverage| find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage))
            .filter(|row| is_less(row))
            .min_by(|a, b| a.value.total_cmp(&b.value));
        if let Some((row, coverage)) = least.and_then(|row| Some((row, row.coverage?))) {
            questions.push(format!(
                "From {} they get less than other teams do: points or an open shot on {}, others on {}. Can you play it more?",
                words::noun(coverage),
                words::number(row, row.value),
                words::number(row, row.league)
            ));
        }
        questions
    }

    /// What the attack may want to ask itself.
    fn questions_of_attack(&self) -> Vec<String> {
        let mut questions = Vec::new();
        for coverage in self.coverages() {
            let word = words::noun(coverage);
            let Some(played) = self.played(coverage) else {
                continue;
            };
            let give = find(self.defense, TeamSide::Defense, Question::CoverageBeat, coverage);
            let get = find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage);
            if let Some(give) = give.filter(|row| is_more(row)) {
                questions.push(format!(
                    "They play {word} on {} and give up points or an open shot with it on {}, other teams on {}: how do you get them into it?",
                    words::number(played, played.value),
                    words::number(give, give.value),
                    words::number(give, give.league)
                ));
            }
            if let Some(get) = get.filter(|row| is_less(row)) {
                questions.push(format!(
                    "They play {word} on {}. {} get points or an open shot from it on {}, other teams on {}: what is your answer to it?",
                    words::number(played, played.value),
                    sentence(self.attack_is),
                    words::number(get, get.value),
                    words::number(get, get.league)
                ));
            }
        }
        questions
    }
}

/// A number with its count, its range, and whether the league differs.
fn cell(row: Option<&AgainstLeagueRow>) -> Markup {
    let Some(row) = row else {
        return html! { span.none { "too few" } };
    };
    let differs = if is_more(row) {
        "; more"
    } else if is_less(row) {
        "; less"
    } else {
        ""
    };
    html! {
        span.main { (words::number(row, row.value)) } " "
        span.count { "n\u{a0}=\u{a0}" (row.n) "; " (words::range(row)) strong { (differs) } }
    }
}

fn asked(questions: &[String]) -> Markup {
    html! {
        h3 { "Questions for the staff" }
        @if questions.is_empty() {
            p.none { "None of these differences is too big for chance. The tables above have them all: take them as hints." }
        } @else {
            ul { @for question in questions { li { (question) } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;

    use super::*;

    fn share(
        side: TeamSide,
        question: Question,
        coverage: Option<Coverage>,
        value: f32,
        effect: f32,
    ) -> AgainstLeagueRow {
        AgainstLeagueRow {
            side,
            question,
            coverage,
            n: 100,
            hits: Some(40),
            value,
            league: 0.5,
            effect,
            ..Row::blank()
        }
    }

    fn plays(coverage: Coverage, value: f32) -> AgainstLeagueRow {
        AgainstLeagueRow {
            answer: Some(coverage.as_str().into()),
            ..share(TeamSide::Defense, Question::Coverage, None, value, 0.0)
        }
    }

    fn beat(side: TeamSide, coverage: Coverage, value: f32, effect: f32) -> AgainstLeagueRow {
        share(side, Question::CoverageBeat, Some(coverage), value, effect)
    }

    fn side<'a>(attack: &'a [AgainstLeagueRow], defense: &'a [AgainstLeagueRow]) -> Side<'a> {
        Side {
            attack,
            defense,
            attack_is: "they",
            defense_is: "KH",
        }
    }

    #[test]
    fn coverages_come_by_how_often_the_defence_plays_them() {
        use Coverage::{Drop, Hedge, Switch};
        let attack = [Drop, Hedge, Switch].map(|coverage| beat(TeamSide::Offense, coverage, 0.5, 0.0));
        let defense = [plays(Drop, 0.2), plays(Switch, 0.6)];
        assert_eq!(side(&attack, &defense).coverages(), [Switch, Drop, Hedge]);
    }

    #[test]
    fn a_question_is_asked_where_the_league_differs() {
        let attack = [
            beat(TeamSide::Offense, Coverage::Drop, 0.7, 0.4),
            beat(TeamSide::Offense, Coverage::Switch, 0.3, -0.4),
            beat(TeamSide::Offense, Coverage::Ice, 0.52, 0.04),
        ];
        let defense = [
            plays(Coverage::Drop, 0.6),
            plays(Coverage::Switch, 0.1),
            plays(Coverage::Ice, 0.3),
        ];
        let questions: Vec<String> = side(&attack, &defense)
            .questions_of_defense()
            .iter()
            .map(|text| text.replace('\u{a0}', " "))
            .collect();
        assert_eq!(
            questions,
            [
                "KH play a drop on 60 %. They get points or an open shot from it on 70 %, other teams on 50 %: do you stay in it?",
                "From a switch they get less than other teams do: points or an open shot on 30 %, others on 50 %. Can you play it more?",
            ]
        );
    }

    #[test]
    fn a_number_that_is_not_there_is_too_few_and_a_difference_is_said() {
        assert_eq!(cell(None).into_string(), "<span class=\"none\">too few</span>");
        let more = cell(Some(&beat(TeamSide::Offense, Coverage::Drop, 0.7, 0.4))).into_string();
        assert!(more.contains("; more"), "{more}");
        let alike = cell(Some(&beat(TeamSide::Offense, Coverage::Drop, 0.52, 0.04))).into_string();
        assert!(!alike.contains("more") && !alike.contains("less"), "{alike}");
    }
}
