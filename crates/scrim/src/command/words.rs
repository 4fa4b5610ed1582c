//! `scrim words`

use anyhow::Result;
use scrim_season::words::{ENGLISH, Translation};

use crate::Exit;
use crate::cli::WordsArgs;
use crate::command::say;
use crate::translation::read_translation;

/// Prints the English words, or what a translation lacks.
///
/// # Errors
/// When the translation cannot be read or is not of the form.
pub fn words(args: &WordsArgs) -> Result<Exit> {
    let Some(path) = &args.check else {
        say(ENGLISH)?;
        return Ok(Exit::AllDone);
    };
    let Translation {
        words,
        missing,
        unknown,
    } = read_translation(path)?;
    let mut text = format!(
        "language          {}\nmissing           {} messages\nunknown           {} messages\n",
        words.language(),
        missing.len(),
        unknown.len()
    );
    for (what, keys) in [("missing", missing), ("unknown", unknown)] {
        for key in keys {
            text.push_str(&format!("{what}  {key}\n"));
        }
    }
    say(&text)?;
    Ok(Exit::AllDone)
}
