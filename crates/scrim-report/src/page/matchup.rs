//! Their attack against the coverages that the reader's team plays, and their coverages against its attack: each number with the reader's
//! own and the league's beside it, and what the staff may want to ask.

use maud::{Markup, html};
use scrim_season::stands_out;
use scrim_season::words::{Arg, Words, sentence};
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Coverage, Question, ScreenerAction, TeamSide};

use super::table::{row, table};
use super::view::{Section, View};

/// What a coverage gives up, and what the row is called.
const ROWS: [(Question, &str); 6] = [
    (Question::CoveragePoints, "matchup-points"),
    (Question::CoverageBeat, "matchup-beat"),
    (Question::CoverageOpenShot, "matchup-open-shot"),
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
    let body = |side: &Side<'_>, questions: &[String]| {
        html! {
            @if view.lacks("against_league") { p.absent { (view.text("lacks-season")) } }
            @else { (side.tables()) (asked(words, questions)) }
        }
    };
    let heading = |key| words.say(key, &[("reader", reader.into())]);
    vec![
        Section {
            id: "their-attack",
            heading: heading("matchup-attack"),
            folded: false,
            body: body(&attack, &attack.questions_of_defense()),
        },
        Section {
            id: "their-defense",
            heading: heading("matchup-defense"),
            folded: false,
            body: body(&defense, &defense.questions_of_attack()),
        },
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
        let words = self.words;
        let coverages = self.coverages();
        if coverages.is_empty() {
            return html! { p.none { (words.text("matchup-nothing")) } };
        }
        let who = |of: &str| [("who", sentence(of).into())];
        let get = words.say("matchup-get", &who(self.attack_is));
        let give = words.say("matchup-give", &who(self.defense_is));
        let heads = [
            words.text("matchup-what"),
            &get,
            &give,
            words.text("matchup-league"),
        ];
        html! {
            p.note { (words.text("matchup-note")) }
            div.coverage-tables {
                @for coverage in coverages { (table(&self.caption(coverage), &heads, &self.rows(coverage))) }
            }
        }
    }

    /// The coverage, and how often it is played.
    fn caption(&self, coverage: Coverage) -> String {
        let words = self.words;
        let mut args = vec![
            ("coverage", sentence(words.coverage(coverage)).into()),
            ("who", sentence(self.defense_is).into()),
        ];
        let Some(row) = self.played(coverage) else {
            return words.say("matchup-coverage-rare", &args);
        };
        args.extend([
            ("often", words.number(row, row.value).into()),
            ("range", words.range(row).into()),
            ("league", words.number(row, row.league).into()),
        ]);
        words.say("matchup-coverage", &args)
    }

    fn rows(&self, coverage: Coverage) -> Vec<Markup> {
        let words = self.words;
        let rows = ROWS.iter().filter_map(|(question, key)| {
            let get = find(self.attack, TeamSide::Offense, *question, coverage);
            let give = find(self.defense, TeamSide::Defense, *question, coverage);
            let of_league = get.or(give)?;
            let league = html! { span.main { (words.number(of_league, of_league.league)) } };
            let cells = [cell(words, get), cell(words, give), league];
            Some(row(words.text(key), &html! {}, &cells))
        });
        rows.collect()
    }

    /// A question about a row: its number, and the league's.
    fn ask(&self, key: &str, row: &AgainstLeagueRow, more: Vec<(&str, Arg)>) -> String {
        let numbers = [
            ("ours", self.words.number(row, row.value).into()),
            ("league", self.words.number(row, row.league).into()),
        ];
        let args: Vec<(&str, Arg)> = more.into_iter().chain(numbers).collect();
        self.words.say(key, &args)
    }

    /// What the defence may want to ask itself.
    fn questions_of_defense(&self) -> Vec<String> {
        let words = self.words;
        let mut questions = Vec::new();
        let coverages = self.coverages();
        for &coverage in &coverages {
            let noun = || ("coverage", words.noun(coverage).into());
            let Some(played) = self.played(coverage) else {
                continue;
            };
            if let Some(beat) = find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage)
                .filter(|beat| is_more(beat))
            {
                let who = ("who", sentence(self.defense_is).into());
                let often = ("often", words.number(played, played.value).into());
                questions.push(self.ask("question-stay", beat, vec![who, noun(), often]));
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
                if let Some((row, does)) = does.zip(words.screener(action)) {
                    let does = ("does", does.into());
                    questions.push(self.ask("question-who-has", row, vec![noun(), does]));
                }
            }
        }
        let least = coverages
            .iter()
            .filter_map(|&coverage| find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage))
            .filter(|row| is_less(row))
            .min_by(|a, b| a.value.total_cmp(&b.value));
        if let Some((row, coverage)) = least.and_then(|row| Some((row, row.coverage?))) {
            let noun = ("coverage", words.noun(coverage).into());
            questions.push(self.ask("question-play-more", row, vec![noun]));
        }
        questions
    }

    /// What the attack may want to ask itself.
    fn questions_of_attack(&self) -> Vec<String> {
        let words = self.words;
        let mut questions = Vec::new();
        for coverage in self.coverages() {
            let Some(played) = self.played(coverage) else {
                continue;
            };
            let of_coverage = || {
                vec![
                    ("coverage", words.noun(coverage).into()),
                    ("often", words.number(played, played.value).into()),
                ]
            };
            let give = find(self.defense, TeamSide::Defense, Question::CoverageBeat, coverage);
            let get = find(self.attack, TeamSide::Offense, Question::CoverageBeat, coverage);
            if let Some(give) = give.filter(|row| is_more(row)) {
                questions.push(self.ask("question-get-into", give, of_coverage()));
            }
            if let Some(get) = get.filter(|row| is_less(row)) {
                let mut args = of_coverage();
                args.push(("who", sentence(self.attack_is).into()));
                questions.push(self.ask("question-answer", get, args));
            }
        }
        questions
    }
}

/// A number with its count, its range, and whether the league differs.
fn cell(words: &Words, row: Option<&AgainstLeagueRow>) -> Markup {
    let Some(row) = row else {
        return html! { span.none { (words.text("too-few")) } };
    };
    let differs = if is_more(row) {
        format!("; {}", words.text("more"))
    } else if is_less(row) {
        format!("; {}", words.text("less"))
    } else {
        String::new()
    };
    html! {
        span.main { (words.number(row, row.value)) } " "
        span.count { (words.count("sample", row.n as usize)) "; " (words.range(row)) strong { (differs) } }
    }
}

fn asked(words: &Words, questions: &[String]) -> Markup {
    html! {
        h3 { (words.text("matchup-questions")) }
        @if questions.is_empty() {
            p.none { (words.text("matchup-no-question")) }
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

    fn side<'a>(
        words: &'a Words,
        attack: &'a [AgainstLeagueRow],
        defense: &'a [AgainstLeagueRow],
    ) -> Side<'a> {
        Side {
            words,
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
        assert_eq!(
            side(&Words::english(), &attack, &defense).coverages(),
            [Switch, Drop, Hedge]
        );
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
        let questions: Vec<String> = side(&Words::english(), &attack, &defense)
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
        assert_eq!(
            cell(&Words::english(), None).into_string(),
            "<span class=\"none\">too few</span>"
        );
        let more = cell(
            &Words::english(),
            Some(&beat(TeamSide::Offense, Coverage::Drop, 0.7, 0.4)),
        )
        .into_string();
        assert!(more.contains("; more"), "{more}");
        let alike = cell(
            &Words::english(),
            Some(&beat(TeamSide::Offense, Coverage::Drop, 0.52, 0.04)),
        )
        .into_string();
        assert!(!alike.contains("more") && !alike.contains("less"), "{alike}");
    }
}
