//! Pipelines: the TOML files that people run.

use std::path::{Path, PathBuf};

use scrim_actions::{
    CutParams, InstantParams, MotionParams, OffBallScreenParams, PullParams, ReadParams, ScreenParams,
    SpaceParams,
};
use scrim_floor::{Court, CourtError, Definitions, ParameterError, Parameters, parameters};
use scrim_flow::FlowParams;
use scrim_ingest::IngestParams;
use scrim_play::PlayParams;
use scrim_play::rows::TrackTableParams;
use scrim_season::SeasonParams;
use scrim_tables::RunInfo;
use scrim_tracks::TrackParams;
use serde::de::value::MapAccessDeserializer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};

use crate::gate::GateParams;
use crate::reports::ReportParams;

parameters! {
    /// What a run does: a name, the definitions, and a section of parameters a stage. Every key may be left out; its default then stands
    /// in. A key that no stage knows is refused.
    pub struct Pipeline {
        /// What the pipeline is called in every table's metadata; left out, the file's name without `.toml`.
        name: String = UNNAMED.into(), words "any text", source "the file's name";
        /// The court of every game, whatever `games` tables and mappings say; left out, each game has its own.
        court: Option<CourtOverride> = None, words "fiba, nba, ncaa, or a [court] table of all its measures in metres", source "each game's own";
        /// Where one word of the vocabulary ends and the next begins.
        definitions: Definitions;
        /// How sources are read, and what is refused.
        ingest: IngestParams;
        /// How tracks are cleaned and smoothed.
        tracks: TrackParams;
        /// What a game must have to be called good, usable or poor.
        gate: GateParams;
        /// Who has the ball, whose possession it is, who guards whom.
        play: PlayParams;
        /// How ball screens and handoffs are found.
        screens: ScreenParams;
        /// How coverages and options are read.
        reads: ReadParams;
        /// How off-ball screens are found.
        off_ball_screens: OffBallScreenParams;
        /// What counts as a cut.
        cuts: CutParams;
        /// How off-ball motion is measured and named.
        motion: MotionParams;
        /// How spacing and the control of the floor are measured.
        space: SpaceParams;
        /// The geometry of every instant of a ball screen.
        instants: InstantParams;
        /// Which instants count for pull of motion, and what moving and standing are there.
        pull: PullParams;
        /// How chains and entries are found.
        flow: FlowParams;
        /// How a season is put together from its games' tables.
        season: SeasonParams;
        /// What of the tracks is kept in the `tracks` table.
        track_table: TrackTableParams;
        /// Which reports are made at the end.
        report: ReportParams;
    }
}

/// A court by name (`court = "nba"`) or by all its measures (`[court]`, metres).
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum CourtOverride {
    /// A built-in court.
    Name(String),
    /// An own court.
    Measures(Court),
}

impl CourtOverride {
    /// The court.
    ///
    /// # Errors
    /// [`CourtError`] when no court has that name, or the measures do not add up.
    pub fn court(&self) -> Result<Court, CourtError> {
        match self {
            Self::Name(name) => Court::by_name(name),
            Self::Measures(court) => court.clone().checked(),
        }
    }
}

/// By hand, where deriving would be shorter: an untagged enum forgets line and key of what it refuses.
impl<'de> Deserialize<'de> for CourtOverride {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct NameOrMeasures;
        impl<'de> Visitor<'de> for NameOrMeasures {
            type Value = CourtOverride;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a court's name (fiba, nba, ncaa) or a table of all its measures in metres")
            }

            fn visit_str<E>(self, name: &str) -> Result<CourtOverride, E> {
                Ok(CourtOverride::Name(name.into()))
            }

            fn visit_map<A: MapAccess<'de>>(self, measures: A) -> Result<CourtOverride, A::Error> {
                Court::deserialize(MapAccessDeserializer::new(measures)).map(CourtOverride::Measures)
            }
        }
        deserializer.deserialize_any(NameOrMeasures)
    }
}

const UNNAMED: &str = "unnamed";

/// Why a pipeline cannot be run.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PipelineError {
    /// A parameter lies outside its bounds.
    #[error("{path}: {error}", path = path.display())]
    Parameter {
        /// The pipeline file.
        path: PathBuf,
        /// Which parameter.
        error: ParameterError,
    },
    /// The file could not be read.
    #[error("{path}: cannot be read; give the path of a pipeline file, for example pipelines/nightly.toml", path = path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The file is no pipeline. The source says line, column, what was found and which keys are known.
    #[error("{path}: not a pipeline; `scrim pipeline --explain` lists every key", path = path.display())]
    Content {
        /// The file.
        path: PathBuf,
        /// Why.
        source: toml::de::Error,
    },
    /// The court that every game is given cannot be used.
    #[error("{path}: key `court` cannot be used", path = path.display())]
    Court {
        /// The file.
        path: PathBuf,
        /// Why.
        source: CourtError,
    },
    /// Parameters that cannot be written as TOML.
    #[error("the parameters cannot be written as TOML")]
    Unwritable {
        /// Why.
        source: toml::ser::Error,
    },
}

impl Pipeline {
    /// Reads the pipeline at `path` and checks its parameters.
    ///
    /// # Errors
    /// [`PipelineError`] names the file, and the line and key where the content is at fault.
    pub fn read(path: &Path) -> Result<Self, PipelineError> {
        let text = std::fs::read_to_string(path).map_err(|source| PipelineError::Unreadable {
            path: path.into(),
            source,
        })?;
        Self::of_text(&text, path)
    }

    /// Reads the text of a pipeline file and checks its parameters. `path`: what the file is called.
    ///
    /// # Errors
    /// As [`Pipeline::read`].
    pub fn of_text(text: &str, path: &Path) -> Result<Self, PipelineError> {
        let mut pipeline: Self = toml::from_str(text).map_err(|source| PipelineError::Content {
            path: path.into(),
            source,
        })?;
        if pipeline.name == UNNAMED
            && let Some(stem) = path.file_stem()
        {
            pipeline.name = stem.to_string_lossy().into_owned();
        }
        pipeline.check_in("").map_err(|error| PipelineError::Parameter {
            path: path.into(),
            error,
        })?;
        if let Some(court) = &pipeline.court {
            court.court().map_err(|source| PipelineError::Court {
                path: path.into(),
                source,
            })?;
        }
        Ok(pipeline)
    }

    /// All parameters, defaults included, as TOML: what [`Pipeline::read`] would read as this same pipeline.
    ///
    /// # Errors
    /// [`PipelineError::Unwritable`]; no pipeline that was read causes that.
    pub fn to_toml(&self) -> Result<String, PipelineError> {
        toml::to_string(self).map_err(|source| PipelineError::Unwritable { source })
    }

    /// The pipeline as far as a game's own tables depend on it; the rest is at its defaults.
    fn of_a_game(&self) -> Self {
        let Self { mut gate, .. } = self.clone();
        gate.poor_in_seasons = GateParams::default().poor_in_seasons;
        Self {
            name: UNNAMED.into(),
            gate,
            season: SeasonParams::default(),
            report: ReportParams::default(),
            ..self.clone()
        }
    }

    /// What tables say of a run of this pipeline: footers its hash, `runs` all of it.
    ///
    /// # Errors
    /// As [`Pipeline::to_toml`].
    pub fn run_info(&self) -> Result<RunInfo, PipelineError> {
        Ok(RunInfo {
            pipeline: self.name.clone(),
            parameters_toml: self.to_toml()?,
            game_parameters_toml: self.of_a_game().to_toml()?,
            version: env!("CARGO_PKG_VERSION").into(),
        })
    }
}

#[cfg(test)]
mod tests;
