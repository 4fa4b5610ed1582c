//! Large sources: work grows with them and not with their square. Nothing is timed here; squared, each of these takes minutes.

use std::fmt::Write;

use crate::small_game::{Folder, csv, rows};

#[test]
fn a_games_table_of_a_hundred_thousand_rows_is_read_row_by_row() {
    let mut games = String::from("game_id,date\n");
    for row in 0..100_000 {
        writeln!(games, "other {row},2041-03-02").unwrap();
    }
    games.push_str("G1,2041-03-05\n");
    let folder = Folder::new()
        .with("tracking.csv", csv(&rows("G1", 3)))
        .with("games.csv", games);
    assert_eq!(folder.game().raw.info.date.as_deref(), Some("2041-03-05"));
}

#[test]
fn a_players_table_and_events_of_a_hundred_thousand_rows_are_looked_up() {
    let mut players = String::from("player_id,team_id,jersey\n");
    let mut events = String::from("game_id,period,t_s,event,team_id\n");
    for row in 0..100_000 {
        writeln!(players, "p{row},t{},1", row / 10).unwrap();
        writeln!(events, "g{row},1,0.04,made_shot,KH").unwrap();
    }
    players.push_str("KH1,KH,7\n");
    events.push_str("G1,1,0.04,made_shot,KH\n");
    let folder = Folder::new()
        .with("tracking.csv", csv(&rows("G1", 3)))
        .with("players.csv", players)
        .with("events.csv", events);
    let game = folder.game().raw;
    assert_eq!(game.players[0].jersey.as_deref(), Some("7"));
    assert_eq!(game.events.map(|events| events.len()), Some(1));
}

/// Twenty thousand games, a frame of each in turn, and one frame more: all are open until the second round.
#[test]
fn twenty_thousand_interleaved_games_are_kept_apart() {
    const GAMES: usize = 20_000;
    let mut text = String::from("game_id,period,t_s,team_id,player_id,x_m,y_m\n");
    let mut events = String::from("game_id,period,t_s,event,team_id\n");
    for frame in 0..2 {
        for game in 0..GAMES {
            for (team, y_m) in [("KH", 1), ("SM", -1)] {
                writeln!(text, "game {game},1,{frame},{team},{team} {game},1,{y_m}").unwrap();
            }
        }
    }
    for game in 0..GAMES {
        writeln!(events, "game {game},1,0,made_shot,KH").unwrap();
    }
    let folder = Folder::new()
        .with("tracking.csv", text)
        .with("events.csv", events);
    let (games, report) = folder.read().unwrap();
    assert_eq!((games.len(), report.refused.len()), (GAMES, 0));
    assert!(
        games
            .iter()
            .all(|game| game.raw.events.as_ref().is_some_and(|events| events.len() == 1))
    );
    // In the order in which they end.
    assert_eq!(&*games[1].raw.info.game_id, "game 1");
}

/// Every game has a row that stands twice, at two places, whose text is fetched from the file again: a few are, the rest are counted.
#[test]
fn rows_refused_late_in_ten_thousand_games_do_not_read_the_file_ten_thousand_times() {
    const GAMES: usize = 10_000;
    let mut text = String::from("game_id,period,t_s,team_id,player_id,x_m,y_m\n");
    for game in 0..GAMES {
        for row in ["0,KH,KH1,1,1", "0,KH,KH1,2,2", "0,SM,SM1,1,-1", "1,KH,KH1,1,1"] {
            writeln!(text, "game {game},1,{row}").unwrap();
        }
    }
    let (games, report) = Folder::new().with("tracking.csv", text).read().unwrap();
    assert_eq!(games.len(), GAMES);
    let refused: Vec<_> = games.iter().flat_map(|game| &game.quarantine).collect();
    assert_eq!(refused.len(), GAMES);
    assert_eq!(refused[0].raw, "game 0,1,0,KH,KH1,2,2");
    assert!(refused.iter().all(|row| row.row > 0));
    assert!(
        report
            .notes
            .iter()
            .any(|note| note.contains("rows refused late is not kept")),
        "{:?}",
        report.notes
    );
}
