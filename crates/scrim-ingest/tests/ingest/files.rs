//! Files of any name, and ids that are composed.

use scrim_ingest::{IngestError, find_sources};

use crate::small_game::{Folder, Row, csv, expected, json_lines, parquet, rows};

fn ids(folder: &Folder) -> Vec<String> {
    let (games, _) = folder.read().unwrap();
    games
        .iter()
        .map(|game| game.raw.info.game_id.to_string())
        .collect()
}

const EVENTS: &str = "period,event,t_s,team_id\n1,made_shot,0.04,KH\n";

#[test]
fn one_mapping_reads_a_folder_of_files_that_are_named_by_game() {
    let of = |game: &'static str| csv(&rows(game, 3)).replace("game_id", "other");
    let folder = Folder::new()
        .with("2031 KH-SM positions.csv", of("X"))
        .with("2031 SM-KH positions.csv", of("Y"))
        .with("2031 SM-KH plays.csv", EVENTS)
        .with("schedule.csv", "game_id,season\nKH-SM,2031\nSM-KH,2031\n")
        .with("roster A.csv", "player_id,team_id,jersey\nKH1,KH,7\n")
        .with("notes.txt", "nothing")
        .with(
            "mapping.toml",
            "[files]\ntracking = \"2031 {game} positions.*\"\ngames = [\"schedule.*\"]\nplayers = \"roster*\"\n\
             events = \"2031 {game} plays.csv\"\n",
        );
    let (games, report) = folder.read().unwrap();
    let found: Vec<_> = games
        .iter()
        .map(|game| {
            let info = &game.raw.info;
            let events = game.raw.events.as_ref().map(Vec::len);
            (&*info.game_id, info.season.as_deref(), events)
        })
        .collect();
    assert_eq!(
        found,
        [("KH-SM", Some("2031"), None), ("SM-KH", Some("2031"), Some(1))]
    );
    assert_eq!(games[0].raw.players[0].jersey.as_deref(), Some("7"));
    assert_eq!(report.ignored_columns, ["other"]);
}

#[test]
fn a_pattern_never_takes_side_tables_for_tracking() {
    let folder = Folder::new()
        .with("a.csv", csv(&rows("A", 2)))
        .with("b.csv", csv(&rows("B", 2)))
        .with("games.csv", "game_id,season\nA,2031\n")
        .with("mapping.toml", "[files]\ntracking = \"*.csv\"\n");
    assert_eq!(ids(&folder), ["A", "B"]);
    // A pattern that fits nothing finds nothing, whatever else lies there.
    folder.write("mapping.toml", "[files]\ntracking = \"*.parquet\"\n");
    let found = find_sources(folder.path(), None).unwrap_err();
    assert!(matches!(found, IngestError::NoTracking { .. }), "{found}");
}

#[test]
fn without_names_and_patterns_the_content_shows_what_a_file_is() {
    let folder = Folder::new()
        .with("night/positions one.parquet", parquet(&rows("A", 2)))
        .with("night/positions two.jsonl", json_lines(&rows("B", 2)))
        .with(
            "night/plays.csv",
            format!("game_id,{}", EVENTS.replace("\n1,", "\nA,1,")),
        )
        .with("night/who.csv", "player_id,team_id,jersey\nKH1,KH,7\n")
        .with("night/when.csv", "game_id,date\nA,2031-01-02\n")
        .with("night/readme.txt", "nothing here")
        .with("night/.tracking.csv", "")
        .with("labels/positions.csv", csv(&rows("L", 2)));
    let sources = find_sources(folder.path(), None).unwrap().sources;
    assert_eq!(sources.len(), 1);
    let name = |path: &std::path::Path| path.file_name().unwrap().to_string_lossy().into_owned();
    let source = &sources[0];
    assert_eq!(
        source.tracking.iter().map(|path| name(path)).collect::<Vec<_>>(),
        ["positions one.parquet", "positions two.jsonl"]
    );
    assert_eq!(source.games.as_deref().map(name).as_deref(), Some("when.csv"));
    assert_eq!(source.players.as_deref().map(name).as_deref(), Some("who.csv"));
    assert_eq!(source.events.len(), 1);
    assert_eq!(name(&source.events[0].path), "plays.csv");
    let (games, _) = folder.read().unwrap();
    assert_eq!(games.len(), 2);
    assert_eq!(games[0].raw.events.as_ref().map(Vec::len), Some(1));
    // The mapping has its say: with other columns nothing here is tracking.
    folder.write("night/mapping.toml", "[place]\nx = \"east\"\n");
    assert!(find_sources(folder.path(), None).is_err());
}

/// Both teams' players have the same numbers.
fn numbered(rows: &[Row]) -> (Vec<Row>, String) {
    let mut wanted = rows.to_vec();
    let mut text = String::from("game_id,period,t_s,game_clock_s,shot_clock_s,team,number,x_m,y_m,z_m\n");
    for row in &mut wanted {
        let cells = crate::small_game::csv_row(row, ',');
        match &mut row.who {
            Some((team, id)) => {
                let number = id.trim_start_matches(char::is_alphabetic).to_owned();
                text.push_str(&cells.replace(&*id, &number));
                *id = format!("{team}-{number}");
            }
            None => text.push_str(&cells),
        }
        text.push('\n');
    }
    (wanted, text)
}

const COMPOSED: &str = "[team]\ncolumn = \"team\"\n[player]\ncolumn = \"{team}-{number}\"\n";

#[test]
fn ids_are_composed_where_both_teams_have_the_same_numbers() {
    let (wanted, text) = numbered(&rows("G1", 4));
    let clashing = Folder::new()
        .with("tracking.csv", &text)
        .with("mapping.toml", COMPOSED.replace("{team}-{number}", "number"));
    assert!(
        clashing
            .read()
            .map(|(games, _)| games[0].raw != expected(&wanted))
            .unwrap_or(true)
    );
    let folder = Folder::new()
        .with("tracking.csv", &text)
        .with("players.csv", "team_id,number,jersey\nKH,1,11\nSM,1,12\n")
        .with("mapping.toml", COMPOSED);
    let read = folder.game();
    assert_eq!(read.quarantine, vec![]);
    let mut expected = expected(&wanted);
    for (id, jersey) in [("KH-1", "11"), ("SM-1", "12")] {
        expected
            .players
            .iter_mut()
            .find(|player| &*player.id == id)
            .unwrap()
            .jersey = Some(jersey.into());
    }
    assert_eq!(read.raw, expected);
    // Games too, also where the light pass over the game column looks for their ends.
    let two = text.clone() + text.replace("G1,", "G2,").split_once('\n').unwrap().1;
    let mapping = format!("{COMPOSED}[game]\ncolumn = \"{{game_id}} of {{game_id}}\"\n");
    let folder = Folder::new()
        .with("tracking.csv", two)
        .with("mapping.toml", mapping);
    assert_eq!(ids(&folder), ["G1 of G1", "G2 of G2"]);
}

#[test]
fn ids_are_composed_in_json_and_wide_files_too() {
    let (wanted, text) = numbered(&rows("G1", 3));
    let mut lines = text.lines();
    let columns: Vec<&str> = lines.next().unwrap().split(',').collect();
    let mut json = String::new();
    for line in lines {
        let cells = columns
            .iter()
            .zip(line.split(','))
            .filter(|(_, cell)| !cell.is_empty());
        let value = |cell: &str| match cell.parse::<f64>() {
            Ok(number) => serde_json::Value::from(number),
            Err(_) => serde_json::Value::from(cell),
        };
        let row: serde_json::Map<_, _> = cells
            .map(|(column, cell)| ((*column).to_owned(), value(cell)))
            .collect();
        json.push_str(&format!("{}\n", serde_json::Value::Object(row)));
    }
    let nested = "form = \"nested\"\n[game]\ncolumn = \"/game_id\"\n[team]\ncolumn = \"/team\"\n[player]\n\
                  column = \"{/team}-{/number}\"\n[period]\ncolumn = \"/period\"\n";
    for mapping in [COMPOSED, nested] {
        let read = Folder::new()
            .with("tracking.jsonl", &json)
            .with("mapping.toml", mapping)
            .game();
        assert_eq!(read.quarantine, vec![], "{mapping}");
        assert_eq!(read.raw, expected(&wanted), "{mapping}");
    }
    let mut wide = String::from("game_id,period,t_s,game_clock_s,shot_clock_s,bx,by,bz");
    let instants: Vec<&[Row]> = wanted
        .chunk_by(|a, b| (a.period, a.frame) == (b.period, b.frame))
        .collect();
    for row in &instants[0][..10] {
        let (team, id) = row.who.as_ref().unwrap();
        let number = id.split_once('-').unwrap().1;
        wide.push_str(&format!(",{team}_{number}_x,{team}_{number}_y"));
    }
    for instant in instants {
        let (ball, players) = instant.split_last().unwrap();
        wide.push_str(&format!(
            "\n{},{},{},{},{},{},{},{}",
            ball.game,
            ball.period,
            ball.t_s(),
            ball.game_clock_s,
            ball.shot_clock_s,
            ball.x_m,
            ball.y_m,
            ball.z_m.unwrap()
        ));
        for row in players {
            wide.push_str(&format!(",{},{}", row.x_m, row.y_m));
        }
    }
    let mapping = "form = \"wide\"\n[[wide.players]]\nx = \"{team}_{player}_x\"\ny = \"{team}_{player}_y\"\n\
                   player_id = \"{team}-{player}\"\n[ball]\nx = \"bx\"\ny = \"by\"\nz = \"bz\"\n";
    let read = Folder::new()
        .with("tracking.csv", wide)
        .with("mapping.toml", mapping)
        .game();
    assert_eq!(read.raw, expected(&wanted));
}
