//! Where a run may write: never inside its input.

use std::io;
use std::path::{Component, Path, PathBuf};

use scrim_objects::{Address, Location};
use scrim_tables::rows::tables;

use crate::reports::REPORTS;

/// An output that would write into the input.
#[derive(Debug, thiserror::Error)]
#[error(
    "the output {output} lies inside the input {input}; a run never writes there: choose a folder outside"
)]
pub struct OutputInInput {
    /// As it was given.
    pub output: Location,
    /// As it was given.
    pub input: Location,
}

/// Where a run writes in its output, tables apart.
const OTHER_PLACES: [&str; 8] = [
    REPORTS,
    "ledger",
    "ledger/games",
    "ledger/seasons",
    "ledger/sources",
    "ledger/runs",
    "ledger/staged",
    "ledger/lock",
];

/// Refuses an `output` that is, or lies in, the `input` folder, or whose folders hold it, or are links into it.
///
/// # Errors
/// [`OutputInInput`].
pub fn check_output(input: &Location, output: &Location) -> Result<(), OutputInInput> {
    let meet = match (input, output) {
        (Location::Local(input), Location::Local(output)) => paths_meet(input, output),
        (Location::Remote(input), Location::Remote(output)) => addresses_meet(input, output),
        (Location::Local(_), Location::Remote(_)) | (Location::Remote(_), Location::Local(_)) => false,
    };
    if meet {
        Err(OutputInInput {
            output: output.clone(),
            input: input.clone(),
        })
    } else {
        Ok(())
    }
}

/// Where a run writes in its output.
fn written_places() -> impl Iterator<Item = &'static str> {
    tables().map(|table| table.name).chain(OTHER_PLACES)
}

fn paths_meet(input: &Path, output: &Path) -> bool {
    // A path that the system will not even make absolute fails when it is opened, with its own message.
    let (Ok(inside), Ok(outside)) = (resolved(output), resolved(input)) else {
        return false;
    };
    let meets_input = |place: &str| {
        let place = inside.join(place);
        // One that is a link leads to where it points.
        outside.starts_with(&place) || resolved(&place).is_ok_and(|place| place.starts_with(&outside))
    };
    inside.starts_with(&outside) || written_places().any(meets_input)
}

fn addresses_meet(input: &Address, output: &Address) -> bool {
    let place = |name: &str| Address {
        key: if output.key.is_empty() {
            name.into()
        } else {
            format!("{}/{name}", output.key)
        },
        ..output.clone()
    };
    output.is_in(input) || written_places().any(|name| input.is_in(&place(name)))
}

/// The absolute path with every link resolved, as far as the path exists.
///
/// # Errors
/// When the system does not say where it is.
pub fn resolved(path: &Path) -> io::Result<PathBuf> {
    let absolute = std::path::absolute(path)?;
    let real = absolute
        .ancestors()
        .find_map(|ancestor| Some((ancestor, ancestor.canonicalize().ok()?)));
    let Some((ancestor, mut real)) = real else {
        return Ok(absolute);
    };
    let rest = absolute.strip_prefix(ancestor).unwrap_or(Path::new(""));
    for part in rest.components() {
        match part {
            Component::ParentDir => {
                real.pop();
            }
            Component::CurDir => {}
            Component::Normal(_) | Component::RootDir | Component::Prefix(_) => real.push(part),
        }
    }
    Ok(real)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(input: &Path, output: &Path) -> Result<(), OutputInInput> {
        check_output(&Location::Local(input.into()), &Location::Local(output.into()))
    }

    #[test]
    fn addresses_are_held_together_by_whole_names() {
        let check =
            |input: &str, output: &str| check_output(&input.parse().unwrap(), &output.parse().unwrap());
        for output in ["s3://b/in", "s3://b/in/out"] {
            assert!(check("s3://b/in", output).is_err(), "{output}");
        }
        assert!(check("s3://b/out/screens/x", "s3://b/out").is_err());
        assert!(check("s3://b/ledger", "s3://b").is_err());
        for output in ["s3://b/inner", "s3://c/in", "gs://b/in", "in", "s3://b"] {
            assert!(check("s3://b/in", output).is_ok(), "{output}");
        }
    }

    #[test]
    fn an_output_inside_the_input_is_refused_however_it_is_spelled() {
        let folder = tempfile::tempdir().unwrap();
        let input = folder.path().join("in");
        std::fs::create_dir_all(input.join("deep")).unwrap();
        for output in [
            "in",
            "in/out",
            "in/deep/../out",
            "new/../in/x",
            "in/deep/new/../../y",
        ] {
            assert!(check(&input, &folder.path().join(output)).is_err(), "{output}");
        }
        for output in ["out", "in-2", "in/../out", "in/new/../../out"] {
            assert!(check(&input, &folder.path().join(output)).is_ok(), "{output}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_into_the_input_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let input = folder.path().join("in");
        std::fs::create_dir(&input).unwrap();
        std::os::unix::fs::symlink(&input, folder.path().join("link")).unwrap();
        assert!(check(&input, &folder.path().join("link/out")).is_err());
    }

    #[cfg(unix)]
    #[test]
    fn a_link_inside_the_output_into_the_input_is_refused() {
        for place in ["screens", "reports", "ledger", "ledger/lock"] {
            let folder = tempfile::tempdir().unwrap();
            let [input, output] = ["in", "out"].map(|name| folder.path().join(name));
            std::fs::create_dir(&input).unwrap();
            std::fs::write(input.join("tracking.csv"), "x").unwrap();
            std::fs::create_dir_all(output.join("ledger")).unwrap();
            assert!(check(&input, &output).is_ok());
            if place == "ledger" {
                std::fs::remove_dir(output.join(place)).unwrap();
            }
            std::os::unix::fs::symlink(input.join("tracking.csv"), output.join(place)).unwrap();
            assert!(check(&input, &output).is_err(), "{place}");
        }
    }

    #[test]
    fn an_input_in_a_tables_own_folder_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let input = folder.path().join("screens");
        std::fs::create_dir(&input).unwrap();
        assert!(check(&input, folder.path()).is_err());
    }

    #[test]
    fn the_folder_of_a_single_input_file_may_hold_the_output() {
        let folder = tempfile::tempdir().unwrap();
        let input = folder.path().join("tracking.csv");
        std::fs::write(&input, "x").unwrap();
        assert!(check(&input, &folder.path().join("out")).is_ok());
    }
}
