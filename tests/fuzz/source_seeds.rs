//! What the committed inputs are made from: the small game, in every form.

use std::sync::LazyLock;

use crate::other_forms;
use crate::packed::columnar_files;
use crate::small_game::{Row, csv, gzip, json_lines, json_rows, rows};

/// Two periods of two instants.
static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| rows("G1", 2));
/// The mapping of the nested document.
pub static NESTED: LazyLock<String> = LazyLock::new(other_forms::nested_mapping);
/// The nested document.
pub static NESTED_JSON: LazyLock<String> = LazyLock::new(|| other_forms::nested_document(&ROWS).to_string());
/// What the mappings of wide form are about.
pub static WIDE_CSV: LazyLock<String> = LazyLock::new(|| other_forms::wide_csv(&ROWS));
/// What the other mappings are about.
pub static FEET_CSV: LazyLock<String> = LazyLock::new(|| other_forms::feet_csv(&ROWS));
/// What the side tables stand beside.
pub static CANONICAL_CSV: LazyLock<String> = LazyLock::new(|| csv(&ROWS));

/// Stands after each side table in an input that holds all three: the record separator of ASCII.
pub const TABLE_END: u8 = 0x1e;

const SIDE_TABLES: &str = "game_id,season,date,home_team_id,away_team_id,court\n\
    G1,2031-32,2031-11-02,KH,SM,nba\nG2,2031-32,2031-11-04,SM,KH,fiba\n\x1e\
    player_id,team_id,jersey,name,role\nKH1,KH,4,\"A, B\",guard\nKH9,KH,12,,\nSM1,SM,7,C,\n\x1e\
    game_id,period,event,t_s,game_clock_s,team_id,player_id,points\n\
    G1,1,shot_made,0.04,,KH,KH1,2\nG1,2,foul,,599.75,SM,SM1,\nG1,2,jump,0,600,,,\n";

/// Smaller mappings, each of one part of the language.
const MAPPINGS: [&str; 5] = [
    "[game]\nid = \"G1\"\n[period]\nwords = { 1 = 2, Q2 = 1 }\ncolumn = \"quarter\"\n",
    "format = \"delimited\"\n[time]\ncolumn = \"clock\"\nunit = \"clock\"\ncounts_from = \"anywhere\"\n[player]\n\
     column = \"{team}-{player}\"\n[team]\ncolumn = \"team\"\n[game]\nfrom = \"folder_name\"\n",
    "[files]\ntracking = \"{game}.dat\"\nplayers = [\"a.csv\", \"b.csv\"]\n[text]\ndelimiter = \",\"\ndecimal = \".\"\n\
     columns = [\"game_id\", \"period\", \"t_s\", \"a\", \"b\", \"team_id\", \"player_id\", \"x_m\", \"y_m\", \"z_m\"]\n",
    "[court]\nname = \"hall\"\nlength_m = 26.0\nwidth_m = 14.0\nhoop_from_end_line_m = 1.575\n\
     three_point_radius_m = 6.75\ncorner_line_from_sideline_m = 0.9\nlane_length_m = 5.8\nlane_width_m = 4.9\n\
     no_charge_radius_m = 1.25\n[place]\nunit = \"ft\"\norigin = \"top_left\"\nx_points = \"down\"\ny_points = \"right\"\n",
    "[game_clock]\ncolumn = \"clock\"\ncounts = \"up\"\nlength_s = 600\nunit = \"s\"\n[ball]\ncolumn = \"player\"\n\
     values = [\"ball\"]\n[time]\ncolumn = \"frame\"\nunit = \"frame\"\nrate_hz = 25\n",
];

/// The inputs of every door, by its name and theirs. Of those called `whole` a game comes.
pub fn seeds() -> Vec<(&'static str, String, Vec<u8>)> {
    let mut seeds = Vec::new();
    let mut add = |door, name: &str, bytes: &[u8]| seeds.push((door, name.to_owned(), bytes.to_vec()));
    for (name, bytes) in columnar_files(&ROWS) {
        let door = if name.ends_with("parquet") {
            "parquet"
        } else {
            "arrow"
        };
        add(door, &format!("whole-{name}"), &bytes);
    }
    let text = CANONICAL_CSV.as_bytes();
    add("csv", "whole.csv", text);
    add("csv", "whole.csv.gz", &gzip(text));
    add("csv", "whole.csv.zst", &zstd::encode_all(text, 1).unwrap());
    let quoted = format!(
        "\u{feff}\"{}\"\r\n",
        CANONICAL_CSV
            .trim_end()
            .replace(',', "\";\"")
            .replace('\n', "\"\r\n\"")
    );
    add("csv", "whole-quoted.csv", quoted.as_bytes());
    let lines = json_lines(&ROWS);
    add("json_lines", "whole.jsonl", lines.as_bytes());
    add("json_lines", "whole.jsonl.gz", &gzip(lines.as_bytes()));
    add(
        "json",
        "whole.json",
        serde_json::Value::Array(json_rows(&ROWS)).to_string().as_bytes(),
    );
    add("nested_json", "whole.json", NESTED_JSON.as_bytes());
    add("nested_json", "whole.json.gz", &gzip(NESTED_JSON.as_bytes()));
    let document = other_forms::nested_document(&ROWS);
    add(
        "nested_json",
        "whole-lines.json",
        format!("{document}\n{document}\n").as_bytes(),
    );
    add("mapping", "whole-feet.toml", other_forms::manual(3).as_bytes());
    add("mapping", "whole-wide.toml", other_forms::manual(4).as_bytes());
    add("mapping", "slots.toml", other_forms::manual(5).as_bytes());
    add("mapping", "whole-nested.toml", NESTED.as_bytes());
    for (at, text) in MAPPINGS.into_iter().enumerate() {
        add("mapping", &format!("part-{at}.toml"), text.as_bytes());
    }
    add("side_tables", "whole.csv", SIDE_TABLES.as_bytes());
    seeds
}
