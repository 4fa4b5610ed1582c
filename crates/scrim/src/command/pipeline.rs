//! `scrim pipeline`

use anyhow::Result;

use crate::cli::PipelineArgs;
use crate::command::say;
use crate::{Exit, Pipeline, explain};

/// Checks a pipeline and prints it whole, or says what its parameters are.
///
/// # Errors
/// When the file is no pipeline.
pub fn pipeline(args: &PipelineArgs) -> Result<Exit> {
    let pipeline = match &args.pipeline {
        Some(path) => Pipeline::read(path)?,
        None => Pipeline::default(),
    };
    say(&if args.explain {
        explain(&pipeline)?
    } else {
        pipeline.to_toml()?
    })?;
    Ok(Exit::AllDone)
}
