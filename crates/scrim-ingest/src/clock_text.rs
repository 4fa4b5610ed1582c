//! Times written as text: clocks and ISO 8601 dates with a time.

use chrono::NaiveDate;

/// Seconds of `mm:ss.s`, `h:mm:ss.s` or plain seconds; `None` for anything else.
pub(crate) fn parse_clock_s(text: &str) -> Option<f64> {
    let mut seconds = 0.0;
    let parts: Vec<&str> = text.trim().split(':').collect();
    if parts.len() > 3 {
        return None;
    }
    for (i, part) in parts.iter().enumerate() {
        let is_last = i + 1 == parts.len();
        let plain = |b: u8| b.is_ascii_digit() || (is_last && b == b'.');
        if part.is_empty() || !part.bytes().all(plain) {
            return None;
        }
        let value: f64 = part.parse().ok()?;
        // Minutes and seconds after a colon stay under 60; what stands first may be any number.
        if i > 0 && value >= 60.0 {
            return None;
        }
        seconds = seconds * 60.0 + value;
    }
    Some(seconds)
}

/// Seconds since 1970-01-01T00:00:00Z of an ISO 8601 date and time (`T` or a space between; `Z`, `±hh:mm`, `±hhmm` or
/// nothing, which counts as `Z`, at the end); `None` for anything else. Days from the civil date by the algorithm of
/// H. Hinnant, "chrono-Compatible Low-Level Date Algorithms" (2013), `days_from_civil`.
pub(crate) fn parse_iso_s(text: &str) -> Option<f64> {
    let text = text.trim();
    if !text.is_ascii() || text.len() < 16 || !matches!(text.as_bytes()[10], b'T' | b't' | b' ') {
        return None;
    }
    let (date, time) = (&text[..10], &text[11..]);
    let digits = |part: &str| -> Option<i64> {
        if part.is_empty() || !part.bytes().all(|b| b.is_ascii_digit()) {
            None
        } else {
            part.parse().ok()
        }
    };
    let (year, month, day) = match date.as_bytes() {
        [_, _, _, _, b'-', _, _, b'-', _, _] => {
            (digits(&date[..4])?, digits(&date[5..7])?, digits(&date[8..])?)
        }
        _ => return None,
    };
    if !(1..=12).contains(&month) || !(1..=31).contains(&day) {
        return None;
    }
    let (time, offset_s) = match time.find(['Z', 'z', '+', '-']) {
        None => (time, 0),
        Some(at) => {
            let (time, zone) = time.split_at(at);
            let offset_s = match zone.as_bytes()[0] {
                b'Z' | b'z' if zone.len() == 1 => 0,
                sign @ (b'+' | b'-') => {
                    let zone: String = zone[1..].chars().filter(|c| *c != ':').collect();
                    let (hours, minutes) = match zone.len() {
                        2 => (digits(&zone)?, 0),
                        4 => (digits(&zone[..2])?, digits(&zone[2..])?),
                        _ => return None,
                    };
                    (if sign == b'+' { 1 } else { -1 }) * (hours * 3600 + minutes * 60)
                }
                _ => return None,
            };
            (time, offset_s)
        }
    };
    let of_day_s = parse_clock_s(time).filter(|_| time.matches(':').count() >= 1)?;
    // `hh:mm` alone counts in minutes here, where a clock's `mm:ss` counts in seconds.
    let of_day_s = if time.matches(':').count() == 1 {
        of_day_s * 60.0
    } else {
        of_day_s
    };
    if of_day_s >= 86_401.0 {
        return None;
    }
    let y = if month <= 2 { year - 1 } else { year };
    let era = y.div_euclid(400);
    let year_of_era = y.rem_euclid(400);
    let day_of_year = (153 * (month + if month > 2 { -3 } else { 9 }) + 2) / 5 + day - 1;
    let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    let days = era * 146_097 + day_of_era - 719_468;
    Some((days * 86_400 - offset_s) as f64 + of_day_s)
}

/// The day, as `YYYY-MM-DD`, of an ISO 8601 calendar date (`YYYY-MM-DD` or `YYYYMMDD`), alone or with a time after it; `None`
/// for anything else, and for a day that no calendar has.
pub(crate) fn parse_day(text: &str) -> Option<String> {
    let text = text.trim();
    let date = match text.split_once(['T', 't', ' ']) {
        None => text,
        Some((date, time)) => {
            let time = time.trim();
            let is_time = time.as_bytes().first().is_some_and(u8::is_ascii_digit)
                && time
                    .bytes()
                    .all(|byte| byte.is_ascii_digit() || b":.,+-Zz".contains(&byte));
            if !is_time {
                return None;
            }
            date
        }
    };
    let digits: String = match date.as_bytes() {
        [_, _, _, _, b'-', _, _, b'-', _, _] => date.split('-').collect(),
        _ => date.into(),
    };
    if digits.len() != 8 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let day = NaiveDate::from_ymd_opt(
        digits[..4].parse().ok()?,
        digits[4..6].parse().ok()?,
        digits[6..].parse().ok()?,
    )?;
    Some(day.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn clocks_are_minutes_and_seconds() {
        assert_eq!(parse_clock_s("11:58.5"), Some(718.5));
        assert_eq!(parse_clock_s("1:02:03.25"), Some(3723.25));
        assert_eq!(parse_clock_s(" 24 "), Some(24.0));
        for bad in ["", ":", "1:60", "a:b", "1:2:3:4", "-1:00", "1e3", "1.5:30", "."] {
            assert_eq!(parse_clock_s(bad), None, "{bad}");
        }
    }

    #[test]
    fn days_are_calendar_dates_of_iso_8601() {
        for (text, expected) in [
            ("2041-03-02", Some("2041-03-02")),
            (" 20410302 ", Some("2041-03-02")),
            ("2041-03-02T19:30:00Z", Some("2041-03-02")),
            ("2041-03-02 19:30:00.5+01:00", Some("2041-03-02")),
            ("20410302T193000Z", Some("2041-03-02")),
            ("2044-02-29", Some("2044-02-29")),
            ("2041-02-29", None),
            ("2100-02-29", None),
            ("2041-13-01", None),
            ("2041-00-01", None),
            ("2041-04-31", None),
            ("02/03/2041", None),
            ("2041/03/02", None),
            ("2041-3-2", None),
            ("2041-03", None),
            ("2 March 2041", None),
            ("2041-03-02 in the evening", None),
            ("2041-03-02T", None),
            ("é041-03-0", None),
            ("", None),
        ] {
            assert_eq!(parse_day(text).as_deref(), expected, "{text}");
        }
    }

    #[test]
    fn iso_times_are_seconds_since_1970() {
        // 2000-03-01 is day 11 017: 30 years of 365 days, 7 leap days (1972 … 1996), 31 + 29 days of 2000.
        assert_eq!(
            parse_iso_s("2000-03-01T00:00:01.5Z"),
            Some(11_017.0 * 86_400.0 + 1.5)
        );
        assert_eq!(parse_iso_s("1970-01-01 01:00:00+01:00"), Some(0.0));
        assert_eq!(parse_iso_s("1970-01-02T00:30-0030"), Some(86_400.0 + 3600.0));
        for bad in [
            "",
            "2000-13-01T00:00:00Z",
            "2000-01-01",
            "2000/01/01T00:00:00",
            "2000-01-01T1",
            "é000-01-01T00:00",
        ] {
            assert_eq!(parse_iso_s(bad), None, "{bad}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_them_panic(text in "\\PC{0,40}", near in "[0-9TZ:. +-]{0,30}") {
            for text in [&text, &near] {
                let _ = (parse_clock_s(text), parse_iso_s(text));
            }
        }
    }
}
