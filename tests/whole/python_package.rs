//! The Python package: its own tests, run by pytest with the module that the workspace has built.

use std::path::Path;
use std::process::Command;

use tempfile::TempDir;

/// What goes wrong here is the machine's.
const READABLE: &str = "the package and the built module can be read and copied";

/// A folder as the wheel lays it out, with the module that the workspace has built.
pub fn package_folder() -> TempDir {
    let package = Path::new(env!("CARGO_MANIFEST_DIR")).join("../python");
    // Beside the tests' own folder: target/debug/deps/whole-... and target/debug/lib_scrim.so.
    let built = std::env::current_exe().expect(READABLE);
    let built = built.ancestors().nth(2).expect(READABLE).join("lib_scrim.so");
    assert!(
        built.is_file(),
        "{} is not built: run tests/run, or cargo build --workspace first",
        built.display()
    );
    let folder = tempfile::tempdir().expect(READABLE);
    let scrim = folder.path().join("scrim");
    std::fs::create_dir(&scrim).expect(READABLE);
    for entry in std::fs::read_dir(package.join("scrim")).expect(READABLE) {
        let path = entry.expect(READABLE).path();
        if path.is_file() {
            std::fs::copy(&path, scrim.join(path.file_name().expect(READABLE))).expect(READABLE);
        }
    }
    std::fs::copy(&built, scrim.join("_scrim.abi3.so")).expect(READABLE);
    folder
}

#[test]
fn the_package_s_own_tests_pass() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("../python/tests");
    let folder = package_folder();
    let python =
        std::env::var_os("SCRIM_PYTHON").expect("SCRIM_PYTHON is not set: run these tests by tests/run");
    let ended = Command::new(python)
        .args(["-m", "pytest", "-q", "-p", "no:cacheprovider"])
        .arg(tests)
        .env("PYTHONPATH", folder.path())
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .current_dir(folder.path())
        .output()
        .unwrap();
    let text = String::from_utf8_lossy(&ended.stdout);
    assert!(
        ended.status.success(),
        "{text}\n{}",
        String::from_utf8_lossy(&ended.stderr)
    );
    assert!(text.contains(" passed"), "{text}");
}
