//! The demo, the digest, the report, the clip lists and `tendencies` count the same team's ball screens alike, and name the same
//! instant by the same clock: on the sample data, text against text.

use std::collections::{BTreeMap, BTreeSet};

use scrim_season::words::{Words, sentence};
use scrim_tables::rows::TendencyRow;
use scrim_tables::tags::{Coverage, Grouping, TeamSide};
use scrim_tables::{read_rows, season_path};

use crate::house::House;

const SIDES: [TeamSide; 2] = [TeamSide::Offense, TeamSide::Defense];

/// Ball screens of each clear coverage, and how many that are.
type Counts = (BTreeMap<String, u32>, u32);

/// The sample data's tables, and what the demo printed.
fn demo() -> (House, String) {
    let house = House::new();
    let demo = house.scrim(&[]);
    assert_eq!(demo.code, 0, "{demo:?}");
    (house, demo.stdout)
}

fn tendencies(house: &House) -> Vec<TendencyRow> {
    let path = house
        .at("scrim-out")
        .join(season_path(Some("2041"), "tendencies"));
    read_rows(std::fs::read(path).unwrap()).unwrap()
}

fn teams(rows: &[TendencyRow]) -> BTreeSet<String> {
    rows.iter().map(|row| row.team_id.to_string()).collect()
}

/// What `tendencies` says of a team.
fn expected(rows: &[TendencyRow], team: &str, side: TeamSide) -> Counts {
    let ours: Vec<&TendencyRow> = rows
        .iter()
        .filter(|row| {
            row.team_id.as_ref() == team
                && row.side == side
                && row.grouping == Grouping::Coverage
                && row.key != "unclear"
        })
        .collect();
    let words = Words::english();
    let counts = ours
        .iter()
        .map(|row| (words.coverage(row.key.parse().unwrap()).to_owned(), row.hits));
    (counts.collect(), ours.first().map_or(0, |row| row.n))
}

/// All ball screens of a team: every one came out of something, be it nothing.
fn all_of(rows: &[TendencyRow], team: &str, side: TeamSide) -> u32 {
    let mut entries = rows
        .iter()
        .filter(|row| row.team_id.as_ref() == team && row.side == side && row.grouping == Grouping::Entry);
    entries.next().map_or(0, |row| row.n)
}

fn number(text: &str) -> u32 {
    let digits: String = text.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap_or_else(|_| panic!("no number at `{text}`"))
}

fn clear_words() -> Vec<String> {
    let words = Words::english();
    let clear = Coverage::ALL.iter().filter(|word| **word != Coverage::Unclear);
    clear.map(|word| words.coverage(*word).to_owned()).collect()
}

/// One row of the clip list, by column.
type Clip = BTreeMap<String, String>;

fn clips(house: &House, team: &str) -> Vec<Clip> {
    let args = [
        "clips",
        "--tables",
        "scrim-out",
        "--team",
        team,
        "--output",
        "c",
        "--format",
        "csv",
    ];
    assert_eq!(house.scrim(&args).code, 0);
    let text = std::fs::read_to_string(house.at("c/clips.csv")).unwrap();
    let mut lines = text.lines().map(|line| {
        // No name of the sample data has a quote in it.
        let parts = line.split('"').enumerate();
        let cells = parts.flat_map(|(k, part)| {
            if k % 2 == 1 {
                vec![part.to_owned()]
            } else {
                let part = part.strip_prefix(',').unwrap_or(part);
                let part = part.strip_suffix(',').unwrap_or(part);
                part.split(',').map(str::to_owned).collect()
            }
        });
        cells.collect::<Vec<String>>()
    });
    let header = lines.next().unwrap();
    lines
        .map(|cells| header.iter().cloned().zip(cells).collect())
        .collect()
}

fn is_of(clip: &Clip, team: &str, side: TeamSide) -> bool {
    let column = match side {
        TeamSide::Offense => "offense_team_id",
        TeamSide::Defense => "defense_team_id",
    };
    clip[column] == team && clip["screen_kind"] == "ball_screen"
}

fn when(clip: &Clip) -> String {
    format!("P{} {}", clip["period"], clip["game_clock"])
}

/// The text of the report's section about one side's coverages, tags taken out.
fn report_section(html: &str, id: &str) -> String {
    let section = html.split(&format!("<h2 id=\"{id}\">")).nth(1).unwrap();
    let section = section.split("</section>").next().unwrap();
    let mut text = String::new();
    let mut inside = false;
    for letter in section.chars() {
        match letter {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push('|');
            }
            letter if !inside => text.push(letter),
            _ => {}
        }
    }
    text.replace('\u{a0}', " ")
}

fn report(house: &House, team: &str) -> String {
    let args = [
        "report",
        "--tables",
        "scrim-out",
        "--team",
        team,
        "--output",
        "r.html",
    ];
    assert_eq!(house.scrim(&args).code, 0);
    std::fs::read_to_string(house.at("r.html")).unwrap()
}

/// `3 of 14` after the first cell that is exactly `word`.
fn hits_and_n(section: &str, word: &str) -> Option<(u32, u32)> {
    let cell = format!("|{}|", sentence(word));
    let after = section.split(&cell).nth(1)?;
    // The meaning of the word may have an " of " too: the count's stands after a digit.
    let at = after
        .match_indices(" of ")
        .map(|(at, _)| at)
        .find(|at| after[..*at].ends_with(|c: char| c.is_ascii_digit()))?;
    let hits = after[..at].rsplit(|c: char| !c.is_ascii_digit()).next()?;
    Some((number(hits), number(&after[at + 4..])))
}

#[test]
fn all_five_count_the_same_ball_screens_of_each_coverage() {
    let words = Words::english();
    let (house, demo) = demo();
    let rows = tendencies(&house);
    let mut compared = 0;
    for team in teams(&rows) {
        let digest = house
            .scrim(&["digest", "--tables", "scrim-out", "--team", &team])
            .stdout;
        let html = report(&house, &team);
        let clips = clips(&house, &team);
        for side in SIDES {
            let (counts, read) = expected(&rows, &team, side);
            let all = all_of(&rows, &team, side);
            let of_clips = clips.iter().filter(|clip| is_of(clip, &team, side));
            assert_eq!(of_clips.clone().count() as u32, all, "clips of {team}, {side}");
            let section = match side {
                TeamSide::Offense => report_section(&html, "faced"),
                TeamSide::Defense => report_section(&html, "played"),
            };
            for word in &clear_words() {
                let hits = counts.get(word).copied().unwrap_or(0);
                let in_clips = of_clips.clone().filter(|clip| {
                    clip["coverage"].parse().map(|tag| words.coverage(tag)) == Ok(word.as_str())
                });
                assert_eq!(in_clips.count() as u32, hits, "clips of {team}, {side}, {word}");
                let in_report = hits_and_n(&section, word);
                let wanted = (hits > 0).then_some((hits, read));
                assert_eq!(in_report, wanted, "report of {team}, {side}, {word}: {section}");
                compared += hits;
            }
        }
        // The digest has the coverages that a team plays, and how many ball screens it runs.
        let (counts, read) = expected(&rows, &team, TeamSide::Defense);
        for (word, hits) in counts {
            let line = format!("  {word}: {hits} of {read} (");
            assert!(digest.contains(&line), "no `{line}` in:\n{digest}");
        }
        let all = all_of(&rows, &team, TeamSide::Offense);
        assert!(
            digest.contains(&format!("and {all} ball screens\n")),
            "{all}: {digest}"
        );
        let html = html.replace('\u{a0}', " ");
        assert!(
            html.contains(&format!("{all} ball screens in ")),
            "{all} in the report"
        );
        // The demo has the coverages that a team faced, game by game.
        let (counts, read) = expected(&rows, &team, TeamSide::Offense);
        let (of_demo, read_in_demo) = faced_in_demo(&demo, &team);
        assert_eq!((of_demo, read_in_demo), (counts, read), "demo of {team}:\n{demo}");
    }
    assert!(compared > 30, "{compared}");
}

/// The sums over the demo's games.
fn faced_in_demo(demo: &str, team: &str) -> Counts {
    let mut counts = BTreeMap::new();
    let mut read = 0;
    let lines: Vec<&str> = demo.lines().collect();
    for pair in lines.windows(2) {
        if !pair[0].starts_with(&format!("  {team}: mostly ")) {
            continue;
        }
        let Some((_, faced)) = pair[1].split_once("coverages faced: ") else {
            continue;
        };
        let (words_and_counts, of) = faced.split_once(" of ").unwrap();
        read += number(of);
        for part in words_and_counts.split(", ") {
            let (word, count) = part.rsplit_once(' ').unwrap();
            let word = clear_words().into_iter().find(|known| known == word).unwrap();
            *counts.entry(word).or_insert(0) += number(count);
        }
    }
    (counts, read)
}

#[test]
fn all_print_the_same_clock_of_the_same_screen() {
    let words = Words::english();
    let (house, demo) = demo();
    let rows = tendencies(&house);
    let mut compared = 0;
    for team in teams(&rows) {
        let clips = clips(&house, &team);
        let ours: Vec<&Clip> = clips
            .iter()
            .filter(|clip| is_of(clip, &team, TeamSide::Offense))
            .collect();
        // The clip list has the latest game first, within a game by time.
        let mut by_time = ours.clone();
        by_time.sort_by_key(|clip| (&clip["date"], &clip["game_id"]));
        // The digest names the latest three of each entry.
        let digest = house
            .scrim(&["digest", "--tables", "scrim-out", "--team", &team])
            .stdout;
        let entries: BTreeSet<&String> = ours.iter().map(|clip| &clip["entry"]).collect();
        let section = digest
            .split("ENTRIES")
            .nth(1)
            .unwrap()
            .split("DISGUISE")
            .next()
            .unwrap();
        for entry in entries.iter().take(4) {
            let latest: Vec<String> = by_time
                .iter()
                .rev()
                .filter(|clip| clip["entry"] == **entry)
                .take(3)
                .map(|clip| format!("game {}, {}", clip["game_id"], when(clip)))
                .collect();
            let line = format!("look up: {}\n", latest.join(" · "));
            assert!(
                section.contains(&line) || !section.contains(words.entry(entry.parse().unwrap())),
                "no `{line}` in:\n{section}"
            );
            compared += latest.len();
        }
        // The report names the first three of each pair.
        let pairs = report_section(&report(&house, &team), "pairs");
        let (screener, handler) = (&ours[0]["screener"], &ours[0]["handler"]);
        let with_game = clips.iter().any(|clip| clip["game_id"] != clips[0]["game_id"]);
        let firsts: Vec<String> = ours
            .iter()
            .filter(|clip| clip["screener"] == **screener && clip["handler"] == **handler)
            .take(3)
            .map(|clip| {
                if with_game {
                    format!(
                        "|{} {}, {}|",
                        clip["defense_team_id"],
                        words.day(&clip["date"]).replace('\u{a0}', " "),
                        when(clip)
                    )
                } else {
                    format!("|{}|", when(clip))
                }
            })
            .collect();
        // The page leaves the team's name out: the number alone is the last word.
        let number = |player: &str| player.rsplit(' ').next().unwrap_or_default().to_owned();
        let row = pairs
            .split(&format!("|{} for {}|", number(screener), number(handler)))
            .nth(1)
            .unwrap_or_else(|| panic!("no {screener} for {handler} in {pairs}"));
        for first in firsts {
            let at = row.split(&first).next().unwrap();
            assert!(at.len() < 300 && row.len() > at.len(), "{first} in {row}");
            compared += 1;
        }
        // The demo names some: a clip has the same clock, players and place.
        for game in demo.split("\nGame ").flat_map(|text| text.split("Game ")) {
            let id = game.split(':').next().unwrap();
            for line in game.lines().filter(|line| {
                line.starts_with("  P") && line.split_whitespace().nth(2) == Some(team.as_str())
            }) {
                let shown = line.split_whitespace().take(2).collect::<Vec<_>>().join(" ");
                let same = clips.iter().any(|clip| {
                    clip["game_id"] == id
                        && when(clip) == shown
                        && line.contains(&clip["screener"])
                        && line.contains(&clip["handler"])
                        && line.contains(&clip["zone"].replace('_', " "))
                });
                assert!(same, "no clip of game {id} for: {line}");
                compared += 1;
            }
        }
    }
    assert!(compared > 30, "{compared}");
}
