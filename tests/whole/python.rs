//! Asking Python: a script of `tests/reference/` gets JSON on its standard input and answers JSON.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use serde::de::DeserializeOwned;
use serde_json::Value;

/// The answer of `tests/reference/{script}` to `question`. Fails the test, with what Python said, when there is none.
pub fn ask<Answer: DeserializeOwned>(script: &str, question: &Value) -> Answer {
    let python = std::env::var_os("SCRIM_PYTHON").expect(
        "SCRIM_PYTHON must name the Python of the environment that tests/run makes; \
         run tests/run, or SCRIM_PYTHON=$PWD/.venv/bin/python by hand",
    );
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("reference")
        .join(script);
    let mut child = Command::new(&python)
        .arg(&path)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("SCRIM_PYTHON={}: cannot be started: {error}", python.display()));
    // Every script reads its whole input before it writes a word, so neither side waits for the other. A script that
    // ended early closes the pipe; what it said on stderr says more than the broken pipe does.
    let written = child
        .stdin
        .take()
        .expect("stdin was piped")
        .write_all(question.to_string().as_bytes());
    let output = child
        .wait_with_output()
        .expect("a child that was started can be waited for");
    let stderr = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{script} failed ({}):\n{stderr}",
        output.status
    );
    written.unwrap_or_else(|error| panic!("{script} did not read its input ({error}):\n{stderr}"));
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| {
        panic!(
            "{script} answered no such JSON ({error}): {}",
            String::from_utf8_lossy(&output.stdout)
        )
    })
}
