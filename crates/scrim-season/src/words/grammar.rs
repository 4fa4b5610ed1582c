//! Articles, capitals and plurals.

use std::borrow::Cow;

/// The text with a capital first letter.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The beginning of a sentence as it stands after a colon: `Of the ball screens` without its capital; a name keeps its own.
pub fn within(text: &str) -> Cow<'_, str> {
    text.strip_prefix("Of ")
        .map_or(Cow::Borrowed(text), |rest| Cow::Owned(format!("of {rest}")))
}

/// With its article, where it takes one: `a flash`, `an exit screen`, `another ball screen`.
pub fn a(text: &str) -> String {
    if text.starts_with("another ") {
        text.to_owned()
    } else if text.starts_with(['a', 'e', 'i', 'o', 'u']) {
        format!("an {text}")
    } else {
        format!("a {text}")
    }
}

/// `8 Jan` of `2041-01-08`; a text that is no such day as it is.
pub fn day(date: &str) -> String {
    const MONTHS: [&str; 12] = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    let mut parts = date.split('-').skip(1).map(str::parse::<usize>);
    match (parts.next(), parts.next(), parts.next()) {
        (Some(Ok(month @ 1..=12)), Some(Ok(day)), None) => format!("{day}\u{a0}{}", MONTHS[month - 1]),
        _ => date.to_owned(),
    }
}

/// `1 game`, `3 games`, with a no-break space.
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n}\u{a0}{}", if n == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_begins_with_a_capital() {
        assert_eq!(sentence("élan"), "Élan");
        assert_eq!(sentence(""), "");
    }

    #[test]
    fn after_a_colon_a_name_keeps_its_capital() {
        assert_eq!(within("Of the ball screens"), "of the ball screens");
        assert_eq!(within("Ofelia, on the ball,"), "Ofelia, on the ball,");
    }

    #[test]
    fn an_article_goes_by_the_first_letter() {
        assert_eq!(
            ["flash", "exit screen", "another ball screen"].map(a),
            ["a flash", "an exit screen", "another ball screen"]
        );
    }

    #[test]
    fn a_day_is_said_without_its_year() {
        assert_eq!(day("2041-01-08"), "8\u{a0}Jan");
        assert_eq!(day("2041-13-08"), "2041-13-08");
        assert_eq!(day("soon"), "soon");
    }

    #[test]
    fn one_is_singular() {
        assert_eq!(count(1, "game", "games"), "1\u{a0}game");
        assert_eq!(count(0, "game", "games"), "0\u{a0}games");
    }
}
