//! `scrim pipeline`

use anyhow::Result;

use crate::cli::PipelineArgs;
use crate::command::say;
use crate::{Exit, Pipeline};

/// Checks a pipeline and prints it whole.
///
/// # Errors
/// When the file is no pipeline.
pub fn pipeline(args: &PipelineArgs) -> Result<Exit> {
    let pipeline = match &args.pipeline {
        Some(path) => Pipeline::read(path)?,
        None => Pipeline::default(),
    };
    say(&pipeline.to_toml()?)?;
    Ok(Exit::AllDone)
}
