//! Capitals, numbers, days and clocks.

use super::translation::Words;
use crate::clock::{When, minutes};

/// The text with a capital first letter.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl Words {
    /// `1.05`
    pub fn decimal(&self, value: f64, digits: usize) -> String {
        self.marked(format!("{value:.digits$}"))
    }

    /// `+0.05`
    pub fn signed(&self, value: f64, digits: usize) -> String {
        self.marked(format!("{value:+.digits$}"))
    }

    /// With the language's own mark between whole numbers and decimals.
    fn marked(&self, number: String) -> String {
        match self.text("decimal-mark") {
            "." => number,
            mark => number.replace('.', mark),
        }
    }

    /// `62 %`
    pub fn percent(&self, percent: f64, digits: usize) -> String {
        self.say("percent", &[("number", self.decimal(percent, digits).into())])
    }

    /// `54–70 %`
    pub fn percent_range(&self, low: f64, high: f64) -> String {
        let number = |percent: f64| self.decimal(percent, 0).into();
        self.say("percent-range", &[("low", number(low)), ("high", number(high))])
    }

    /// `1 game`, `3 games`: the message of a thing that is counted.
    pub fn count(&self, key: &str, n: usize) -> String {
        self.say(key, &[("n", n.into())])
    }

    /// `8 Jan` of `2041-01-08`; a text that is no such day as it is.
    pub fn day(&self, date: &str) -> String {
        let mut parts = date.split('-').skip(1).map(str::parse::<usize>);
        match (parts.next(), parts.next(), parts.next()) {
            (Some(Ok(month @ 1..=12)), Some(Ok(day)), None) => {
                self.say("day", &[("day", day.into()), ("month", month.into())])
            }
            _ => date.to_owned(),
        }
    }

    /// Period and game clock, `P2 4:31`; without a clock, the time since the period's first frame, `P2 5:29 in`.
    pub fn when(&self, when: &When) -> String {
        let period = ("period", when.period.into());
        match when.game_clock() {
            Some(clock) => self.say("period-clock", &[period, ("clock", clock.into())]),
            None => self.say("period-since", &[period, ("time", minutes(when.t_s).into())]),
        }
    }

    /// The same with the time in the video, where it is known: `P2 4:31 (video 1:02:03)`.
    pub fn when_with_video(&self, when: &When) -> String {
        let text = self.when(when);
        match when.video_time() {
            Some(video) => self.say("with-video", &[("when", text.into()), ("video", video.into())]),
            None => text,
        }
    }
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
    fn a_day_is_said_without_its_year() {
        let words = Words::english();
        assert_eq!(words.day("2041-01-08"), "8\u{a0}Jan");
        assert_eq!(words.day("2041-12-31"), "31\u{a0}Dec");
        assert_eq!(words.day("2041-13-08"), "2041-13-08");
        assert_eq!(words.day("soon"), "soon");
    }

    #[test]
    fn one_is_singular() {
        let words = Words::english();
        assert_eq!(words.count("games", 1), "1\u{a0}game");
        assert_eq!(words.count("games", 0), "0\u{a0}games");
    }

    #[test]
    fn decimals_are_marked_as_in_the_language() {
        let words = Words::translated("language = de\ndecimal-mark = ,\n")
            .unwrap()
            .words;
        assert_eq!(words.decimal(1.25, 2), "1,25");
        assert_eq!(words.signed(0.5, 1), "+0,5");
        assert_eq!(words.percent(0.4, 1), "0,4\u{a0}%");
        assert_eq!(Words::english().percent(62.0, 0), "62\u{a0}%");
    }

    #[test]
    fn an_instant_is_said_as_it_is_known() {
        let words = Words::english();
        let when = |game_clock_s, video_s| When {
            period: 2,
            t_s: 65.9,
            game_clock_s,
            video_s,
        };
        // 4 · 60 + 45 = 285; 3600 + 125 s of the video.
        let known = when(Some(285.0), Some(3725.0));
        assert_eq!(words.when(&known), "P2 4:45");
        assert_eq!(words.when_with_video(&known), "P2 4:45 (video 1:02:05)");
        assert_eq!(words.when_with_video(&when(None, None)), "P2 1:05 in");
    }
}
