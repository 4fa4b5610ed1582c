//! Pipelines: the TOML files that people run.

use std::path::{Path, PathBuf};

use scrim_actions::{
    CutParams, DilemmaParams, MotionParams, OffBallScreenParams, PullParams, ReadParams, ScreenParams,
    SpaceParams,
};
use scrim_floor::{Court, CourtError};
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

use crate::bounds_by_name::{self, OutsideBounds, find_number};
use crate::reports::ReportParams;

/// What a run does: a name, and a section of parameters a stage. Every key may be left out; its default then stands
/// in. A key that no stage knows is refused.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Pipeline {
    /// What the pipeline is called in the table `runs`. Default `unnamed`; [`Pipeline::read`] puts the file's
    /// name without `.toml` in its place.
    pub name: String,
    /// The court of every game, whatever `games` tables and mappings say. Default none: each game's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub court: Option<CourtOverride>,
    /// How sources are read, and what is refused.
    pub ingest: IngestParams,
    /// How tracks are cleaned and smoothed.
    pub tracks: TrackParams,
    /// Who has the ball, whose possession it is, who guards whom.
    pub play: PlayParams,
    /// How ball screens and handoffs are found.
    pub screens: ScreenParams,
    /// How coverages and options are read.
    pub reads: ReadParams,
    /// How off-ball screens are found.
    pub off_ball_screens: OffBallScreenParams,
    /// How cuts are found and named.
    pub cuts: CutParams,
    /// How off-ball motion is measured and named.
    pub motion: MotionParams,
    /// How spacing and the control of the floor are measured.
    pub space: SpaceParams,
    /// How the helper's dilemma is told.
    pub dilemmas: DilemmaParams,
    /// Which instants count for pull of motion, and what moving and standing are there.
    pub pull: PullParams,
    /// How alignments, chains, entries and their cost are found.
    pub flow: FlowParams,
    /// How a season is put together from its games' tables.
    pub season: SeasonParams,
    /// What of the tracks is kept in the `tracks` table.
    pub track_table: TrackTableParams,
    /// Which reports are made at the end.
    pub report: ReportParams,
}

impl Default for Pipeline {
    fn default() -> Self {
        Self {
            name: UNNAMED.into(),
            court: None,
            ingest: IngestParams::default(),
            tracks: TrackParams::default(),
            play: PlayParams::default(),
            screens: ScreenParams::default(),
            reads: ReadParams::default(),
            off_ball_screens: OffBallScreenParams::default(),
            cuts: CutParams::default(),
            motion: MotionParams::default(),
            space: SpaceParams::default(),
            dilemmas: DilemmaParams::default(),
            pull: PullParams::default(),
            flow: FlowParams::default(),
            season: SeasonParams::default(),
            track_table: TrackTableParams::default(),
            report: ReportParams::default(),
        }
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

/// The largest parameter that is taken, in any unit. A larger one is a slip, and an array sized by it would eat the
/// memory.
const MOST: f64 = 1e6;

const UNNAMED: &str = "unnamed";

/// Why a pipeline cannot be run.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PipelineError {
    /// A parameter is outside the bounds that its unit has.
    #[error("{}: {outside}", path.display())]
    Bounds {
        /// The pipeline file.
        path: PathBuf,
        /// Which parameter.
        outside: OutsideBounds,
    },
    /// The file could not be read.
    #[error("{path}: cannot be read; give the path of a pipeline file, for example pipelines/nightly.toml", path = path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The file is no pipeline. The source tells line, column, what was found and which keys are known.
    #[error("{path}: not a pipeline", path = path.display())]
    Content {
        /// The file.
        path: PathBuf,
        /// Why.
        source: toml::de::Error,
    },
    /// A parameter lies outside its bounds.
    #[error("{path}: section [tracks] cannot be used", path = path.display())]
    Tracks {
        /// The file.
        path: PathBuf,
        /// Which one.
        source: scrim_tracks::TrackError,
    },
    /// A parameter lies outside its bounds.
    #[error("{path}: section [play] cannot be used", path = path.display())]
    Play {
        /// The file.
        path: PathBuf,
        /// Which one.
        source: scrim_play::PlayError,
    },
    /// A correction of a screen model cannot be used.
    #[error("{path}: section [{section}] cannot be used", path = path.display())]
    Correction {
        /// The file.
        path: PathBuf,
        /// `screens` or `off_ball_screens`.
        section: &'static str,
        /// Which weight.
        source: scrim_actions::CorrectionError,
    },
    /// A parameter lies outside its bounds.
    #[error("{path}: section [reads] cannot be used", path = path.display())]
    Reads {
        /// The file.
        path: PathBuf,
        /// Which one.
        source: scrim_actions::ReadError,
    },
    /// A parameter lies outside its bounds.
    #[error("{path}: section [season] cannot be used", path = path.display())]
    Season {
        /// The file.
        path: PathBuf,
        /// Which one.
        source: Box<scrim_season::SeasonError>,
    },
    /// A parameter that no stage can have a meaning for.
    #[error("{path}: {key} = {found}; a parameter is a number, up to {MOST} either side of 0; its unit is in its name", path = path.display())]
    Number {
        /// The file.
        path: PathBuf,
        /// The key, with its sections.
        key: String,
        /// What it was.
        found: String,
    },
    /// The court that every game is given cannot be used.
    #[error("{path}: key `court` cannot be used", path = path.display())]
    Court {
        /// The file.
        path: PathBuf,
        /// Why.
        source: CourtError,
    },
    /// Parameters that cannot be told as TOML.
    #[error("the parameters cannot be written as TOML")]
    Told {
        /// Why.
        source: toml::ser::Error,
    },
}

/// Whether a parameter is not a number, or farther from 0 than [`MOST`]. Stages check their own bounds; this one is for all.
fn is_without_meaning(_key: &str, number: f64) -> bool {
    !(-MOST..=MOST).contains(&number)
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
        let parameters = toml::Table::try_from(&pipeline).map_err(|source| PipelineError::Told { source })?;
        if let Some((key, found)) = find_number("", &parameters, &is_without_meaning) {
            return Err(PipelineError::Number {
                path: path.into(),
                key,
                found: found.to_string(),
            });
        }
        if let Some(outside) = bounds_by_name::outside(&parameters) {
            return Err(PipelineError::Bounds {
                path: path.into(),
                outside,
            });
        }
        pipeline.tracks.check().map_err(|source| PipelineError::Tracks {
            path: path.into(),
            source,
        })?;
        pipeline.play.check().map_err(|source| PipelineError::Play {
            path: path.into(),
            source,
        })?;
        for (section, correction) in [
            ("screens", &pipeline.screens.correction),
            ("off_ball_screens", &pipeline.off_ball_screens.correction),
        ] {
            correction.check().map_err(|source| PipelineError::Correction {
                path: path.into(),
                section,
                source,
            })?;
        }
        pipeline.reads.check().map_err(|source| PipelineError::Reads {
            path: path.into(),
            source,
        })?;
        pipeline.season.check().map_err(|source| PipelineError::Season {
            path: path.into(),
            source: Box::new(source),
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

    /// What tables say of a run of this pipeline: footers its hash, `runs` all of it.
    ///
    /// # Errors
    /// As [`Pipeline::to_toml`].
    pub fn run_info(&self) -> Result<RunInfo, PipelineError> {
        Ok(RunInfo {
            pipeline: self.name.clone(),
            parameters_toml: self.to_toml()?,
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
        let told = pipeline.to_toml().unwrap();
        assert_eq!(read(&told).unwrap(), pipeline);
        // An f32 is told as it was written, not as the f64 next to it (0.8999999761581421).
        assert!(told.contains("min_confidence = 0.9\n"), "{told}");
    }

    #[test]
    fn an_unknown_key_is_refused_with_its_line_and_the_known_keys() {
        let error = read("name = \"x\"\n[screens]\nleast_confidence = 1.0\n").unwrap_err();
        let told = crate::failure::told(&error);
        for part in [
            "mine.toml",
            "line 3",
            "least_confidence",
            "min_confidence",
            "flip_within_s",
        ] {
            assert!(told.contains(part), "no `{part}` in: {told}");
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
            let mut told: Pipeline = toml::from_str(&lines.collect::<Vec<_>>().join("\n")).unwrap();
            told.court = None;
            assert_eq!(told, pipeline);
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
        let refused = |text| crate::failure::told(&read(text).unwrap_err());
        let told = refused("court = \"moon\"\n");
        assert!(told.contains("moon") && told.contains("fiba"), "{told}");
        let told = refused("[court]\nname = \"hall\"\nlenght_m = 28.0\n");
        assert!(told.contains("lenght_m") && told.contains("line 3"), "{told}");
        let told = refused("court = 7\n");
        assert!(told.contains("a court's name"), "{told}");
    }

    #[test]
    fn a_number_without_meaning_is_refused_by_its_whole_name() {
        assert_eq!(
            find_number(
                "",
                &toml::Table::try_from(Pipeline::default()).unwrap(),
                &is_without_meaning
            ),
            None
        );
        for number in ["nan", "-inf", "-2e6", "1e300"] {
            let told =
                crate::failure::told(&read(&format!("[play.control]\nreach_m = {number}\n")).unwrap_err());
            assert!(told.contains("play.control.reach_m"), "{told}");
        }
    }

    #[test]
    fn a_value_out_of_bounds_is_refused_by_name() {
        let told = crate::failure::told(&read("[tracks]\ngrid_hz = 0.0\n").unwrap_err());
        assert!(told.contains("grid_hz") && told.contains("[tracks]"), "{told}");
        let told = crate::failure::told(&read("[reads.coverage]\nmin_confidence = -1.0\n").unwrap_err());
        assert!(
            told.contains("coverage.min_confidence") && told.contains("[reads]"),
            "{told}"
        );
    }
}
