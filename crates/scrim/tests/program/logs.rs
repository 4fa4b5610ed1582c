//! Data to stdout, logs to stderr.

use crate::house::House;

#[test]
fn json_logs_are_an_object_a_line_on_stderr_and_nothing_else_is() {
    let house = House::new();
    house.game("a", 0);
    house.rubbish("b");
    let ended = house.run("out", &["--log", "json"]);
    assert_eq!(ended.code, 3, "{ended:?}");
    let lines: Vec<serde_json::Value> = ended
        .stderr
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    let message = |line: &serde_json::Value| line["message"].as_str().unwrap().to_owned();
    let messages: Vec<_> = lines.iter().map(message).collect();
    for expected in ["run begins", "game done", "skipped", "run ended"] {
        assert!(
            messages.iter().any(|m| m == expected),
            "no `{expected}` in {messages:?}"
        );
    }
    let end = lines.iter().find(|line| line["message"] == "run ended").unwrap();
    assert_eq!(
        (end["games_done"].as_u64(), end["skipped"].as_u64()),
        (Some(1), Some(1))
    );
}

#[test]
fn quiet_leaves_warnings_only() {
    let house = House::new();
    house.game("a", 0);
    let ended = house.run("out", &["--quiet"]);
    assert_eq!((ended.code, ended.stderr.as_str()), (0, ""), "{ended:?}");
    house.rubbish("b");
    let ended = house.run("out", &["--quiet"]);
    assert!(
        ended.stderr.lines().count() == 1 && ended.stderr.contains("skipped"),
        "{ended:?}"
    );
}

#[test]
fn no_bar_is_drawn_where_no_terminal_is() {
    let house = House::new();
    house.game("a", 0);
    let ended = house.run("out", &[]);
    assert!(
        !ended.stderr.contains('\u{1b}') && !ended.stderr.contains('\r'),
        "{ended:?}"
    );
}
