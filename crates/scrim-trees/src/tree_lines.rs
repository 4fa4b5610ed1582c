//! The trees of a model's text, a tree a line, read at one go: nearly all of a model is their numbers, and a reader of all of TOML
//! takes many times as long for them.

use std::str::FromStr;

use crate::tree::{Split, Tree};

const BEGIN: &str = "\ntrees = [\n";
const END: &str = "\n]\n";

/// The trees of a text as [`TreeModel::to_toml`](crate::TreeModel::to_toml) writes it, and the text without them; `None` when they are
/// written in any other way.
pub(crate) fn split(text: &str) -> Option<(Vec<Tree>, String)> {
    let (before, rest) = text.split_once(BEGIN)?;
    let (lines, after) = rest.split_once(END)?;
    let trees = lines.split('\n').map(tree_of).collect::<Option<_>>()?;
    Some((trees, format!("{before}\ntrees = []\n{after}")))
}

/// `  { word = 0, splits = [[3, 0.5, 1, -1, true], …], leaves = [0.1, …] },`
fn tree_of(line: &str) -> Option<Tree> {
    let inner = line.strip_prefix("  { word = ")?.strip_suffix("] },")?;
    let (word, inner) = inner.split_once(", splits = [")?;
    let (splits, leaves) = inner.split_once("], leaves = [")?;
    let splits = match splits {
        "" => Vec::new(),
        some => {
            let some = some.strip_prefix('[')?.strip_suffix(']')?;
            some.split("], [").map(split_of).collect::<Option<_>>()?
        }
    };
    Some(Tree {
        word: number(word)?,
        splits,
        leaves: leaves.split(", ").map(float).collect::<Option<_>>()?,
    })
}

fn split_of(text: &str) -> Option<Split> {
    let mut parts = text.split(", ");
    let mut part = || parts.next();
    let split = Split(
        number(part()?)?,
        float(part()?)?,
        number(part()?)?,
        number(part()?)?,
        part()?.parse().ok()?,
    );
    part().is_none().then_some(split)
}

fn number<T: FromStr>(text: &str) -> Option<T> {
    // What TOML does not take for a number is none here.
    let is_plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-');
    text.parse().ok().filter(|_| is_plain)
}

/// Numbers of TOML have 64 bits, and are rounded to 32 then.
fn float(text: &str) -> Option<f32> {
    let is_plain = text
        .bytes()
        .all(|byte| matches!(byte, b'0'..=b'9' | b'-' | b'.' | b'e'));
    let value: f64 = text.parse().ok().filter(|_| is_plain)?;
    Some(value as f32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::TreeModel;

    const LINE: &str = "  { word = 1, splits = [[3, 0.1, 1, -1, true], [0, -2e-7, -2, -3, false]], leaves = [0.5, -0.25, 3.0] },";

    fn text(lines: &str) -> String {
        format!(
            "words = []\nevidence = []\nbase = []\ntrees = [\n{lines}\n]\n\n[fitted]\nquestion = \"q\"\ndate = \"d\"\ndata = []\nrows = []\n"
        )
    }

    #[test]
    fn what_is_read_at_one_go_is_what_a_reader_of_toml_reads() {
        let stump = "  { word = 0, splits = [], leaves = [1e-5] },";
        let text = text(&format!("{LINE}\n{stump}"));
        let (trees, rest) = split(&text).unwrap();
        let by_toml: TreeModel = toml::from_str(&text).unwrap();
        assert_eq!(trees, by_toml.trees);
        assert_eq!(trees.len(), 2);
        let without: TreeModel = toml::from_str(&rest).unwrap();
        assert_eq!(without.trees, []);
        assert_eq!(without.fitted, by_toml.fitted);
    }

    #[test]
    fn trees_that_are_written_in_any_other_way_are_left_to_the_reader_of_toml() {
        for (written, instead) in [
            ("word = 1", "word =  1"),
            ("true", "True"),
            ("0.1", "inf"),
            ("0.1", "1_0.1"),
            ("leaves = [0.5, ", "leaves = [0.5,"),
            ("-1, true]", "-1]"),
            ("-1, true]", "-1, true, 7]"),
            (" },", " }, # a note"),
        ] {
            assert!(LINE.contains(written));
            assert!(
                split(&text(&LINE.replacen(written, instead, 1))).is_none(),
                "{instead}"
            );
        }
        assert!(split("words = 3").is_none());
    }
}
