//! Every word that a reader sees comes from the file of words: with a file in which each text stands in brackets, no letter stands
//! outside brackets but those of names, ids and days.

use std::collections::BTreeSet;

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use scrim_season::words::{ENGLISH, Words};
use serde_json::Value;

use crate::staging::staged_team;
use crate::{ClipFormat, Report, Wanted, clip_lists, make_players_sheet, make_report};
use teams::{all_teams, full_game};

mod teams;

/// Teams and players of the staged games, their ids, and the words of what is left out in one of them.
const NAMES: [&str; 7] = ["KH", "SM", "G1", "G2", "GZ", "File", "Error"];

/// Each text of the pattern in brackets; arguments stand outside.
fn bracket(pattern: &mut Pattern<String>) {
    for element in &mut pattern.elements {
        match element {
            PatternElement::TextElement { value } if value.contains(char::is_alphabetic) => {
                let text = value.trim_end_matches('\n');
                let after = value[text.len()..].to_owned();
                *value = format!("⟦{text}⟧{after}");
            }
            PatternElement::TextElement { .. } => {}
            PatternElement::Placeable { expression } => match expression {
                Expression::Select { variants, .. } => {
                    for variant in variants {
                        bracket(&mut variant.value);
                    }
                }
                Expression::Inline(InlineExpression::StringLiteral { value }) => {
                    assert!(!value.contains(char::is_alphabetic), "{value}");
                }
                Expression::Inline(_) => {}
            },
        }
    }
}

/// The English file with each text in brackets.
fn in_brackets() -> Words {
    let mut file = fluent_syntax::parser::parse(ENGLISH.to_owned()).unwrap();
    for entry in &mut file.body {
        if let Entry::Message(message) = entry
            && message.id.name != "language"
        {
            let attributes = message
                .attributes
                .iter_mut()
                .map(|attribute| &mut attribute.value);
            message.value.iter_mut().chain(attributes).for_each(bracket);
        }
    }
    let text = fluent_syntax::serializer::serialize(&file);
    let translation = Words::translated(&text).unwrap();
    assert!(translation.missing.is_empty() && translation.unknown.is_empty());
    translation.words
}

/// The words that stand outside brackets and are no names.
fn outside(text: &str) -> BTreeSet<String> {
    let mut open = String::new();
    let mut is_inside = false;
    for letter in text.chars() {
        match letter {
            '⟦' => {
                assert!(!is_inside, "a text in a text: {text}");
                is_inside = true;
            }
            '⟧' => {
                is_inside = false;
                open.push(' ');
            }
            _ if is_inside => {}
            letter => open.push(letter),
        }
    }
    assert!(!is_inside, "no end of a text: {text}");
    let words = open.split(|letter: char| !letter.is_alphanumeric());
    words
        .filter(|word| word.contains(char::is_alphabetic) && !NAMES.contains(word))
        .map(str::to_owned)
        .collect()
}

#[track_caller]
fn all_inside(what: &str, text: &str) {
    let found = outside(text);
    assert!(found.is_empty(), "{what}: {found:?} outside brackets in: {text}");
}

/// The texts of a page or a drawing as a reader has them: between tags, and of the attributes that are read out or shown.
fn texts_of(html: &str) -> Vec<String> {
    let mut texts = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        texts.push(rest[..at].to_owned());
        let end = at + rest[at..].find('>').unwrap();
        let tag = &rest[at + 1..end];
        for attribute in ["aria-label=\"", "title=\"", "alt=\""] {
            if let Some((_, value)) = tag.split_once(attribute) {
                texts.push(value.split('"').next().unwrap().to_owned());
            }
        }
        rest = &rest[end + 1..];
        // What stands in these is no text: styles, scripts, and names of tables.
        for name in ["style", "script", "code"] {
            if tag.starts_with(name) {
                rest = &rest[rest.find(&format!("</{name}")).unwrap()..];
            }
        }
    }
    texts.iter().map(|text| unescaped(text)).collect()
}

fn unescaped(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">");
    text.replace("&quot;", "\"").replace("&amp;", "&")
}

/// The strings of a script that read like words: those with a blank or a capital at their beginning.
fn said_in_script(script: &str) -> Vec<String> {
    let code = script.lines().filter(|line| !line.trim_start().starts_with("//"));
    let code = code.collect::<Vec<_>>().join("\n");
    let strings = code
        .split('"')
        .skip(1)
        .step_by(2)
        .chain(code.split('`').skip(1).step_by(2));
    let no_words = [
        "use strict",
        "ArrowLeft",
        "ArrowRight",
        "Home",
        "End",
        "Escape",
        "H",
        "BUTTON",
        "(prefers-reduced-motion: reduce)",
        "2.4 2.2",
        "court stage",
        "var(--paper, #fff)",
    ];
    strings
        .filter(|text| !no_words.contains(text) && !text.starts_with("M-3.6"))
        .filter(|text| {
            text.contains(char::is_whitespace) || text.starts_with(char::is_uppercase) || text.contains('⟦')
        })
        // Values stand outside texts.
        .map(|text| {
            let mut parts = text.split("${");
            let first = parts.next().unwrap_or_default().to_owned();
            parts.fold(first, |text, part| {
                text + part.rsplit_once('}').map_or("", |(_, rest)| rest)
            })
        })
        .filter(|text| !text.starts_with("translate(") && !text.starts_with("figure["))
        .collect()
}

fn check(what: &str, report: &Report) -> usize {
    let html = &report.html;
    let texts = texts_of(html);
    for text in &texts {
        all_inside(what, text);
    }
    for drawing in &report.drawings {
        for text in texts_of(&drawing.svg) {
            all_inside(&drawing.name, &text);
        }
    }
    let Some((_, scripts)) = html.split_once("<script id=\"plays\"") else {
        return texts.len();
    };
    let (_, json) = scripts.split_once('>').unwrap();
    let (json, script) = json.split_once("</script>").unwrap();
    let kept: Vec<Value> = serde_json::from_str(json).unwrap();
    for play in &kept {
        let of = |list: &str, key: &str| -> Vec<String> {
            let list = play[list].as_array().unwrap().iter();
            list.map(|one| one[key].as_str().unwrap().to_owned()).collect()
        };
        let title = play["title"].as_str().unwrap().to_owned();
        let shown = of("tags", "text")
            .into_iter()
            .chain(of("movers", "name"))
            .chain([title]);
        shown.for_each(|text| all_inside("playback", &text));
    }
    let said = said_in_script(script);
    assert!(said.len() >= 15, "{said:?}");
    said.iter().for_each(|text| all_inside("script", text));
    texts.len()
}

#[test]
fn every_word_on_pages_drawings_and_sheets_is_in_the_file() {
    let words = in_brackets();
    let mut checked = 0;
    for mut team in all_teams() {
        // And of the others' side.
        for of in ["KH", "SM"] {
            team.choice.team = of.into();
            team.choice.reader = team.choice.reader.filter(|reader| reader.as_str() != of);
            checked += check(&format!("report of {of}"), &make_report(&team, &words).unwrap());
            checked += check(
                &format!("sheet of {of}"),
                &make_players_sheet(&team, &words).unwrap(),
            );
        }
    }
    assert!(checked > 10_000, "{checked}");
}

#[test]
fn every_word_of_clip_lists_is_in_the_file() {
    let words = in_brackets();
    let mut games = [full_game("G1", 6), full_game("G2", 6)];
    games[1].game.video_offset_s.clear();
    let team = staged_team(games.to_vec());
    let lists = clip_lists(
        &team,
        &Wanted::default(),
        &[ClipFormat::Vtt, ClipFormat::Otio],
        &words,
    )
    .unwrap();
    let mut checked = 0;
    for file in &lists.files {
        if file.name.ends_with(".otio") {
            let timeline: Value = serde_json::from_str(&file.text).unwrap();
            let track = &timeline["tracks"]["children"][0];
            all_inside("track", track["name"].as_str().unwrap());
            for clip in track["children"].as_array().unwrap() {
                all_inside("clip", clip["name"].as_str().unwrap());
                all_inside("media", clip["media_reference"]["name"].as_str().unwrap());
                for marker in clip["markers"].as_array().unwrap() {
                    all_inside("marker", marker["name"].as_str().unwrap());
                    checked += 1;
                }
            }
            continue;
        }
        let lines = file.text.lines().skip(1);
        for line in lines.map(|line| line.trim_start_matches("NOTE ")) {
            if !line.contains("-->") {
                all_inside(&file.name, &unescaped(line));
                checked += 1;
            }
        }
    }
    assert!(checked > 200, "{checked}");
}

#[test]
fn a_letter_outside_brackets_is_found() {
    let html = "<p title=\"Left\">⟦a⟧<b>KH</b> on ⟦b⟧ 4</p><script>\"Play it\"</script>";
    let found: Vec<String> = texts_of(html).iter().flat_map(|text| outside(text)).collect();
    assert_eq!(found, ["Left", "on"]);
    assert_eq!(said_in_script("a(\"Play it\", \"x\");"), ["Play it"]);
}
