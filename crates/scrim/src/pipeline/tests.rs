//! Pipelines are read, checked and written back.

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
fn what_is_written_is_read_back_as_the_same_pipeline() {
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
    let message = scrim_tables::with_causes(&error);
    for part in [
        "mine.toml",
        "line 3",
        "least_confidence",
        "min_confidence",
        "min_handoff_confidence",
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
    let refused = |text| scrim_tables::with_causes(&read(text).unwrap_err());
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
            "[instants]\nreaction_s = -0.2",
            "`instants.reaction_s` is -0.2; it must be from 0 to 2",
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
        (
            "[gate]\nusable_share = [0.1, 0.6, 0.9]",
            "`gate.usable_share` is [0.1, 0.6, 0.9]; it must be 3 numbers from 0 to 1, none above the one before",
        ),
        (
            "[gate]\nusable_share = [0.9, 0.6, 0.1, 0.1]",
            "a list of 4 numbers; it must have 3",
        ),
        (
            "[gate]\nclock_off_share = [0.02, 0.05, 1.5]",
            "`gate.clock_off_share` is [0.02, 0.05, 1.5]; it must be 3 numbers from 0 to 1, none below the one before",
        ),
    ] {
        let found = scrim_tables::with_causes(&read(text).unwrap_err());
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
            ["line 1", "`control`", "`scatter_m`"],
        ),
        (
            "[reads.coverage]\nmin_confidence = 0.3\n",
            ["line 1", "`coverage`", "`min_confidence`"],
        ),
        (
            "[tracks]\ngrid_hz = 25.0\nwindow_growth = 0.5\n",
            ["line 3", "`window_growth`", "`max_player_gap_s`"],
        ),
        (
            "[dilemmas]\nmin_pull_m = 1.5\n",
            ["line 1", "`dilemmas`", "`definitions`"],
        ),
        (
            "[screens]\nflip_within_s = 3.0\n",
            ["line 2", "`flip_within_s`", "`min_handoff_confidence`"],
        ),
        (
            "[gate]\nspeed_share = [0.999, 0.99, 0.9]\n",
            ["line 2", "`speed_share`", "`usable_share`"],
        ),
        (
            "[pull]\nball_screens = \"only\"\nmax_lag_s = 0.8\n",
            ["line 3", "`max_lag_s`", "`ball_screens`"],
        ),
    ] {
        let message = scrim_tables::with_causes(&read(text).unwrap_err());
        for part in parts.into_iter().chain(["mine.toml", "scrim pipeline --explain"]) {
            assert!(message.contains(part), "no `{part}` in: {message}");
        }
    }
    // It keeps its value where its section has other keys.
    let screens = read("[screens]\nmin_confidence = 0.9\n").unwrap().screens;
    assert_eq!((screens.min_confidence, screens.flip_within_s), (0.9, 3.0));
}

#[test]
fn no_number_of_a_pipeline_is_without_bounds() {
    fn numbers(section: &str, table: &toml::Table, keys: &mut Vec<String>) {
        for (name, value) in table {
            let key = scrim_floor::parameter::key_in(section, name);
            match value {
                toml::Value::Table(inner) => numbers(&key, inner, keys),
                toml::Value::Float(_) | toml::Value::Integer(_) => keys.push(key),
                toml::Value::Array(list) if list.first().is_some_and(toml::Value::is_float) => keys.push(key),
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
