//! Every word that a reader sees comes from the file of words: with a file in which each text stands in brackets, no letter stands
//! outside brackets but those of names, ids and days.

use std::collections::BTreeSet;

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use scrim_season::words::{ENGLISH, Words};
use serde_json::Value;

use crate::staging::staged_game;
use crate::{ClipFormat, Report, TeamGames, Wanted, clip_lists, make_players_sheet, make_report};
use teams::all_teams;
use varied::{findings_of_every_word, set_apart_by, varied_teams};

mod teams;
mod varied;

/// Teams and players of the staged games, their ids, and the words of what is left out in one of them.
const NAMES: [&str; 7] = ["KH", "SM", "G1", "G2", "GZ", "File", "Error"];

/// Messages that these teams' reports never say: those of `scrim like --page`, of the demo and of `scrim review`, singulars, and what these
/// drawings do not show.
const UNSEEN: [&str; 15] = [
    "alike-",
    "confidence-",
    "coverage-unclear.meaning",
    "pairs-more 0",
    "possessions",
    "screen-handoff",
    "screen-off-ball",
    "sets-more 0",
    "shot-misses",
    "shot-scores",
    "shot-shoots",
    "shot-space",
    "sketch-nobody",
    "sketch-player",
    "sketch-within",
];

/// The English file with each text replaced by its message's key and its place in it, in brackets; and all of these.
struct InBrackets {
    words: Words,
    texts: BTreeSet<String>,
}

impl InBrackets {
    fn read() -> Self {
        let mut file = fluent_syntax::parser::parse(ENGLISH.to_owned()).unwrap();
        let mut texts = BTreeSet::new();
        for entry in &mut file.body {
            if let Entry::Message(message) = entry
                && message.id.name != "language"
            {
                let id = &message.id.name;
                if let Some(value) = &mut message.value {
                    bracket(id, value, &mut texts);
                }
                for attribute in &mut message.attributes {
                    let key = format!("{id}.{}", attribute.id.name);
                    bracket(&key, &mut attribute.value, &mut texts);
                }
            }
        }
        let text = fluent_syntax::serializer::serialize(&file);
        let translation = Words::translated(&text).unwrap();
        assert!(translation.missing.is_empty() && translation.unknown.is_empty());
        Self {
            words: translation.words,
            texts,
        }
    }
}

/// Puts each text of the pattern in brackets; arguments stand outside.
fn bracket(key: &str, pattern: &mut Pattern<String>, texts: &mut BTreeSet<String>) {
    for element in &mut pattern.elements {
        match element {
            PatternElement::TextElement { value } if value.contains(char::is_alphabetic) => {
                let before = texts.iter().filter(|text| text.split(' ').next() == Some(key));
                let name = format!("{key} {}", before.count());
                *value = format!("⟦{name}⟧");
                texts.insert(name);
            }
            PatternElement::TextElement { .. } => {}
            PatternElement::Placeable { expression } => match expression {
                Expression::Select { variants, .. } => {
                    for variant in variants {
                        bracket(key, &mut variant.value, texts);
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

/// The texts of a page or a drawing as a reader has them: between tags, and of the attributes that are read out or shown.
fn texts_of(html: &str) -> Vec<String> {
    // A range that no line breaks is a piece of its text.
    let mut parts = html.split("<span class=\"whole\">");
    let first = parts.next().unwrap_or_default().to_owned();
    let html = parts.fold(first, |html, part| html + &part.replacen("</span>", "", 1));
    let mut texts = Vec::new();
    let mut rest = html.as_str();
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

/// All that a reader of a report sees or hears: the page, its drawings, what playback shows and how it is labelled.
fn said_in(report: &Report) -> Vec<String> {
    let mut said = texts_of(&report.html);
    let drawings = report.drawings.iter();
    said.extend(drawings.flat_map(|drawing| texts_of(&drawing.svg)));
    let Some((_, scripts)) = report.html.split_once("<script id=\"plays\"") else {
        return said;
    };
    let (_, json) = scripts.split_once('>').unwrap();
    let (json, script) = json.split_once("</script>").unwrap();
    let kept: Vec<Value> = serde_json::from_str(json).unwrap();
    for play in &kept {
        let text = |value: &Value| value.as_str().unwrap().to_owned();
        let of = |list: &str, key: &str| -> Vec<String> {
            let list = play[list].as_array().unwrap().iter();
            list.map(|one| text(&one[key])).collect()
        };
        said.push(text(&play["title"]));
        said.extend(of("tags", "text"));
        said.extend(of("movers", "name"));
    }
    let labels = said_in_script(script);
    assert!(labels.len() >= 15, "{labels:?}");
    said.extend(labels);
    said
}

/// All that a reader of clip lists sees.
fn said_in_clips(team: &TeamGames, words: &Words) -> Vec<String> {
    let formats = [ClipFormat::Vtt, ClipFormat::Otio];
    // What came before is said where it is asked for.
    let wanted = Wanted {
        entries: scrim_tables::tags::Entry::ALL.to_vec(),
        ..Wanted::default()
    };
    let lists = clip_lists(team, &wanted, &formats, words).unwrap();
    let mut said = Vec::new();
    for file in &lists.files {
        if file.name.ends_with(".otio") {
            let timeline: Value = serde_json::from_str(&file.text).unwrap();
            let name = |value: &Value| value["name"].as_str().unwrap().to_owned();
            let track = &timeline["tracks"]["children"][0];
            said.push(name(track));
            for clip in track["children"].as_array().unwrap() {
                said.extend([name(clip), name(&clip["media_reference"])]);
                said.extend(clip["markers"].as_array().unwrap().iter().map(name));
            }
            continue;
        }
        let lines = file.text.lines().skip(1).filter(|line| !line.contains("-->"));
        said.extend(lines.map(|line| unescaped(line.trim_start_matches("NOTE "))));
    }
    said
}

#[test]
fn every_word_that_a_reader_sees_is_in_the_file() {
    let InBrackets { words, texts } = InBrackets::read();
    let mut said = Vec::new();
    for mut team in all_teams().into_iter().chain(varied_teams()) {
        // And of the others' side.
        for [of, other] in [["KH", "SM"], ["SM", "KH"]] {
            team.choice.team = of.into();
            team.choice.reader = team.choice.reader.map(|_| other.into());
            said.extend(said_in(&make_report(&team, &words).unwrap()));
            said.extend(said_in(&make_players_sheet(&team, &words).unwrap()));
            said.extend(said_in_clips(&team, &words));
        }
    }
    let game = staged_game("G1", 3);
    for (place, row) in findings_of_every_word().into_iter().enumerate() {
        let team = set_apart_by(row, place % 25 == 2, &game);
        said.extend(said_in(&make_players_sheet(&team, &words).unwrap()));
        // A page of each word, each with another of the five effects and gains.
        if place % 5 == place / 5 % 5 {
            said.extend(texts_of(&make_report(&team, &words).unwrap().html));
        }
    }
    for text in &said {
        let found = outside(text);
        assert!(found.is_empty(), "{found:?} outside brackets in: {text}");
    }
    let seen: BTreeSet<&str> = said
        .iter()
        .flat_map(|text| text.split('⟦').skip(1))
        .filter_map(|text| text.split('⟧').next())
        .collect();
    let unseen: Vec<&String> = texts
        .iter()
        .filter(|text| !seen.contains(text.as_str()))
        .filter(|text| !UNSEEN.iter().any(|key| text.starts_with(key)))
        .collect();
    assert_eq!(
        unseen,
        Vec::<&String>::new(),
        "never rendered: nobody looked for what stands beside them"
    );
}

#[test]
fn a_letter_outside_brackets_is_found() {
    let html = "<p title=\"Left\">⟦a⟧<b>KH</b> on ⟦b⟧ 4</p><script>\"Play it\"</script>";
    let found: Vec<String> = texts_of(html).iter().flat_map(|text| outside(text)).collect();
    assert_eq!(found, ["Left", "on"]);
    assert_eq!(said_in_script("a(\"Play it\", \"x\");"), ["Play it"]);
}
