//! Several games in a file, a game in several files, and side tables.

use scrim_ingest::{IngestError, IngestParams, find_sources, read_source};
use scrim_tracks::{EventKind, PlayerIx, TeamSlot};

use crate::small_game::{Folder, Row, csv, expected, parquet, rows};

fn interleaved(a: &[Row], b: &[Row]) -> Vec<Row> {
    a.iter()
        .zip(b)
        .flat_map(|(a, b)| [a.clone(), b.clone()])
        .collect()
}

fn ids(games: &[scrim_ingest::ReadGame]) -> Vec<&str> {
    games.iter().map(|g| &*g.raw.info.game_id).collect()
}

#[test]
fn games_in_one_file_come_in_the_order_in_which_they_end() {
    let (a, b, c) = (rows("A", 3), rows("B", 4), rows("C", 5));
    let one_by_one = [a.clone(), b.clone(), c.clone()].concat();
    let (games, report) = Folder::new()
        .with("tracking.csv", csv(&one_by_one))
        .read()
        .unwrap();
    assert_eq!(ids(&games), ["A", "B", "C"]);
    assert_eq!((report.games, report.rows), (3, one_by_one.len() as u64));
    for (game, rows) in games.iter().zip([&a, &b, &c]) {
        assert_eq!(game.raw, expected(rows));
    }
    // A comes back after B, and C lies inside.
    let back = [&a[..20], &b[..], &c[..], &a[20..]].concat();
    let (games, _) = Folder::new()
        .with("tracking.parquet", parquet(&back))
        .read()
        .unwrap();
    assert_eq!(ids(&games), ["B", "C", "A"]);
    assert_eq!(games[2].raw, expected(&a));
    let mixed = interleaved(&rows("A", 3), &rows("B", 3));
    let (games, _) = Folder::new().with("tracking.csv", csv(&mixed)).read().unwrap();
    assert_eq!(ids(&games), ["A", "B"]);
    assert_eq!(games[0].raw, expected(&rows("A", 3)));
}

#[test]
fn a_game_is_over_before_the_next_one_is_read() {
    // The sink stops at the first game: had the reader held it to the end, the broken last line would be reported first.
    let text = format!("{}nonsense", csv(&[rows("A", 3), rows("B", 3)].concat()));
    let folder = Folder::new().with("tracking.csv", text);
    let source = &find_sources(folder.path(), None).unwrap().sources[0];
    let mut seen = Vec::new();
    let stopped = read_source::<IngestError>(source, &IngestParams::default(), &mut |game| {
        seen.push(game.raw.info.game_id.to_string());
        Err(IngestError::NoTracking { path: "stop".into() })
    });
    assert!(matches!(stopped, Err(IngestError::NoTracking { .. })));
    assert_eq!(seen, ["A"]);
}

#[test]
fn a_game_in_several_files_is_one_game() {
    let (a, b) = (rows("A", 4), rows("B", 3));
    let folder = Folder::new()
        .with("tracking.1.csv", csv(&a[..30]))
        .with("tracking.2.parquet", parquet(&b))
        .with("tracking.3.csv", csv(&a[30..]));
    let (games, _) = folder.read().unwrap();
    assert_eq!(ids(&games), ["B", "A"]);
    assert_eq!(games[0].raw, expected(&b));
    assert_eq!(games[1].raw, expected(&a));
}

#[test]
fn a_broken_file_takes_its_own_games_only() {
    let (a, b) = (rows("A", 4), rows("B", 3));
    let whole = crate::small_game::gzip(csv(&a).as_bytes());
    let folder = Folder::new()
        .with("tracking.1.csv.gz", &whole[..whole.len() - 12])
        .with("tracking.2.csv", csv(&b));
    let (games, report) = folder.read().unwrap();
    assert_eq!(ids(&games), ["B"]);
    assert_eq!(report.failed_files.len(), 1);
    assert!(
        matches!(report.failed_files[0].error, IngestError::CutShort { .. }),
        "{report:?}"
    );
}

#[test]
fn the_files_name_can_name_the_game() {
    let of = |game: &'static str| csv(&rows(game, 3)).replace("game_id", "other");
    let folder = Folder::new()
        .with("tracking-A.p1.csv", of("X"))
        .with("tracking-B.p1.csv", of("Y"))
        .with("mapping.toml", "[game]\nfrom = \"file_name\"\n");
    let (games, report) = folder.read().unwrap();
    assert_eq!(ids(&games), ["A", "B"]);
    assert_eq!(report.ignored_columns, ["other"]);
}

#[test]
fn a_folder_of_folders_is_a_source_each_and_labels_are_never_read() {
    let folder = Folder::new()
        .with("b/tracking.csv", csv(&rows("B", 2)))
        .with("a/tracking.parquet", parquet(&rows("A", 2)))
        .with("a/labels/tracking.csv", "")
        .with("labels/tracking.csv", "")
        .with("notes.txt", "nothing");
    let sources = find_sources(folder.path(), None).unwrap().sources;
    assert_eq!(
        sources.iter().map(|s| s.name.as_str()).collect::<Vec<_>>(),
        ["a", "b"]
    );
    let one = find_sources(&folder.path().join("b/tracking.csv"), None)
        .unwrap()
        .sources;
    assert_eq!(one.len(), 1);
    let empty = Folder::new().with("labels/tracking.csv", "");
    assert!(matches!(
        find_sources(empty.path(), None),
        Err(IngestError::NoTracking { .. })
    ));
}

#[test]
fn side_tables_give_home_court_names_and_events() {
    let folder = Folder::new()
        .with("tracking.csv", csv(&rows("G1", 30)))
        .with(
            "games.csv",
            "game_id,date,season,home_team_id,away_team_id,court\nG1,2031-06-18,S1,SM,KH,nba\nG2,,,X,Y,\n",
        )
        .with(
            "players.csv",
            "player_id,team_id,jersey,name,role\nSM1,SM,4,Saltmarsh 04,guard\nSM7,SM,9,,\nZZ,Q,1,,\n",
        )
        .with(
            "events.csv",
            "game_id,period,t_s,game_clock_s,event,team_id,player_id,points\nG1,1,0.8,,shot_made,SM,SM1,2\n\
             G1,1,0.4,,hook,KH,KH1,\nG2,1,0.1,,foul,,,\nG1,2,,599.0,foul,KH,nobody,\nG1,x,0.1,,foul,KH,,\n\
             G1,1,,,foul,KH,,\nG1,1,0.2,,foul,ZZ,,\n",
        );
    let (games, report) = folder.read().unwrap();
    let raw = &games[0].raw;
    assert_eq!(raw.info.team_ids, ["SM".into(), "KH".into()]);
    assert!(raw.info.home_is_known);
    assert_eq!(
        (raw.info.season.as_deref(), raw.info.date.as_deref()),
        (Some("S1"), Some("2031-06-18"))
    );
    assert_eq!(raw.info.court.name, "nba");
    // Everyone with a sample, and SM7 whom the table names; sorted by team, then id.
    let players: Vec<&str> = raw.players.iter().map(|p| &*p.id).collect();
    assert_eq!(
        players,
        [
            "SM1", "SM2", "SM3", "SM4", "SM5", "SM7", "KH1", "KH2", "KH3", "KH4", "KH5"
        ]
    );
    assert_eq!(raw.players[0].name.as_deref(), Some("Saltmarsh 04"));
    assert_eq!(raw.players[0].role.as_deref(), Some("guard"));
    let events = raw.events.as_ref().unwrap();
    assert_eq!(events.len(), 3);
    assert_eq!(events[0].kind, EventKind::Other("hook".into()));
    assert_eq!(
        (events[0].team, events[0].player),
        (Some(TeamSlot::Second), Some(PlayerIx(6)))
    );
    assert_eq!(
        (events[1].kind.clone(), events[1].points),
        (EventKind::ShotMade, Some(2))
    );
    assert_eq!(
        (events[2].t_s, events[2].game_clock_s, events[2].player),
        (None, Some(599.0), None)
    );
    assert_eq!(report.unknown_event_words.get("hook"), Some(&1));
    assert!(
        report.notes.iter().any(|n| n.contains("1 events name a player")),
        "{:?}",
        report.notes
    );
    // The unknown team is refused with its game; the unreadable rows with the source.
    let found: Vec<(u64, &str)> = games[0]
        .quarantine
        .iter()
        .map(|q| (q.row, q.detail.as_str()))
        .collect();
    assert_eq!(
        found,
        [(
            8,
            "column `team_id`: found `ZZ`, expected one of [\"SM\", \"KH\"]"
        )]
    );
    let found: Vec<(u64, &str)> = report
        .quarantine
        .iter()
        .map(|q| (q.row, q.detail.as_str()))
        .collect();
    assert_eq!(
        found,
        [
            (6, "column `period`: found `x`, expected a whole number from 1"),
            (
                7,
                "columns `t_s` and `game_clock_s` are empty; expected at least one of them"
            ),
        ]
    );
    assert_eq!(report.quarantine[0].raw, "G1,x,0.1,,foul,KH,,");
}

#[test]
fn times_from_anywhere_are_moved_to_the_periods_first_instant_and_events_with_them() {
    let text = csv(&rows("G1", 30));
    let mut moved = String::new();
    for line in text.lines() {
        let mut cells: Vec<String> = line.split(',').map(String::from).collect();
        if let Ok(t_s) = cells[2].parse::<f64>() {
            // Whole thousands of milliseconds, so that the sum is exact.
            cells[2] = (1_000_000 + (t_s * 1000.0).round() as i64).to_string();
        }
        moved.push_str(&cells.join(","));
        moved.push('\n');
    }
    let folder = Folder::new()
        .with("tracking.csv", moved)
        .with(
            "mapping.toml",
            "[time]\nunit = \"ms\"\ncounts_from = \"anywhere\"\n",
        )
        .with("events.csv", "period,t_s,event\n1,1000.5,foul\n");
    let game = folder.game();
    assert_eq!(game.raw.periods, expected(&rows("G1", 30)).periods);
    assert_eq!(game.raw.events.unwrap()[0].t_s, Some(0.5));
}

#[test]
fn of_a_file_that_is_cut_the_games_before_the_cut_are_read() {
    // Enough rows of B that the cut lies in it, behind some thousand rows that can be read.
    let (a, b) = (rows("A", 4), rows("B", 500));
    let whole = crate::small_game::gzip(csv(&[a.clone(), b].concat()).as_bytes());
    let folder = Folder::new().with("tracking.csv.gz", &whole[..whole.len() - 40]);
    let (games, report) = folder.read().unwrap();
    assert_eq!(ids(&games), ["A"]);
    assert_eq!(games[0].raw, expected(&a));
    assert_eq!(report.refused.len(), 1);
    let found = report.refused[0].error.to_string();
    assert!(
        found.starts_with("game `B`: ")
            && found.ends_with("could not be read to its end, so the game is not whole"),
        "{found}"
    );
}

#[test]
fn a_column_taken_for_players_by_mistake_is_expected() {
    let mut text = String::from(crate::small_game::COLUMNS);
    for i in 0..1500 {
        text.push_str(&format!("\nG1,1,{i},,,KH,{i},1,1,\nG1,1,{i},,,SM,a{i},1,1,"));
    }
    let (games, report) = Folder::new().with("tracking.csv", text).read().unwrap();
    assert_eq!(games.len(), 0);
    let found = report.refused[0].error.to_string();
    assert_eq!(
        found,
        "game `G1`: 1000 players; a game has at most 200: check [player] and what marks the ball"
    );
    // A thousand of the two thousand refused rows one by one, and the others in a row.
    assert_eq!(report.refused[0].quarantine.len(), 1001);
    assert!(
        report.refused[0].quarantine[1000]
            .detail
            .starts_with("1000 more rows")
    );
}
