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

fn side<'a>(words: &'a Words, attack: &'a [AgainstLeagueRow], defense: &'a [AgainstLeagueRow]) -> Side<'a> {
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
fn a_number_that_is_not_there_says_under_how_many_and_a_difference_is_said() {
    let words = Words::english();
    let text = |markup: Markup| markup.into_string().replace('\u{a0}', " ");
    assert_eq!(
        text(few(&words, Some(262))),
        "<span class=\"none\">under 5 of 262</span>"
    );
    assert_eq!(
        text(few(&words, None)),
        "<span class=\"none\">under 20 in all</span>"
    );
    let more = text(cell(&words, &beat(TeamSide::Offense, Coverage::Drop, 0.7, 0.4)));
    assert!(more.contains("; more"), "{more}");
    let alike = text(cell(&words, &beat(TeamSide::Offense, Coverage::Drop, 0.52, 0.04)));
    assert!(!alike.contains("more") && !alike.contains("less"), "{alike}");
}

/// A drop that both teams have much to do with, `effect` away from the league's, and a switch that is hardly played.
fn drop_and_switch(effect: f32) -> String {
    let rows = |side| {
        let points = AgainstLeagueRow {
            hits: None,
            value: 1.19,
            value_low: 1.05,
            value_high: 1.33,
            league: 1.25,
            all_teams: Some(1.24),
            ..share(side, Question::CoveragePoints, Some(Coverage::Drop), 1.19, effect)
        };
        vec![
            points,
            beat(side, Coverage::Drop, 0.5, 0.0),
            beat(side, Coverage::Switch, 0.5, 0.0),
            plays(Coverage::Drop, 0.6),
        ]
    };
    let words = Words::english();
    let (attack, defense) = (rows(TeamSide::Offense), rows(TeamSide::Defense));
    let side = side(&words, &attack, &defense);
    let body = side.body(&side.questions_of_defense());
    body.into_string().replace('\u{a0}', " ")
}

#[test]
fn a_row_a_coverage_and_the_league_is_one_number() {
    let body = drop_and_switch(0.0);
    let table = body.split("</table>").next().unwrap();
    assert_eq!(table.matches("<th scope=\"row\">").count(), 2, "{table}");
    // The points of all teams, not of the others alone; "points" stands in the column's name, not beside each number.
    assert!(
        table.contains("1.24") && !table.contains("1.25") && !table.contains("1.19 points"),
        "{table}"
    );
    assert!(
        table.contains("under 5 of 100") && table.contains("under 20 in all"),
        "{table}"
    );
}

#[test]
fn where_nothing_stands_out_one_sentence_says_so_and_no_heading_asks() {
    let body = drop_and_switch(0.0);
    assert!(body.contains("None of these differences is too big for chance.") && !body.contains("<h3>"));
    let body = drop_and_switch(0.7);
    assert!(!body.contains("None of these differences") && body.contains("; more"));
}

#[test]
fn every_coverage_has_the_same_folded_rows() {
    let body = drop_and_switch(0.0);
    let folded = body.split("<details").nth(1).unwrap();
    for name in [
        "Points or an open shot",
        "Screener shoots at the rim",
        "Corner threes",
        "Turnovers",
    ] {
        assert_eq!(
            folded.matches(&format!("<th scope=\"row\">{name}")).count(),
            2,
            "{name}: {folded}"
        );
    }
}
