//! The notebooks of `notebooks/`, executed as a reader would, without what is repeated or on fewer games, and held against what was planted.

use std::path::Path;

use serde::Deserialize;
use serde_json::json;

use crate::python::ask;
use crate::python_package::package_folder;

/// What the notebook calls `results`.
fn results_of<Results: serde::de::DeserializeOwned>(
    notebook: &str,
    environment: &serde_json::Value,
) -> Results {
    let package = package_folder();
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../notebooks")
        .join(notebook);
    ask(
        "notebook.py",
        &json!({ "notebook": path, "package": package.path(), "environment": environment }),
    )
}

#[derive(Debug, Clone, Copy, Deserialize)]
struct Estimate {
    estimate_m: f64,
    low_m: f64,
    high_m: f64,
}

impl Estimate {
    fn holds(self, value_m: f64) -> bool {
        self.low_m <= value_m && value_m <= self.high_m
    }
}

#[derive(Debug, Deserialize)]
struct Study {
    lifts: u32,
    estimates: std::collections::BTreeMap<String, Estimate>,
    truth: Truth,
}

#[derive(Debug, Deserialize)]
struct Truth {
    room_m: f64,
    low_man_m: f64,
    known: f64,
    agree: f64,
}

#[derive(Debug, Deserialize)]
struct WeakSide {
    planted: Study,
    #[serde(rename = "not planted")]
    not_planted: Study,
}

/// The seeds and the number of games are the committed notebook's, written down before the games were played; its repeats are left
/// out. With the seeds before these, 0.12 m (0.03 to 0.22) were found where nothing was planted: the notebook says so.
#[test]
fn the_room_that_a_lift_makes_is_found_where_it_was_planted_and_nowhere_else() {
    let environment = json!({
        "SCRIM_STUDY_GAMES": "24", "SCRIM_STUDY_REPEATS": "0", "SCRIM_STUDY_DRAWS": "500",
    });
    let WeakSide { planted, not_planted } = results_of("weak_side.ipynb", &environment);
    for study in [&planted, &not_planted] {
        assert!(study.lifts >= 150, "{study:?}");
        // The sample is the one that was planted in, and its lifts are read as they were.
        assert!(study.truth.known > 0.9 && study.truth.agree > 0.9, "{study:?}");
    }
    const STUDY: &str = "own control, like with like";
    const LOW_MAN: &str = "the low man's distance";
    let (found, low_man) = (planted.estimates[STUDY], planted.estimates[LOW_MAN]);
    // There is something to find, the interval holds it, and does not hold nothing.
    assert!(planted.truth.room_m > 0.2, "{planted:?}");
    assert!(
        found.holds(planted.truth.room_m) && !found.holds(0.0),
        "{planted:?}"
    );
    // How far the low man stays off is found, too, if a little too small; the notebook says why.
    assert!(
        planted.truth.low_man_m > 1.0 && low_man.holds(planted.truth.low_man_m),
        "{planted:?}"
    );
    // Where nothing was planted, there is next to nothing, and nothing is found.
    let found = not_planted.estimates[STUDY];
    assert!(not_planted.truth.room_m.abs() < 0.1, "{not_planted:?}");
    assert!(
        found.holds(0.0) && found.holds(not_planted.truth.room_m),
        "{not_planted:?}"
    );
    // The controls matter: without them room is found that nobody made.
    assert!(
        not_planted.estimates["own control"].estimate_m > found.estimate_m,
        "{not_planted:?}"
    );
}

#[derive(Debug, Deserialize)]
struct Entries {
    entries: Inside,
    disguise: Disguise,
    pay: std::collections::BTreeMap<String, Difference>,
    true_pay: Drawn,
}

/// The same difference as `defender_lag_s` of `pay`, of what was drawn.
#[derive(Debug, Deserialize)]
struct Drawn {
    difference: f64,
}

#[derive(Debug, Deserialize)]
struct Inside {
    inside: u32,
    all: u32,
    mean_off: f64,
}

#[derive(Debug, Deserialize)]
struct Disguise {
    agree: f64,
    judged_disguised: u32,
}

#[derive(Debug, Deserialize)]
struct Difference {
    difference_low: f64,
    difference_high: f64,
}

#[test]
fn entries_and_disguise_are_as_the_season_s_habits_have_them() {
    let results: Entries = results_of(
        "entries_and_disguise.ipynb",
        &json!({ "SCRIM_SEASON_GAMES": "80" }),
    );
    // Intervals know of few ball screens, not of misread entries: most hold the truth, not nineteen in twenty. Measured 21 of 31, and
    // 0.049 off on average.
    let Inside {
        inside,
        all,
        mean_off,
    } = results.entries;
    assert!(all >= 20 && 2 * inside > all && mean_off < 0.08, "{results:?}");
    // Of one day's record and more; nobody who calls all plain is right about those that are not.
    assert!(results.disguise.agree > 0.85, "{results:?}");
    assert!(results.disguise.judged_disguised > 0, "{results:?}");
    // No shot of this league comes open by surprise. Whether defenders come later is not settled: measured between 0.016 and 0.119 s
    // later, drawn 0.036 s. Held here: the interval has what was drawn in it.
    for (measure, truth) in [
        ("open_shot_rate", 0.0),
        ("defender_lag_s", results.true_pay.difference),
    ] {
        let pay = &results.pay[measure];
        assert!(
            pay.difference_low <= truth && truth <= pay.difference_high,
            "{measure}: {results:?}"
        );
    }
}
