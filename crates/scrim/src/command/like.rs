//! `scrim like`

use anyhow::Result;
use scrim_likeness::{Asked, Found, Likes, find_like};
use scrim_report::{Alike, AlikePage, make_alike_page};
use scrim_season::words::Words;
use scrim_tables::ReadStore;
use scrim_tables::ledger::Snapshot;
use tracing::info;

use crate::Exit;
use crate::cli::{LikeArgs, LikeFormat};
use crate::command::{say, tables_in};
use crate::likeness::{LikeAnswer, WHAT_IT_IS, check_place, index_of, sentence};
use crate::reports::write_whole;
use crate::run::workers;

/// Finds the possessions most like one.
///
/// # Errors
/// When there is no such possession, a table or the index cannot be read, or something cannot be written.
pub fn like(args: &LikeArgs) -> Result<Exit> {
    check_place(&args.tables, args.index.as_ref())?;
    let tables = tables_in(&args.tables)?;
    let store = tables.as_ref();
    if args.index.is_none() {
        info!("all games are read; with --index FILE that is done once");
    }
    let (index, failed) = index_of(
        store,
        args.index.as_deref(),
        args.jobs.map_or_else(workers, usize::from),
    )?;
    let asked = Asked {
        game_id: &args.possession.game_id,
        period: Some(args.possession.period),
        possession_id: args.possession.possession_id,
        team: args.team.as_deref(),
        last: args.last,
        count: args.count as usize,
    };
    let likes = find_like(&index, &asked)?;
    let words = Words::english();
    let mut text = match args.format {
        LikeFormat::Text => list(&likes, &words),
        LikeFormat::Json => serde_json::to_string_pretty(&LikeAnswer::of(&likes))? + "\n",
    };
    if let Some(path) = &args.page {
        let page = page_of(&likes, &scope(args, &likes, &words), &words);
        let html = make_alike_page(&Snapshot::new(store as &dyn ReadStore), &page, &words)?;
        write_whole(path, html.as_bytes())?;
        match args.format {
            LikeFormat::Text => text.push_str(&format!("\npage      {}\n", path.display())),
            LikeFormat::Json => info!(path = %path.display(), "page written"),
        }
    }
    say(&text)?;
    Ok(if failed.is_empty() {
        Exit::AllDone
    } else {
        Exit::SomeFailed
    })
}

fn list(likes: &Likes<'_>, words: &Words) -> String {
    let mut text = format!("{}: {}\n\n", likes.asked.name(), sentence(&likes.asked, words));
    let names: Vec<String> = likes.alike.iter().map(Found::name).collect();
    let width = names.iter().map(|name| name.chars().count()).max().unwrap_or(0);
    for (place, (found, name)) in likes.alike.iter().zip(&names).enumerate() {
        let apart_m = found.apart_m;
        text.push_str(&format!(
            "{:>4}  {apart_m:5.2} m  {name:width$}  {}\n",
            place + 1,
            sentence(found, words)
        ));
    }
    text.push_str(&format!("\nsearched  {}\n", searched(likes, words)));
    text
}

fn searched(likes: &Likes<'_>, words: &Words) -> String {
    words.count("possessions", likes.searched) + " with a ball screen or handoff"
}

fn scope(args: &LikeArgs, likes: &Likes<'_>, words: &Words) -> String {
    let of_team = args
        .team
        .as_ref()
        .map_or_else(String::new, |team| format!(" of {team}"));
    let last = args
        .last
        .map_or_else(String::new, |last| format!(", last {last} games"));
    format!("Among {}{of_team}{last}", searched(likes, words))
}

fn page_of(likes: &Likes<'_>, scope: &str, words: &Words) -> AlikePage {
    let one = |found: &Found<'_>, title: String| Alike {
        partition: found.game.partition(),
        team_id: found.row.team_id.to_string(),
        screen_id: found.row.screen_id,
        title,
    };
    let title = |place: usize, found: &Found<'_>| {
        let apart_m = found.apart_m;
        format!(
            "{}. {apart_m:.2} m apart: {}: {}",
            place + 1,
            found.name(),
            sentence(found, words)
        )
    };
    AlikePage {
        heading: likes.asked.name(),
        scope: scope.into(),
        note: WHAT_IT_IS.into(),
        asked: one(&likes.asked, sentence(&likes.asked, words)),
        alike: likes
            .alike
            .iter()
            .enumerate()
            .map(|(place, found)| one(found, title(place, found)))
            .collect(),
    }
}
