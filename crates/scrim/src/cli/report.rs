//! The command line of `scrim report` and `scrim clips`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use scrim_objects::Location;
use scrim_report::{Choice, ClipFormat, ClipSide, SyncMark, SyncPeriod, Wanted};
use scrim_tables::tags::{Coverage, Entry, HandlerAction, Outcome, RunResult, ScreenKind, ScreenerAction};

use super::{local, location};

/// Which games a report or a clip list is about.
#[derive(Debug, Args)]
pub struct ChoiceArgs {
    /// The team's id, as in the tables
    #[arg(long, value_name = "TEAM")]
    pub team: String,
    /// Only its games against this team
    #[arg(long, value_name = "TEAM")]
    pub against: Option<String>,
    /// Only its last N games, by day, then id
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub last: Option<u32>,
    /// Also games whose data the gate called poor
    #[arg(long)]
    pub poor_too: bool,
}

impl ChoiceArgs {
    /// The choice.
    pub fn choice(&self) -> Choice {
        Choice {
            team: self.team.clone(),
            against: self.against.clone(),
            reader: None,
            last: self.last,
            poor_too: self.poor_too,
        }
    }
}

/// Arguments of `scrim report`.
#[derive(Debug, Args)]
pub struct ReportArgs {
    /// The output folder of a run
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// Which games.
    #[command(flatten)]
    pub choice: ChoiceArgs,
    /// Your own team: what it plays is set beside what they play, and theirs beside yours; not on the players' sheet
    #[arg(long = "for", value_name = "TEAM")]
    pub reader: Option<String>,
    /// The report: one HTML file that needs no network
    #[arg(long, short, value_name = "FILE", value_parser = local())]
    pub output: PathBuf,
    /// What is made: the staff's report, or the players' sheet
    #[arg(long, value_enum, value_name = "SHEET", default_value = "staff")]
    pub sheet: Sheet,
    /// The words to say it with: a translation of what `scrim words` prints
    #[arg(long, value_name = "FILE", value_parser = local())]
    pub words: Option<PathBuf>,
    /// Also print it as a PDF; needs a Chromium. What is folded on the page is left out
    #[arg(long, value_name = "FILE", value_parser = local())]
    pub pdf: Option<PathBuf>,
    /// Also write each drawing as an SVG file into this folder
    #[arg(long, value_name = "DIR", value_parser = local())]
    pub drawings: Option<PathBuf>,
}

/// For whom a report is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sheet {
    /// All that is known of the team.
    Staff,
    /// One page: three rules, each with a picture.
    Players,
}

/// Arguments of `scrim clips`.
#[derive(Debug, Args)]
pub struct ClipsArgs {
    /// The output folder of a run
    #[arg(long, short, value_name = "PLACE", value_parser = location())]
    pub tables: Location,
    /// Which games.
    #[command(flatten)]
    pub choice: ChoiceArgs,
    /// Folder for the clip lists
    #[arg(long, short, value_name = "DIR", value_parser = local())]
    pub output: PathBuf,
    /// Whose ball screens: the team's own, those it defends, or both
    #[arg(long, value_enum, value_name = "WHOSE", default_value = "both")]
    pub side: ClipsSide,
    /// Which of them.
    #[command(flatten)]
    pub wanted: WantedArgs,
    /// Where the video is: at this time of it the scoreboard turns to this clock, as in G7:2=0:41:10@9:58. Saved in the tables; another
    /// one of the same period, now or later, checks the first
    #[arg(long, value_name = "GAME:PERIOD=VIDEO@CLOCK")]
    pub sync: Vec<SyncMark>,
    /// Takes back what was marked of a period before, as in G7:2
    #[arg(long, value_name = "GAME:PERIOD")]
    pub unsync: Vec<SyncPeriod>,
    /// The words to say it with: a translation of what `scrim words` prints
    #[arg(long, value_name = "FILE", value_parser = local())]
    pub words: Option<PathBuf>,
    /// The format; may be given more than once [default: all]
    #[arg(long = "format", value_enum, value_name = "FORM")]
    pub format: Vec<ClipsFormat>,
}

/// Arguments of `scrim words`.
#[derive(Debug, Args)]
pub struct WordsArgs {
    /// List what this translation lacks, instead
    #[arg(long, value_name = "FILE", value_parser = local())]
    pub check: Option<PathBuf>,
}

/// Which ball screens become clips. Choices of one kind widen, choices of different kinds narrow.
#[derive(Debug, Args)]
#[command(next_help_heading = "Which clips")]
pub struct WantedArgs {
    /// Those of this kind (`screens.screen_kind`), ball_screen or handoff; may be given more than once, as the other words
    #[arg(long, value_name = "WORD", value_parser = on_ball)]
    pub kind: Vec<ScreenKind>,
    /// Those that came out of this (`entries.entry`)
    #[arg(long, value_name = "WORD")]
    pub entry: Vec<Entry>,
    /// Those that were covered so (`coverages.coverage`)
    #[arg(long, value_name = "WORD")]
    pub coverage: Vec<Coverage>,
    /// Those whose screener did this (`options.screener_action`)
    #[arg(long, value_name = "WORD")]
    pub screener_action: Vec<ScreenerAction>,
    /// Those whose handler did this (`options.handler_action`)
    #[arg(long, value_name = "WORD")]
    pub handler_action: Vec<HandlerAction>,
    /// Those of which this became (`screens.outcome`)
    #[arg(long, value_name = "WORD")]
    pub outcome: Vec<Outcome>,
    /// Those of which the offence had the better, by points or an open shot (beat), or the defence (beaten)
    #[arg(long, value_name = "WORD")]
    pub result: Option<RunResult>,
    /// Those of one handler and one screener, each by id, or the team's own by number, as in 16:4
    #[arg(long, value_name = "HANDLER:SCREENER", value_parser = pair)]
    pub pair: Option<[String; 2]>,
    /// Those that show a finding of the report's first page, by its number
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub finding: Option<u32>,
    /// Only the surest N
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub top: Option<u32>,
}

/// A kind of screen on the ball: only these become clips.
fn on_ball(text: &str) -> Result<ScreenKind, String> {
    match text.parse() {
        Ok(kind @ (ScreenKind::BallScreen | ScreenKind::Handoff)) => Ok(kind),
        _ => Err("expected ball_screen or handoff".into()),
    }
}

/// Two players around a colon.
fn pair(text: &str) -> Result<[String; 2], String> {
    match text.split_once(':') {
        Some((handler, screener)) if !handler.is_empty() && !screener.is_empty() => {
            Ok([handler.into(), screener.into()])
        }
        _ => Err("expected HANDLER:SCREENER, as in 16:4".into()),
    }
}

impl ClipsArgs {
    /// Which ball screens are asked for.
    pub fn wanted(&self) -> Wanted {
        let args = &self.wanted;
        Wanted {
            side: self.side.into(),
            kinds: args.kind.clone(),
            entries: args.entry.clone(),
            coverages: args.coverage.clone(),
            screener_actions: args.screener_action.clone(),
            handler_actions: args.handler_action.clone(),
            outcomes: args.outcome.clone(),
            result: args.result,
            pair: args.pair.clone(),
            finding: args.finding,
            top: args.top,
        }
    }

    /// The forms asked for; all, when none is named.
    pub fn formats(&self) -> Vec<ClipFormat> {
        let named: &[ClipsFormat] = if self.format.is_empty() {
            ClipsFormat::value_variants()
        } else {
            &self.format
        };
        named
            .iter()
            .map(|format| match format {
                ClipsFormat::Csv => ClipFormat::Csv,
                ClipsFormat::Vtt => ClipFormat::Vtt,
                ClipsFormat::Otio => ClipFormat::Otio,
            })
            .collect()
    }
}

/// Whose ball screens become clips.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ClipsSide {
    /// The team's own.
    Offense,
    /// Those that it defends.
    Defense,
    /// Both.
    Both,
}

impl From<ClipsSide> for ClipSide {
    fn from(side: ClipsSide) -> Self {
        match side {
            ClipsSide::Offense => Self::Offense,
            ClipsSide::Defense => Self::Defense,
            ClipsSide::Both => Self::Both,
        }
    }
}

/// A form of clip list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ClipsFormat {
    /// One clips.csv for all games.
    Csv,
    /// WebVTT: chapters and tags, two files for each game.
    Vtt,
    /// OpenTimelineIO: a timeline for each game.
    Otio,
}
