//! `scrim review`

use anyhow::{Result, anyhow, bail};
use scrim_review::{Door, Games, Nothing, ReviewError, Sitting, SittingPlan, agreement, read_journal};
use scrim_tables::ledger::Snapshot;
use tracing::warn;

use crate::Exit;
use crate::cli::ReviewArgs;
use crate::command::{say, tables_in};

/// Serves the page that asks, until the process ends; or prints how far two labellers agree.
///
/// # Errors
/// When the tables or a journal cannot be read, somebody else writes it, there is nothing to ask, or the port is taken.
pub fn review(args: &ReviewArgs) -> Result<Exit> {
    if let Some([first, second]) = args.agreement.as_deref() {
        return print_agreement(args, first, second);
    }
    // The command line asks for both where there is no --agreement.
    let (Some(tables), Some(labeller)) = (&args.tables, &args.labeller) else {
        bail!("give --tables and --labeller, or --agreement");
    };
    let plan = SittingPlan {
        labels: args.labels.clone(),
        labeller: labeller.clone(),
        games: Games {
            ids: args.game.clone(),
            season: args.season.clone(),
        },
        top: args.top as usize,
        chance_only: args.chance_only,
        second_of: args.second_of.clone(),
    };
    let sitting =
        Sitting::open(&Snapshot::new(tables_in(tables)?.as_ref()), &plan).map_err(|error| match error {
            ReviewError::NoTables => anyhow!("{tables}: {error}"),
            other => other.into(),
        })?;
    for note in sitting.notes() {
        warn!("{note}");
    }
    match sitting.nothing() {
        None => {}
        Some(Nothing::AllAnswered) => {
            say("Nothing is open: every clip that was asked for and can be shown is answered.\n")?;
            return Ok(Exit::AllDone);
        }
        Some(Nothing::NoneFound) => bail!("{}", none_found(args)),
        Some(Nothing::NoneShown) => bail!(
            "no clip can be shown: `tracks` has the use of none; run the games again with `tracks` among their tables"
        ),
    }
    let state = sitting.state();
    let door = Door::open(args.port)?;
    say(&format!(
        "clips             {}\nanswers           {}\npage              {}\n\n\
         Open the page in a browser of this machine; whoever has its address can answer. Each answer is on disk at its key: end with Ctrl-C.\n",
        state.total,
        sitting.folder().display(),
        door.address()
    ))?;
    door.serve(sitting);
    Ok(Exit::AllDone)
}

/// Why the tables have no clip for a sitting.
fn none_found(args: &ReviewArgs) -> String {
    let chance = if args.chance_only { " by chance" } else { "" };
    match &args.second_of {
        Some(first) => format!(
            "{first} has ended no clip{chance} of these games: there is nothing for a second to answer"
        ),
        None => format!("found no ball screen or handoff{chance} in these games: there is nothing to answer"),
    }
}

fn print_agreement(args: &ReviewArgs, first: &str, second: &str) -> Result<Exit> {
    if first == second {
        return Err(ReviewError::SameLabeller {
            labeller: first.into(),
        }
        .into());
    }
    let lines = [
        read_journal(&args.labels, first)?,
        read_journal(&args.labels, second)?,
    ];
    let both = agreement([first, second], [&lines[0], &lines[1]]);
    if both.clips == 0 {
        bail!(
            "{first} and {second} have answered no clip in common: `scrim review --tables PLACE --labels {} --labeller {second} --second-of {first}` \
             asks the second for the first's clips",
            args.labels.display()
        );
    }
    say(&both.to_string())?;
    Ok(Exit::AllDone)
}
