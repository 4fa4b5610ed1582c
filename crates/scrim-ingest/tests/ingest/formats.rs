//! One game in every format and form is one and the same game.

use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use scrim_tracks::RawGame;

use crate::other_forms::{feet_csv, instants, manual, nested_document, nested_mapping, wide_csv};
use crate::small_game::{
    COLUMNS, Folder, Row, arrow_file, arrow_stream, csv, csv_row, expected, gzip, json_lines, json_rows,
    parquet, rows,
};

#[test]
fn every_format_and_packing_gives_the_same_game() {
    let rows = rows("G1", 6);
    let (csv, lines) = (csv(&rows), json_lines(&rows));
    let array = serde_json::Value::Array(json_rows(&rows)).to_string();
    let files: Vec<(&str, Vec<u8>)> = vec![
        ("tracking.csv", csv.clone().into()),
        ("tracking.csv.gz", gzip(csv.as_bytes())),
        ("tracking.csv.zst", zstd::encode_all(csv.as_bytes(), 1).unwrap()),
        // The bytes say what a file is, not its name.
        ("tracking.dat", gzip(csv.as_bytes())),
        ("tracking.jsonl", lines.clone().into()),
        ("tracking.json.gz", gzip(lines.as_bytes())),
        ("tracking.json", array.into()),
        ("tracking.parquet", parquet(&rows)),
        ("tracking.arrow", arrow_file(&rows)),
        ("tracking.arrows", arrow_stream(&rows)),
        (
            "tracking.arrows.zst",
            zstd::encode_all(&arrow_stream(&rows)[..], 1).unwrap(),
        ),
    ];
    for (name, bytes) in files {
        let read = Folder::new().with(name, bytes).game();
        assert_eq!(read.raw, expected(&rows), "{name}");
        assert_eq!(read.quarantine, vec![], "{name}");
    }
}

#[test]
fn text_with_a_mark_quotes_semicolons_and_two_byte_line_ends_is_the_same() {
    let rows = rows("G1", 4);
    let mut text = format!("\u{feff}\"{}\"\r\n", COLUMNS.replace(',', "\";\""));
    for row in &rows {
        text.push_str(&format!(
            "\"{}\"\r\n\r\n",
            csv_row(row, ';').replace(';', "\";\"")
        ));
    }
    assert_eq!(
        Folder::new().with("tracking.csv", &text).game().raw,
        expected(&rows)
    );
    let decimal = text.replace('.', ",");
    let folder = Folder::new()
        .with("tracking.csv", decimal)
        .with("mapping.toml", "[text]\ndecimal = \",\"\n");
    assert_eq!(folder.game().raw, expected(&rows));
    let tabs = text.replace("\";\"", "\"\t\"");
    assert_eq!(
        Folder::new().with("tracking.tsv", tabs).game().raw,
        expected(&rows)
    );
}

#[test]
fn a_file_without_a_header_is_read_with_the_mappings_columns() {
    let rows = rows("G1", 3);
    let text = csv(&rows).split_once('\n').unwrap().1.to_owned();
    let columns = COLUMNS.replace(',', "\", \"");
    let folder = Folder::new()
        .with("tracking.csv", text)
        .with("mapping.toml", format!("[text]\ncolumns = [\"{columns}\"]\n"));
    assert_eq!(folder.game().raw, expected(&rows));
}

/// The CSV in feet with a corner origin and frame numbers, and the manual's mapping for it.
#[test]
fn feet_from_a_corner_with_frame_numbers_give_the_canonical_game() {
    let rows = rows("G1", 6);
    let read = Folder::new()
        .with("tracking.csv", feet_csv(&rows))
        .with("mapping.toml", manual(3))
        .game();
    assert_eq!(read.quarantine, vec![]);
    assert_same_within(&read.raw, &expected(&rows), 1e-5);
}

fn assert_same_within(found: &RawGame, expected: &RawGame, most_m: f32) {
    assert_eq!((&found.info, &found.players), (&expected.info, &expected.players));
    assert_eq!(found.periods.len(), expected.periods.len());
    for (found, expected) in found.periods.iter().zip(&expected.periods) {
        assert_eq!((found.number, &found.clocks), (expected.number, &expected.clocks));
        assert_eq!(found.players.len(), expected.players.len());
        for (a, b) in found.players.iter().zip(&expected.players) {
            assert_eq!((a.who, &a.t_s), (b.who, &b.t_s));
            for (a, b) in a.x_m.iter().chain(&a.y_m).zip(b.x_m.iter().chain(&b.y_m)) {
                assert_abs_diff_eq!(*a, *b, epsilon = most_m);
            }
        }
        let (a, b) = (&found.ball, &expected.ball);
        assert_eq!(a.t_s, b.t_s);
        for (a, b) in a
            .x_m
            .iter()
            .chain(&a.y_m)
            .chain(&a.z_m)
            .zip(b.x_m.iter().chain(&b.y_m).chain(&b.z_m))
        {
            assert_abs_diff_eq!(*a, *b, epsilon = most_m);
        }
    }
}

#[test]
fn a_row_an_instant_gives_the_same_game() {
    let rows = rows("G1", 5);
    let read = Folder::new()
        .with("tracking.csv", wide_csv(&rows))
        .with("mapping.toml", manual(4))
        .game();
    assert_eq!(read.quarantine, vec![]);
    assert_eq!(read.raw, expected(&rows));
}

#[test]
fn slots_whose_players_change_give_the_same_game() {
    let rows = rows("G1", 4);
    let mut text = String::from("period,t_s,game_clock_s,shot_clock_s,bx,by,bz");
    for side in ["h", "a"] {
        for slot in 1..=5 {
            text.push_str(&format!(",{side}{slot}id,{side}{slot}x,{side}{slot}y"));
        }
    }
    text.push('\n');
    for (i, instant) in instants(&rows).into_iter().enumerate() {
        let (ball, players) = instant.split_last().unwrap();
        text.push_str(&format!(
            "{},{},{},{},{},{},{}",
            ball.period,
            ball.t_s(),
            ball.game_clock_s,
            ball.shot_clock_s,
            ball.x_m,
            ball.y_m,
            ball.z_m.unwrap()
        ));
        for team in players.chunks(5) {
            // The line-up turns by one slot an instant: who is in which slot says nothing.
            for slot in 0..5 {
                let row = &team[(slot + i) % 5];
                text.push_str(&format!(
                    ",{},{},{}",
                    row.who.as_ref().unwrap().1,
                    row.x_m,
                    row.y_m
                ));
            }
        }
        text.push('\n');
    }
    let group = |side: &str, team: &str| {
        format!(
            "[[wide.players]]\nx = \"{side}{{slot}}x\"\ny = \"{side}{{slot}}y\"\nplayer_in = \"{side}{{slot}}id\"\n\
             team_id = \"{team}\"\n"
        )
    };
    let mapping = format!(
        "form = \"wide\"\n[game]\nid = \"G1\"\n[ball]\nx = \"bx\"\ny = \"by\"\nz = \"bz\"\n{}{}",
        group("h", "KH"),
        group("a", "SM")
    );
    let read = Folder::new()
        .with("tracking.csv", text)
        .with("mapping.toml", mapping)
        .game();
    assert_eq!(read.quarantine, vec![]);
    assert_eq!(read.raw, expected(&rows));
}

#[test]
fn nested_json_is_walked_in_a_document_and_in_lines() {
    let rows = rows("G1", 4);
    let mut wanted = expected(&rows);
    for clock in wanted.periods.iter_mut().flat_map(|p| &mut p.clocks) {
        clock.shot_clock_s = f32::NAN;
    }
    let document = nested_document(&rows);
    for (name, text) in [
        ("tracking.json", serde_json::to_string_pretty(&document).unwrap()),
        ("tracking.jsonl", format!("{document}\n")),
    ] {
        let read = Folder::new()
            .with(name, text)
            .with("mapping.toml", nested_mapping())
            .game();
        assert_eq!(read.quarantine, vec![], "{name}");
        // A NaN is not equal to itself: compare the text.
        assert_eq!(format!("{:?}", read.raw), format!("{wanted:?}"), "{name}");
    }
}

#[test]
fn what_stands_outside_of_the_instants_may_stand_before_or_after_them_in_each_period() {
    let rows = rows("G1", 4);
    let frames: Vec<String> = rows
        .chunk_by(|a, b| a.period == b.period)
        .map(|period| {
            let frame = |instant: &&[Row]| {
                let (ball, players) = instant.split_last().unwrap();
                let player = |row: &Row| {
                    let (team, id) = row.who.as_ref().unwrap();
                    serde_json::json!({"extra": {"a": [1, "\\\"]"]}, "y": row.y_m, "team": team, "id": id, "x": row.x_m})
                };
                serde_json::json!({
                    "t": ball.t_s(), "gc": ball.game_clock_s, "sc": ball.shot_clock_s,
                    "players": players.iter().map(player).collect::<Vec<_>>(),
                    "ball": {"x": ball.x_m, "y": ball.y_m, "z": ball.z_m},
                })
            };
            serde_json::Value::from(instants(period).iter().map(frame).collect::<Vec<_>>()).to_string()
        })
        .collect();
    let [first, second] = frames.try_into().unwrap();
    let mapping = r##"
form = "nested"
[[nested.walk]]
name = "period"
at = "/data/periods"
[[nested.walk]]
name = "frame"
at = "/frames"
[[nested.players]]
at = "/players"
[nested]
ball_at = "/ball"
[game]
column = "document:/data/game/0"
[period]
column = "period:/number"
[time]
column = "frame:/t"
[game_clock]
column = "frame:/gc"
[shot_clock]
column = "frame:/sc"
[team]
column = "/team"
[place]
x = "/x"
y = "/y"
z = "/z"
[player]
column = "/id"
"##;
    for text in [
        format!(
            r#"{{"v": {{"frames": [1]}}, "data": {{"game": ["G1"], "periods": [{{"number": 1, "frames": {first}}}, {{"number": 2, "frames": {second}}}]}}}}"#
        ),
        format!(
            r#"{{"data": {{"periods": [{{"number": 1, "frames": {first}}}, {{"frames": {second}, "number": 2}}], "game": ["G1"]}}}}"#
        ),
        format!(
            r#"{{"data": {{"game": ["G1"], "periods": [{{"frames": [], "number": 9}}, {{"frames": {second}, "number": 2}}, {{"number": 1, "frames": {first}}}]}}}}"#
        ),
    ] {
        for (name, bytes) in [
            ("tracking.json", text.clone().into_bytes()),
            ("tracking.json.gz", gzip(text.as_bytes())),
            ("tracking.jsonl", text.clone().into_bytes()),
        ] {
            let read = Folder::new()
                .with(name, bytes)
                .with("mapping.toml", mapping)
                .game();
            assert_eq!(read.quarantine, vec![], "{name}");
            assert_eq!(read.raw, expected(&rows), "{name}");
        }
    }
}

#[test]
fn a_clock_that_counts_up_becomes_what_remains() {
    let rows = rows("G1", 4);
    let mut lines = csv(&rows);
    for row in &rows {
        let changed = format!(",{},{},", row.game_clock_s, row.shot_clock_s);
        let up = format!(",{},{},", 600.0 - row.game_clock_s, row.shot_clock_s);
        lines = lines.replace(&changed, &up);
    }
    let folder = Folder::new()
        .with("tracking.csv", lines)
        .with("mapping.toml", "[game_clock]\ncounts = \"up\"\nlength_s = 600\n");
    assert_eq!(folder.game().raw, expected(&rows));
}

#[test]
fn words_for_periods_and_teams_from_the_players_table_are_understood() {
    let rows = rows("G1", 3);
    let mut text = String::from("game_id,period,t_s,game_clock_s,shot_clock_s,player_id,x_m,y_m,z_m\n");
    let mut players = String::from("player_id,team_id\n");
    for row in &rows {
        let mut cells: Vec<String> = csv_row(row, ',').split(',').map(String::from).collect();
        cells[1] = format!("Q{}", row.period);
        let team = cells.remove(5);
        if let Some((_, player)) = &row.who
            && !players.contains(player)
        {
            players.push_str(&format!("{player},{team}\n"));
        }
        if cells[5].is_empty() {
            cells[5] = "ball".into();
        }
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    let folder = Folder::new().with("tracking.csv", text).with("players.csv", players).with(
        "mapping.toml",
        "[period]\nwords = { Q1 = 1, Q2 = 2 }\n[team]\nfrom = \"players_table\"\n[ball]\ncolumn = \"player_id\"\n\
         values = [\"ball\"]\n",
    );
    let read = folder.game();
    assert_eq!(read.quarantine, vec![]);
    assert_eq!(read.raw, expected(&rows));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_rows_does_not_matter(seed in prop::collection::vec(any::<u32>(), 176)) {
        let rows = rows("G1", 8);
        let mut shuffled: Vec<(u32, Row)> = seed.into_iter().zip(rows.iter().cloned()).collect();
        prop_assert_eq!(shuffled.len(), rows.len());
        shuffled.sort_by_key(|(key, _)| *key);
        let shuffled: Vec<Row> = shuffled.into_iter().map(|(_, row)| row).collect();
        let read = Folder::new().with("tracking.parquet", parquet(&shuffled)).game();
        prop_assert_eq!(read.raw, expected(&rows));
    }

    #[test]
    fn any_unit_origin_and_axes_give_the_canonical_game(
        unit in prop::sample::select(vec![("m", 1.0f64), ("cm", 0.01), ("ft", 0.3048), ("in", 0.0254)]),
        // The origin's place in half lengths and half widths.
        origin in prop::sample::select(vec![
            ("centre", 0.0, 0.0), ("bottom_left", -1.0, -1.0), ("bottom_right", 1.0, -1.0), ("top_left", -1.0, 1.0),
            ("top_right", 1.0, 1.0),
        ]),
        // Where the two coordinates grow to, as unit vectors of the court frame.
        axes in prop::sample::select(vec![
            (("right", 1.0, 0.0), ("up", 0.0, 1.0)), (("right", 1.0, 0.0), ("down", 0.0, -1.0)),
            (("left", -1.0, 0.0), ("up", 0.0, 1.0)), (("up", 0.0, 1.0), ("left", -1.0, 0.0)),
            (("down", 0.0, -1.0), ("right", 1.0, 0.0)),
        ]),
    ) {
        let canonical = rows("G1", 3);
        let mut changed = canonical.clone();
        let ((x_points, ax, ay), (y_points, bx, by)) = axes;
        for row in &mut changed {
            // From the origin, along each axis, in the unit.
            let (x_m, y_m) = (f64::from(row.x_m) - origin.1 * 14.0, f64::from(row.y_m) - origin.2 * 7.5);
            row.x_m = ((x_m * ax + y_m * ay) / unit.1) as f32;
            row.y_m = ((x_m * bx + y_m * by) / unit.1) as f32;
            row.z_m = row.z_m.map(|z_m| (f64::from(z_m) / unit.1) as f32);
        }
        let mapping = format!(
            "[place]\nunit = \"{}\"\norigin = \"{}\"\nx_points = \"{x_points}\"\ny_points = \"{y_points}\"\n",
            unit.0, origin.0
        );
        let folder = Folder::new().with("tracking.csv", csv(&changed)).with("mapping.toml", mapping);
        assert_same_within(&folder.game().raw, &expected(&canonical), 1e-4);
    }
}
