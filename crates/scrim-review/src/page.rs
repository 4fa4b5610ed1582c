//! The page that asks. Its script fills it, clip by clip.

use maud::{DOCTYPE, PreEscaped, html};
use scrim_season::words::Words;
use serde::Serialize;

use crate::candidates::JUDGED_S;
use crate::question::{Choice, Question};
use crate::sitting::Sitting;

/// What the keys do.
pub(crate) const SCRIPT: &str = include_str!("review.js");
/// How it looks.
pub(crate) const STYLE: &str = include_str!("review.css");

/// A question as the page's script gets it.
#[derive(Serialize)]
struct Asked {
    name: Question,
    title: &'static str,
    is_of_players: bool,
    choices: Vec<Choice>,
}

/// The keys that answer, each with what it says. The script has the same names.
const ANSWERS: [(&str, &str, &str); 6] = [
    ("right", "R", "right: the rest is as shown"),
    ("walk", "W", "wrong: go through the lines"),
    ("none", "N", "not a screen"),
    ("missed", "M", "missed one here"),
    ("unknown", "T", "cannot tell"),
    ("back", "B", "back: take the last answer back"),
];

/// The keys that move the players.
const PLAYS: [(&str, &str, &str); 5] = [
    ("again", "P", "play again"),
    ("pause", "Space", "pause, go on"),
    ("slower", "S", "slower"),
    ("earlier", "Left", "a step back"),
    ("later", "Right", "a step on"),
];

pub(crate) fn page(sitting: &Sitting) -> String {
    let words = Words::english();
    let asked = Question::ALL.map(|question| Asked {
        name: question,
        title: question.title(),
        is_of_players: question.is_of_players(),
        choices: question.choices(&words),
    });
    // Words of the vocabulary alone; `<` could stand only inside their strings, where JSON can spell it otherwise.
    let asked = serde_json::to_string(&asked)
        .unwrap_or_default()
        .replace('<', "\\u003c");
    let button = |(name, key, says): (&str, &str, &str)| {
        let shortcut = match key {
            "Left" | "Right" => format!("Arrow{key}"),
            key => key.to_owned(),
        };
        html! {
            button type="button" data-do=(name) aria-keyshortcuts=(shortcut) { kbd { (key) } " " span { (says) } }
        }
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                link rel="icon" href="data:,";
                link rel="stylesheet" href="review.css";
                title { "Review: " (sitting.labeller()) }
            }
            body {
                header {
                    h1 { "Is it tagged right?" }
                    p.scope { "Answers of " strong { (sitting.labeller()) } ". " span #count {} }
                    progress #progress max="1" value="0" aria-label="Clips answered" {}
                }
                main {
                    p #trouble role="alert" hidden {}
                    div #clip {
                        section #floor aria-label="Playback" {
                            h2 #which tabindex="-1" { "One moment" }
                            div #stage {}
                            p #now { span #clock {} " " strong #to-use {} }
                            label { span.hidden { "Instant" } input #scrub type="range" min="0" max="1" step="1" value="0"; }
                            div.keys role="group" aria-label="Playback" { @for key in PLAYS { (button(key)) } }
                        }
                        section #asked aria-label="Tags" {
                            p #says {}
                            div #lines role="group" aria-label="A wrong line: its number" {}
                            p #noted hidden {}
                            p #beside.note hidden {}
                            div #chooser role="group" hidden { h3 #choosing {} div #choices {} }
                            div.keys #answers role="group" aria-label="Answers" { @for key in ANSWERS { (button(key)) } }
                            p.note {
                                "Right also says that no other ball screen or handoff was missed within "
                                (JUDGED_S) " s of the use. A double ring is the screener, a dashed ring the one who uses it; an X is a defender, its number "
                                "under it. "
                                button #keys-on type="button" aria-pressed="true" { "Single keys answer" }
                            }
                        }
                    }
                    section #end hidden aria-labelledby="ended" {
                        h2 #ended tabindex="-1" { "All clips of this sitting are answered" }
                        p { "Everything is saved. Close this page and end scrim with Ctrl-C in its window; start it again for more." }
                        button type="button" data-do="back" aria-keyshortcuts="B" { kbd { "B" } " " span { "back: take the last answer back" } }
                    }
                    p #said .hidden role="status" {}
                }
                footer {
                    p { "Tags are estimates, and so is what tracks show: look at the film where it matters. Tracking data are personal data of the players. scrim " (env!("CARGO_PKG_VERSION")) }
                }
                (PreEscaped(sitting.courts()))
                script #questions type="application/json" { (PreEscaped(asked)) }
                script src="stage.js" {}
                script src="review.js" {}
            }
        }
    };
    page.into_string()
}
