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
    Told {
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
    /// [`PipelineError::Told`]; no pipeline that was read causes that.
    pub fn to_toml(&self) -> Result<String, PipelineError> {
        toml::to_string(self).map_err(|source| PipelineError::Told { source })
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
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Pipeline, PipelineError> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mine.toml");
        std::fs::write(&path, text).unwrap();
        Pipeline::read(&path)
    }

    #[test]
    fn an_empty_file_is_the_defaults_under_the_files_name() {
        let expected = Pipeline {
            name: "mine".into(),
            ..Pipeline::default()
        };
        assert_eq!(read("").unwrap(), expected);
    }

    #[test]
    fn what_is_told_is_read_back_as_the_same_pipeline() {
        let mut pipeline = Pipeline {
            name: "other".into(),
            ..Pipeline::default()
        };
        pipeline.tracks.grid_hz = 30.0;
        pipeline.screens.min_confidence = 0.9;
        let message = pipeline.to_toml().unwrap();
        assert_eq!(read(&message).unwrap(), pipeline);
        // An f32 is printed as it was written, not as the f64 next to it (0.8999999761581421).
        assert!(message.contains("min_confidence = 0.9\n"), "{message}");
    }

    #[test]
    fn an_unknown_key_is_refused_with_its_line_and_the_known_keys() {
        let error = read("name = \"x\"\n[screens]\nleast_confidence = 1.0\n").unwrap_err();
        let message = crate::failure::with_causes(&error);
        for part in [
            "mine.toml",
            "line 3",
            "least_confidence",
            "min_confidence",
            "flip_within_s",
        ] {
            assert!(message.contains(part), "no `{part}` in: {message}");
        }
    }

    #[test]
    fn the_pipelines_that_people_run_say_what_the_defaults_are() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../pipelines");
        let mut read = 0;
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let pipeline = Pipeline::read(&path).unwrap();
            assert_eq!(
                Some(pipeline.name.as_str()),
                path.file_stem().and_then(|stem| stem.to_str())
            );
            // A line that begins with `#` and no space is a parameter at its default.
            let text = std::fs::read_to_string(&path).unwrap();
            let is_setting = |line: &str| line.starts_with('#') && !line.starts_with("# ") && line != "#";
            let lines = text
                .lines()
                .map(|line| if is_setting(line) { &line[1..] } else { line });
            let mut read_back: Pipeline = toml::from_str(&lines.collect::<Vec<_>>().join("\n")).unwrap();
            read_back.court = None;
            assert_eq!(read_back, pipeline);
            read += 1;
        }
        assert!(read > 0);
    }

    #[test]
    fn a_court_is_a_name_or_all_its_measures() {
        let named = read("court = \"nba\"\n").unwrap();
        assert_eq!(named.court, Some(CourtOverride::Name("nba".into())));
        let own = Pipeline {
            name: "mine".into(),
            court: Some(CourtOverride::Measures(Court {
                name: "hall".into(),
                ..Court::fiba()
            })),
            ..Pipeline::default()
        };
        assert_eq!(read(&own.to_toml().unwrap()).unwrap(), own);
    }

    #[test]
    fn a_court_that_cannot_be_is_refused_with_the_reason() {
        let refused = |text| crate::failure::with_causes(&read(text).unwrap_err());
        let message = refused("court = \"moon\"\n");
        assert!(message.contains("moon") && message.contains("fiba"), "{message}");
        let message = refused("[court]\nname = \"hall\"\nlenght_m = 28.0\n");
        assert!(
            message.contains("lenght_m") && message.contains("line 3"),
            "{message}"
        );
        let message = refused("court = 7\n");
        assert!(message.contains("a court's name"), "{message}");
    }

    #[test]
    fn a_value_out_of_bounds_is_refused_with_its_whole_key_itself_and_the_bounds() {
        for (text, message) in [
            (
                "[tracks]\ngrid_hz = 0.0",
                "`tracks.grid_hz` is 0; it must be from 1 to 120",
            ),
            (
                "[play]\nscatter_m = 0.0",
                "`play.scatter_m` is 0; it must be from 0.1 to 10",
            ),
            (
                "[pull]\nstep_s = -0.2",
                "`pull.step_s` is -0.2; it must be from 0.01 to 5",
            ),
            (
                "[ingest]\nmax_refused_share = -1.0",
                "`ingest.max_refused_share` is -1; it must be from 0 to 1",
            ),
            (
                "[reads]\nmin_confidence = nan",
                "`reads.min_confidence` is NaN; it must be from 0 to 1",
            ),
            (
                "[definitions]\ndrop_depth_m = 1e300",
                "`definitions.drop_depth_m` is inf; it must be from 0.1 to 6",
            ),
            (
                "[season.pull]\nresamples = 100001",
                "`season.pull.resamples` is 100001; it must be from 0 to 100000",
            ),
            (
                "[ingest]\ncourt = \"moon\"",
                "`ingest.court` is moon; it must be one of fiba, nba, ncaa",
            ),
        ] {
            let found = crate::failure::with_causes(&read(text).unwrap_err());
            assert!(
                found.contains("mine.toml") && found.contains(message),
                "no `{message}` in: {found}"
            );
        }
    }

    #[test]
    fn a_key_that_is_a_constant_now_is_refused_with_its_line_and_what_its_section_has() {
        for (text, parts) in [
            (
                "[play.control]\nreach_m = 1.2\n",
                ["line 1", "`control`", "`reach_m`"],
            ),
            (
                "[reads.coverage]\nmin_confidence = 0.3\n",
                ["line 1", "`coverage`", "`min_confidence`"],
            ),
            (
                "[tracks]\ngrid_hz = 25.0\nwindow_growth = 0.5\n",
                ["line 3", "`window_growth`", "`max_ball_gap_s`"],
            ),
            (
                "[dilemmas]\nmin_pull_m = 1.5\n",
                ["line 1", "`dilemmas`", "`definitions`"],
            ),
        ] {
            let message = crate::failure::with_causes(&read(text).unwrap_err());
            for part in parts.into_iter().chain(["mine.toml", "scrim pipeline --explain"]) {
                assert!(message.contains(part), "no `{part}` in: {message}");
            }
        }
    }

    #[test]
    fn no_number_of_a_pipeline_is_without_bounds() {
        fn numbers(section: &str, table: &toml::Table, keys: &mut Vec<String>) {
            for (name, value) in table {
                let key = scrim_floor::parameter::key_in(section, name);
                match value {
                    toml::Value::Table(inner) => numbers(&key, inner, keys),
                    toml::Value::Float(_) | toml::Value::Integer(_) => keys.push(key),
                    _ => {}
                }
            }
        }
        let mut list = Vec::new();
        Pipeline::list_in("", &mut list);
        let mut keys = Vec::new();
        numbers(
            "",
            &toml::Table::try_from(Pipeline::default()).unwrap(),
            &mut keys,
        );
        for key in keys {
            // What `scrim tune` and `scrim score` write is checked by sections of its own.
            let is_written =
                key.contains(".correction.") || key.contains("coverage_model") || key.contains(".tagging");
            let bounds = list
                .iter()
                .find(|parameter| parameter.key == key)
                .and_then(|of| of.bounds);
            let (least, most) = bounds.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
            assert!(
                is_written || least.is_finite() && most.is_finite() && least < most,
                "{key}"
            );
        }
    }
}
