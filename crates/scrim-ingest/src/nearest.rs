//! The most similar of some names, for messages.

/// The one of `found` that is most like `wanted`, when any is like it at all. Upper case, spaces and signs do not
/// count, and neither does what stands after the last `_` when the rest is the more alike (a unit, or `id`).
pub(crate) fn nearest_name<'f>(wanted: &str, found: &'f [String]) -> Option<&'f str> {
    let plain = |name: &str| -> Vec<char> {
        name.chars()
            .filter(|c| c.is_alphanumeric())
            .take(64)
            .flat_map(char::to_lowercase)
            .collect()
    };
    let stem = |name: &str| plain(name.rsplit_once('_').map_or(name, |(stem, _)| stem));
    let (whole, root) = (plain(wanted), stem(wanted));
    let distances = found.iter().map(|name| {
        let distance = edits(&whole, &plain(name)).min(edits(&root, &stem(name)));
        (distance, name)
    });
    let (distance, name) = distances.min_by_key(|(distance, _)| *distance)?;
    (distance <= whole.len() / 3).then_some(name)
}

/// Insertions, deletions and replacements between two words (V. I. Levenshtein, "Binary codes capable of correcting
/// deletions, insertions, and reversals", 1966; the table method of R. Wagner and M. Fischer, 1974).
fn edits(a: &[char], b: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(x != y);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kitten_is_three_edits_from_sitting() {
        let word = |w: &str| w.chars().collect::<Vec<_>>();
        assert_eq!(edits(&word("kitten"), &word("sitting")), 3);
        assert_eq!(edits(&word(""), &word("ab")), 2);
    }

    #[test]
    fn the_nearest_name_is_found_when_there_is_one() {
        let found = ["GameId", "quarter", "x_ft"].map(String::from);
        assert_eq!(nearest_name("game_id", &found), Some("GameId"));
        assert_eq!(nearest_name("x_m", &found), Some("x_ft"));
        assert_eq!(nearest_name("shot_clock_s", &found), None);
        assert_eq!(nearest_name("t_s", &found), None);
    }
}
