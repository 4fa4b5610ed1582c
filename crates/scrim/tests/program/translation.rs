//! Reports and clip lists in the words of a translator's file.

use crate::house::House;

/// A house with the tables of a game, and a team of it.
fn house_with_tables() -> (House, String) {
    let house = House::new();
    house.game("a", 0);
    assert_eq!(house.run("out", &[]).code, 0);
    let nobody = [
        "report", "--tables", "out", "--team", "nobody", "--output", "r.html",
    ];
    let said = house.scrim(&nobody).stderr;
    // The tables have games of ["A", "B"].
    let team = said.split('"').nth(1).unwrap().to_owned();
    (house, team)
}

fn report<'a>(team: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let args = ["report", "--tables", "out", "--team", team, "--output", "r.html"];
    args.iter().chain(more).copied().collect()
}

#[test]
fn the_english_file_is_printed_and_makes_the_same_report() {
    let (house, team) = house_with_tables();
    assert_eq!(house.scrim(&report(&team, &[])).code, 0);
    let plain = std::fs::read(house.at("r.html")).unwrap();
    let words = house.scrim(&["words"]);
    assert_eq!(words.code, 0);
    assert_eq!(words.stdout, scrim_season::words::ENGLISH);
    house.write("en.ftl", &words.stdout);
    let again = house.scrim(&report(&team, &["--words", "en.ftl"]));
    assert_eq!(again.code, 0, "{again:?}");
    assert!(!again.stderr.contains("en.ftl"), "{again:?}");
    assert!(std::fs::read(house.at("r.html")).unwrap() == plain);
}

#[test]
fn what_a_translation_lacks_is_english_with_one_warning() {
    let (house, team) = house_with_tables();
    house.write(
        "pl.ftl",
        "language = pl\npage-kicker = Raport o zasłonach\nclip-title = { $team }!\nno-such = x\n",
    );
    let ended = house.scrim(&report(&team, &["--words", "pl.ftl"]));
    assert_eq!(ended.code, 0, "{ended:?}");
    let warned: Vec<&str> = ended
        .stderr
        .lines()
        .filter(|line| line.contains("pl.ftl"))
        .collect();
    assert_eq!(warned.len(), 1, "{ended:?}");
    for part in [
        "missing, and are in English: ",
        " more",
        "1 messages are unknown",
        "no-such",
    ] {
        assert!(warned[0].contains(part), "no `{part}` in {}", warned[0]);
    }
    let html = std::fs::read_to_string(house.at("r.html")).unwrap();
    for part in ["<html lang=\"pl\">", "Raport o zasłonach", "In short"] {
        assert!(html.contains(part), "no `{part}`");
    }
    let clips = [
        "clips", "--tables", "out", "--team", &team, "--output", "clips", "--words", "pl.ftl",
    ];
    assert_eq!(house.scrim(&clips).code, 0);
    let csv = std::fs::read_to_string(house.at("clips/clips.csv")).unwrap();
    assert!(csv.contains(&format!("\"{team}!, ")), "{csv}");
    let checked = house.scrim(&["words", "--check", "pl.ftl"]);
    assert_eq!(checked.code, 0);
    for part in [
        "language          pl",
        "missing  page-contents\n",
        "unknown  no-such\n",
    ] {
        assert!(checked.stdout.contains(part), "no `{part}` in {}", checked.stdout);
    }
}

#[test]
fn a_file_that_is_none_is_refused_and_nothing_is_written() {
    let (house, team) = house_with_tables();
    for (text, part) in [
        ("language = pl\ngames = { $n\n", "line 2"),
        (
            "language = pl\ngames = { $count }\n",
            "message `games`: nothing is given for `$count`",
        ),
        ("games = mecz\n", "message `language`"),
    ] {
        house.write("bad.ftl", text);
        for args in [
            report(&team, &["--words", "bad.ftl"]),
            vec!["words", "--check", "bad.ftl"],
        ] {
            let ended = house.scrim(&args);
            assert_eq!(ended.code, 1, "{ended:?}");
            assert!(
                ended.stderr.contains(part) && ended.stderr.contains("bad.ftl"),
                "{ended:?}"
            );
        }
        assert!(!house.at("r.html").exists());
    }
    let absent = house.scrim(&report(&team, &["--words", "absent.ftl"]));
    assert!(
        absent.code == 1 && absent.stderr.contains("absent.ftl"),
        "{absent:?}"
    );
}
