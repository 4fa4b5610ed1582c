//! `scrim clips`

use anyhow::Result;
use scrim_report::{PeriodOffset, clip_lists, read_games, set_video_offsets};
use scrim_tables::ledger::Snapshot;
use tracing::warn;

use crate::Exit;
use crate::cli::ClipsArgs;
use crate::command::{say, tables_in};
use crate::reports::write_whole;
use crate::translation::words_of;

/// Writes clip lists of a team's games and says where they are.
///
/// # Errors
/// When there is no such team in the tables, a table cannot be read, or a list cannot be written.
pub fn clips(args: &ClipsArgs) -> Result<Exit> {
    let words = words_of(args.words.as_deref())?;
    let mut games = read_games(
        &Snapshot::new(tables_in(&args.tables)?.as_ref()),
        &args.choice.choice(),
    )?;
    for note in &games.notes {
        warn!("{}", note.text(&words));
    }
    let offsets = set_video_offsets(&mut games, &args.sync)?;
    let lists = clip_lists(&games, &args.wanted(), &args.formats(), &words)?;
    for file in &lists.files {
        write_whole(&args.output.join(&file.name), file.text.as_bytes())?;
    }
    if lists.clips == 0 {
        warn!("no ball screen or handoff of these games is wanted: the lists are empty");
    }
    let mut text = format!(
        "clips             {}, of {} ball screens and {} handoffs in {} games, in {} files\n",
        lists.clips,
        lists.ball_screens,
        lists.clips - lists.ball_screens,
        games.games.len(),
        lists.files.len()
    );
    if lists.with_video_time < lists.clips {
        text.push_str(&format!(
            "no video time     {}: these times count from their period's first frame; give video_offset_s in games.csv\n",
            lists.clips - lists.with_video_time
        ));
    }
    for offset in &offsets {
        text.push_str(&in_words(offset));
    }
    text.push_str(&format!("clip lists        {}\n", args.output.display()));
    say(&text)?;
    Ok(Exit::AllDone)
}

/// An offset as `games.csv` has it, and what speaks for it.
fn in_words(offset: &PeriodOffset) -> String {
    let checked = match offset.apart_s {
        Some(apart_s) => format!("the marks agree within {apart_s:.1} s"),
        None => "from one mark: give a second one, late in the period, to check it".into(),
    };
    let replaced = offset.replaced_s.map_or_else(String::new, |before_s| {
        format!("; the tables say {before_s:.1}, which does not count here")
    });
    format!(
        "video             game {}, period {}: {checked}; video_offset_s in games.csv: {:.1}{replaced}\n",
        offset.game_id, offset.period, offset.video_offset_s
    )
}
