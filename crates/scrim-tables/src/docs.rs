//! The tables in words: `docs/tables.md`, and what `scrim columns` prints.

use std::fmt::Write;

use crate::rows::tables;
use crate::{ColumnInfo, Kind, Scope, Table};

const HEAD: &str = "\
# Tables

Made from the declarations in `crates/scrim-tables/src/rows/`; `scrim columns [TABLE]` prints the same, and each Parquet column has
unit, meaning and meaning of null as field metadata (`unit`, `meaning`, `null`).

One folder a table, one file a game, `TABLE/SEASON~GAME.parquet`; a season's table has one file a season, `TABLE/SEASON.parquet`.
Season and game id are percent-encoded (RFC 3986) in names, and columns of the files: read the folder as it is, with no options.

    pandas.read_parquet(\"tables/screens\")
    pyarrow.parquet.read_table(\"tables/screens\")
    polars.read_parquet(\"tables/screens\")
    duckdb.sql(\"select * from 'tables/screens/*.parquet'\")
    spark.read.parquet(\"tables/screens\")

Lengths metres, times seconds, speeds m/s, angles degrees. `t_*_s` counts from the first frame of its period on the real clock, which
runs on while the game clock stands. Coordinates count from the floor under the hoop that is attacked, +x toward half court, +y to
the right of a player who faces the hoop. Null is \"not known\", never zero. Ids of possessions, touches, screens and cuts are numbers
within their game, in time order from 0, the same for the same input and parameters. Words of a `tag` column are listed with it.
";

/// The page `docs/tables.md`.
pub fn page() -> String {
    let mut page = HEAD.to_owned();
    for (scope, heading) in [
        (Scope::Game, "Tables of a game"),
        (Scope::Season, "Tables of a season"),
        (Scope::Run, "Tables of a run"),
    ] {
        // Writing to a String cannot fail.
        let _ = write!(page, "\n## {heading}\n");
        for table in tables().filter(|table| table.scope == scope) {
            section(&mut page, table);
        }
    }
    page
}

fn section(page: &mut String, table: &Table) {
    let _ = write!(page, "\n### {}\n\n", table.name);
    for line in table.doc {
        let _ = writeln!(page, "{}", line.strip_prefix(' ').unwrap_or(line));
    }
    page.push_str("\n| column | type | unit | meaning | null |\n|---|---|---|---|---|\n");
    for column in table.file_columns() {
        let cells = cells(column).map(|cell| cell.replace('|', "\\|"));
        let [name, kind, unit, meaning, null] = cells;
        let _ = writeln!(page, "| `{name}` | {kind} | {unit} | {meaning} | {null} |");
    }
}

/// Name, type, unit, meaning, meaning of null.
pub fn cells(column: &ColumnInfo) -> [String; 5] {
    let mut meaning = column.meaning();
    if let Kind::Tag(words) = column.kind {
        let _ = write!(meaning, " Words: {}.", words.join(", "));
    }
    [
        column.name.into(),
        column.kind.name() + if column.nullable { "?" } else { "" },
        column.unit().unwrap_or_default().into(),
        meaning,
        column.null_meaning().unwrap_or_default(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_in_docs_is_made_from_the_declarations() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/tables.md");
        if std::env::var_os("SCRIM_WRITE_GOLDEN").is_some() {
            std::fs::write(path, page()).unwrap();
        }
        let found = std::fs::read_to_string(path).unwrap();
        assert!(
            found == page(),
            "docs/tables.md is not what the declarations say: SCRIM_WRITE_GOLDEN=1 writes it anew"
        );
    }
}
