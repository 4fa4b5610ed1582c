//! `scrim clips`

use std::collections::BTreeSet;

use anyhow::Result;
use scrim_report::{MarkedGame, PeriodOffset, clip_lists, read_games};
use scrim_tables::ledger::Snapshot;
use scrim_tables::with_causes;
use tracing::{error, warn};

use crate::Exit;
use crate::cli::ClipsArgs;
use crate::command::{say, tables_in};
use crate::reports::write_whole;
use crate::translation::words_of;
use crate::video::sync;

/// Writes clip lists of a team's games and says where they are. Saves what is marked of their videos.
///
/// # Errors
/// When there is no such team in the tables, a table cannot be read, a mark does not fit, or a list cannot be written.
pub fn clips(args: &ClipsArgs) -> Result<Exit> {
    let words = words_of(args.words.as_deref())?;
    let store = tables_in(&args.tables)?;
    let mut games = read_games(&Snapshot::new(store.as_ref()), &args.choice.choice())?;
    for note in &games.notes {
        warn!("{}", note.text(&words));
    }
    let synced = sync(&args.tables, store.as_ref(), &mut games, &args.sync, &args.unsync)?;
    // Said first: they are saved, whatever becomes of the lists.
    for (game, periods) in &synced.games {
        say(&marks_in_words(game, periods))?;
    }
    let wanted = args.wanted();
    let lists = clip_lists(&games, &wanted, &args.formats(), &words)?;
    for file in &lists.files {
        write_whole(&args.output.join(&file.name), file.text.as_bytes())?;
    }
    match &wanted.pair {
        Some([handler, screener]) if lists.other_way > 0 => warn!(
            "no clip has handler {handler} and screener {screener}: the lists are empty; handler {screener} and screener {handler} \
             have {}: write --pair {screener}:{handler}",
            lists.other_way
        ),
        _ if lists.clips == 0 => {
            warn!("no ball screen or handoff of these games is wanted: the lists are empty")
        }
        _ => {}
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
            "no video time     {}: these times count from their period's first frame; give video_offset_s in games.csv, or --sync\n",
            lists.clips - lists.with_video_time
        ));
    }
    text.push_str(&format!("clip lists        {}\n", args.output.display()));
    say(&text)?;
    match synced.unsaved {
        None => Ok(Exit::AllDone),
        Some(why) => {
            error!(
                "the marks are not saved, only these lists have them; give the same command again once the tables can be written, or \
                 put the offsets into the source's games.csv: {}",
                with_causes(why.as_ref())
            );
            Ok(Exit::SomeFailed)
        }
    }
}

/// What is known now of the periods that were marked, or whose marks were taken back.
fn marks_in_words(game: &MarkedGame, periods: &BTreeSet<u8>) -> String {
    let line = |period: &u8| {
        let what = match game.periods.get(period) {
            Some(offset) => offset_in_words(offset),
            None => "nothing is marked any more".into(),
        };
        format!(
            "video             game {}, period {period}: {what}\n",
            game.row.game_id
        )
    };
    periods.iter().map(line).collect()
}

/// What counts, and what speaks for it.
fn offset_in_words(offset: &PeriodOffset) -> String {
    let marked = match &offset.marked {
        Ok(marked) => marked,
        Err(error) => return with_causes(error),
    };
    let checked = match marked.apart_s {
        Some(apart_s) => format!("the marks agree within {apart_s:.1} s"),
        None => "from one mark: give a second one, late in the period, to check it".into(),
    };
    let counts = match (offset.given_s, offset.given_apart_s()) {
        (None, _) => format!("video_offset_s {:.1}", marked.video_offset_s),
        (Some(given_s), None) => format!("games.csv has it, and counts: video_offset_s {given_s:.1}"),
        (Some(given_s), Some(apart_s)) => format!(
            "games.csv says {given_s:.1}, {apart_s:.1} s from the marks' {:.1}, and counts: look which is right, and correct or empty it there",
            marked.video_offset_s
        ),
    };
    format!("{checked}; {counts}")
}
