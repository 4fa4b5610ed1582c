//! Logs and progress, both on stderr.

use std::io::{self, IsTerminal, Write};
use std::sync::OnceLock;

use indicatif::{ProgressBar, ProgressStyle};
use tracing::Level;
use tracing_subscriber::fmt::MakeWriter;

use crate::terminal::shown_as_message;

/// How logs are written to stderr.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum LogFormat {
    /// One line per message, for people.
    Text,
    /// One JSON object per line, for machines; no progress bar.
    Json,
}

/// A progress bar whose length is not known yet; a silent one where no one would see it.
pub fn progress_bar(format: LogFormat) -> ProgressBar {
    if format == LogFormat::Json || !io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(0);
    let style = ProgressStyle::with_template("{bar:32} {pos}/{len}  {elapsed_precise}  {msg}");
    bar.with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()))
}

/// Sends logs to stderr, above `bar`.
pub fn start(format: LogFormat, level: Level, bar: &ProgressBar) {
    let builder = tracing_subscriber::fmt()
        .with_max_level(level)
        .with_target(false)
        .with_writer(AboveBar {
            bar: bar.clone(),
            format,
        })
        .log_internal_errors(false);
    // Err: logs go somewhere already, and stay there.
    let _ = match format {
        LogFormat::Text => tracing::subscriber::set_global_default(builder.without_time().finish()),
        LogFormat::Json => {
            tracing::subscriber::set_global_default(builder.json().flatten_event(true).finish())
        }
    };
}

/// What this process's run is called.
static RUN: OnceLock<String> = OnceLock::new();

/// From now on every JSON line says of which run it is.
pub(crate) fn name_run(id: &str) {
    // A process has one run; a second name would be a mistake, and the first stays.
    let _ = RUN.set(id.to_owned());
}

/// Writes to stderr without breaking the bar.
#[derive(Clone)]
struct AboveBar {
    bar: ProgressBar,
    format: LogFormat,
}

impl Write for AboveBar {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        // One call is one message. The run's id has only letters, digits and `-`.
        let mut text = shown_as_message(&String::from_utf8_lossy(bytes));
        if let (LogFormat::Json, Some(run), Some(rest)) = (self.format, RUN.get(), text.strip_prefix('{')) {
            text = format!("{{\"run\":\"{run}\",{rest}");
        }
        self.bar.suspend(|| io::stderr().write_all(text.as_bytes()))?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        io::stderr().flush()
    }
}

impl<'a> MakeWriter<'a> for AboveBar {
    type Writer = Self;

    fn make_writer(&'a self) -> Self {
        self.clone()
    }
}
