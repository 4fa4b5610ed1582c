//! What plays the tracks, with its labels in the page's language.

use scrim_season::words::{Arg, Said, Shown, Words};

const STAGE: &str = include_str!("../stage.js");
const PLAY: &str = include_str!("play.js");

/// The values of messages in the scripts, as the scripts know them.
const VALUES: [(&str, &str); 4] = [
    ("title", "${play.title}"),
    ("period", "${play.period}"),
    ("seconds", "${(play.t_start_s + sample / play.hz).toFixed(1)}"),
    ("clock", "${minutes(left)}"),
];

/// What shows the players and the ball of a clip at an instant: `stageParts.stageOf(clip.playback)`.
pub fn stage_script(words: &Words) -> String {
    with_words(STAGE, words)
}

/// The stage, and the page's controls.
pub(super) fn page_script(words: &Words) -> String {
    stage_script(words) + &with_words(PLAY, words)
}

/// The script with each `@{message}` in the language's words. A message stands inside a string of double quotes or, where it has values,
/// inside a template.
fn with_words(script: &str, words: &Words) -> String {
    let mut parts = script.split("@{");
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (key, rest) = part.split_once('}').unwrap_or((part, ""));
        let args = VALUES.map(|(name, value)| (name, Arg::from(Said::piece(Shown::Code, value))));
        for (shown, text) in words.said(key, &args).pieces() {
            match shown {
                Shown::Code => out.push_str(text),
                _ => out.push_str(&escaped(text)),
            }
        }
        out.push_str(rest);
    }
    out
}

/// Text inside a string or a template of a script that stands in a page: nothing ends either, and nothing is a value.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\\' | '"' | '`' | '$' => out.extend(['\\', letter]),
            '<' => out.push_str("\\u003c"),
            '\n' | '\r' => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_those_of_the_language_and_end_no_string() {
        let text = "language = de\nplayback-play = a\"b`c${d}</script>\\\nplayback-of = ${ $title }!\n";
        // The brace of a message is a character of its own.
        let text = text.replace("${d}", "${ \"{\" }d{ \"}\" }");
        let script = page_script(&Words::translated(&text).unwrap().words);
        assert!(
            script.contains("button(\"a\\\"b\\`c\\${d}\\u003c/script>\\\\\", "),
            "{script}"
        );
        assert!(script.contains("`\\$${play.title}!`"), "{script}");
        assert!(script.contains("`P${play.period} ${minutes(left)}`"), "{script}");
        assert!(!script.contains("@{"), "{script}");
    }
}
