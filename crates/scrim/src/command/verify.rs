//! `scrim verify`

use anyhow::{Result, bail};
use rayon::prelude::*;
use scrim_tables::Scope;
use scrim_tables::ledger::Part;
use scrim_tables::verify::{Verified, orphans, verify_others, verify_part};

use crate::Exit;
use crate::cli::VerifyArgs;
use crate::command::{say, tables_in};

/// Reads a folder of tables again and says what is not as it must be.
///
/// # Errors
/// When the folder cannot be read, or no run wrote to it.
pub fn verify(args: &VerifyArgs) -> Result<Exit> {
    let store = tables_in(&args.tables)?;
    let store = store.as_ref();
    let games = Part::find(store, Scope::Game)?;
    let seasons = Part::find(store, Scope::Season)?;
    if games.is_empty() && seasons.is_empty() {
        bail!(
            "{}: no manifest of a game here; give the folder that `scrim run` wrote to",
            args.tables
        );
    }
    let parts: Vec<&Part> = games.iter().chain(&seasons).collect();
    let read: Vec<Verified> = parts
        .par_iter()
        .map(|part| verify_part(store, part))
        .collect::<Result<_, _>>()?;
    let mut verified = verify_others(store)?;
    read.into_iter().for_each(|part| verified.add(part));
    let orphans = orphans(store)?;
    let mut text = format!(
        "games             {}\nseasons           {}\nfiles             {}\nrows              {}\nbytes             {}\nproblems          {}\n",
        games.len(),
        seasons.len(),
        verified.files,
        verified.rows,
        verified.bytes,
        verified.problems.len() + orphans.len(),
    );
    for problem in &verified.problems {
        text.push_str(&format!("  - {}: {}\n", problem.file, problem.what));
    }
    for orphan in &orphans {
        text.push_str(&format!(
            "  - {orphan}: no manifest names it; `scrim prune --orphans` removes it\n"
        ));
    }
    say(&text)?;
    Ok(if verified.problems.is_empty() && orphans.is_empty() {
        Exit::AllDone
    } else {
        Exit::SomeFailed
    })
}
