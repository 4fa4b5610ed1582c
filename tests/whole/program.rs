//! The program as it was built.

use std::path::PathBuf;

/// Beside the tests' own folder: `target/debug/deps/whole-...` and `target/debug/scrim`.
pub fn program() -> PathBuf {
    let tests = std::env::current_exe().expect("the test's own file has a name");
    let program = tests
        .ancestors()
        .nth(2)
        .expect("tests are built two folders deep")
        .join("scrim");
    assert!(
        program.is_file(),
        "{} is not built: build the workspace",
        program.display()
    );
    program
}
