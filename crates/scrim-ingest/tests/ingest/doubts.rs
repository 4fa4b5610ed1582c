//! What makes a game doubtful as a whole: named in its notes and in those of its source.

use crate::small_game::{Folder, Row, csv, rows};

fn notes(folder: &Folder) -> Vec<String> {
    let (games, report) = folder.read().unwrap();
    for game in &games {
        for note in &game.notes {
            assert!(
                report.notes.iter().any(|found| found.ends_with(note)),
                "{:?}",
                report.notes
            );
        }
    }
    report.notes
}

/// Two periods of which the first one's clock runs out.
fn played_out() -> Vec<Row> {
    let mut rows = rows("G1", 100);
    for row in &mut rows {
        row.game_clock_s = (99 - row.frame) as f32;
    }
    rows
}

#[test]
fn a_whole_game_has_no_doubts() {
    let folder = Folder::new()
        .with("tracking.csv", csv(&played_out()))
        .with(
            "games.csv",
            "game_id,date,home_team_id,away_team_id\nG1,2041-03-02,SM,KH\n",
        )
        .with("players.csv", "player_id,team_id\nKH1,KH\nSM1,SM\nX,OTHER\n");
    assert_eq!(notes(&folder), Vec::<String>::new());
}

#[test]
fn a_text_file_cut_short_is_noticed_by_its_last_row_and_by_the_clock() {
    let mut rows = played_out();
    rows.retain(|row| row.period == 1 || row.frame < 60);
    let text = csv(&rows);
    let cut = &text[..text.len() - 15];
    let found = notes(&Folder::new().with("tracking.csv", cut));
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(
        found
            .iter()
            .any(|note| note.contains("its last row is broken off")),
        "{found:?}"
    );
    let clock = "the game clock stands at 40 s at the end of period 2, and below 5 s at the end of all others: the tracking may \
                 be cut short";
    assert!(found.iter().any(|note| note.ends_with(clock)), "{found:?}");
}

#[test]
fn without_a_clock_a_period_much_shorter_than_the_others_is_noticed() {
    let mut rows = rows("G1", 100);
    rows.retain(|row| row.period == 1 || row.frame < 20);
    let mut text = String::new();
    for line in csv(&rows).lines() {
        // Without the columns of the clocks.
        let cells: Vec<&str> = line.split(',').collect();
        text.push_str(&[&cells[..3], &cells[5..]].concat().join(","));
        text.push('\n');
    }
    let found = notes(&Folder::new().with("tracking.csv", text));
    // The last instants: frames 19 and 99 at 25 Hz.
    assert!(
        found.len() == 1 && found[0].contains("period 2 has 1 s, and the others about 4 s"),
        "{found:?}"
    );
}

#[test]
fn side_tables_that_contradict_the_tracking_are_reported() {
    let folder = Folder::new()
        .with("tracking.csv", csv(&played_out()))
        .with("games.csv", "game_id,home_team_id,away_team_id\nG1,KH,ZZ\n")
        .with(
            "players.csv",
            "player_id,team_id\nKH1,KH\nKH1,SM\nKH2,SM\nSM3,ZZ\n",
        );
    let found = notes(&folder);
    let has = |words: &str| assert!(found.iter().any(|note| note.contains(words)), "{found:?}");
    has("home and away team are not the two teams of the tracking");
    has("the `players` table has `KH1` in both teams");
    has("the `players` table has `KH2`, `SM3` in another team than the tracking");
    assert_eq!(found.len(), 3, "{found:?}");
}

#[test]
fn a_player_in_both_teams_of_the_tracking_and_two_on_one_spot_are_reported() {
    let mut rows = played_out();
    let copies: Vec<Row> = rows
        .iter()
        .filter(|row| row.who.as_ref().is_some_and(|(_, player)| player == "KH1"))
        .map(|row| Row {
            who: Some(("KH", "KH9".into())),
            x_m: row.x_m + 0.0625,
            ..row.clone()
        })
        .collect();
    rows.extend(copies);
    for row in rows.iter_mut().filter(|row| row.frame < 3) {
        if let Some((team, player)) = &mut row.who
            && player == "SM5"
        {
            *team = "KH";
        }
    }
    let found = notes(&Folder::new().with("tracking.csv", csv(&rows)));
    let has = |words: &str| assert!(found.iter().any(|note| note.contains(words)), "{found:?}");
    has("players `KH1` and `KH9` are on one spot");
    has("the tracking has `SM5` in both teams");
    assert_eq!(found.len(), 2, "{found:?}");
}

#[test]
fn a_date_that_is_none_is_refused_with_its_value_and_a_time_is_left_off() {
    let of = |date: &str| {
        let folder = Folder::new()
            .with("tracking.csv", csv(&rows("G1", 3)))
            .with("games.csv", format!("game_id,date\nG1,{date}\n"));
        let (games, report) = folder.read().unwrap();
        let refused: Vec<String> = report.quarantine.iter().map(|row| row.detail.clone()).collect();
        (games[0].raw.info.date.as_deref().map(String::from), refused)
    };
    assert_eq!(of("2041-03-02T19:30:00Z"), (Some("2041-03-02".into()), vec![]));
    let (date, refused) = of("02.03.2041");
    assert_eq!(date, None);
    assert!(
        refused.len() == 1 && refused[0].contains("`02.03.2041`"),
        "{refused:?}"
    );
}
