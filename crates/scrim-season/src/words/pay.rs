//! Whether what sets a team apart pays, as a sentence.

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::TeamSide;

use super::said::Arg;
use super::translation::Words;
use crate::questions::is_result;

/// Whom the difference in points favours, when it is more than chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pays {
    Offense,
    Defense,
    Unclear,
}

/// Whether it pays, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pay {
    /// Whether the points differ by more than chance.
    pub is_clear: bool,
    /// The sentence, with both numbers.
    pub says: String,
}

impl Words {
    /// The points of the possessions with it beside those without, of the ball screens that the question asks about, and whether that is a
    /// difference; `None` where the answer is a result, or the points are not known.
    pub fn pay(&self, row: &AgainstLeagueRow) -> Option<Pay> {
        if is_result(row.question) {
            return None;
        }
        let (with, without) = (row.points_per_play?, row.points_without?);
        let (low, high) = (row.points_gain_low?, row.points_gain_high?);
        let pays = pays(low, high);
        let verdict = match (row.side, pays) {
            (TeamSide::Offense, Pays::Offense) => "pays",
            (TeamSide::Offense, Pays::Defense) => "pays-not",
            // As many, as far as two digits show.
            (_, Pays::Unclear) if (with - without).abs() < 0.005 => "alike",
            (TeamSide::Offense, Pays::Unclear) if with > without => "more-brought",
            (TeamSide::Offense, Pays::Unclear) => "less-brought",
            (TeamSide::Defense, Pays::Offense) => "costs",
            (TeamSide::Defense, Pays::Defense) => "helps",
            (TeamSide::Defense, Pays::Unclear) if with > without => "more-given-up",
            (TeamSide::Defense, Pays::Unclear) => "less-given-up",
        };
        let points = |value: f32| self.decimal(value.into(), 2).into();
        let signed = |value: f32| self.signed(value.into(), 2).into();
        Some(Pay {
            is_clear: pays != Pays::Unclear,
            says: self.say(
                "pay",
                &[
                    ("verdict", Arg::Word(verdict)),
                    (
                        "of",
                        Arg::Word(if row.hits.is_some() { "answer" } else { "mean" }),
                    ),
                    ("with", points(with)),
                    ("without", points(without)),
                    ("low", signed(low)),
                    ("high", signed(high)),
                ],
            ),
        })
    }
}

fn pays(low: f32, high: f32) -> Pays {
    if low > 0.0 {
        Pays::Offense
    } else if high < 0.0 {
        Pays::Defense
    } else {
        Pays::Unclear
    }
}

/// Whether the points say that the offence does worse with it.
pub(super) fn fails(row: &AgainstLeagueRow) -> bool {
    favours(row) == Some(Pays::Defense)
}

/// Whether the points say that the offence does better with it.
pub(super) fn succeeds(row: &AgainstLeagueRow) -> bool {
    favours(row) == Some(Pays::Offense)
}

fn favours(row: &AgainstLeagueRow) -> Option<Pays> {
    let (low, high) = row.points_gain_low.zip(row.points_gain_high)?;
    Some(pays(low, high))
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;
    use scrim_tables::tags::Question;

    use super::*;

    fn row(side: TeamSide, [with, without, low, high]: [f32; 4]) -> AgainstLeagueRow {
        AgainstLeagueRow {
            side,
            question: Question::ScreenerAction,
            hits: Some(10),
            points_per_play: Some(with),
            points_without: Some(without),
            points_gain_low: Some(low),
            points_gain_high: Some(high),
            ..Row::blank()
        }
    }

    #[test]
    fn a_coach_reads_whether_it_pays_and_for_whom() {
        let [more, less, alike] = [
            [1.25, 1.0, 0.05, 0.45],
            [0.75, 1.0, -0.45, -0.05],
            [1.0, 1.0, -0.2, 0.2],
        ];
        let said = |side, numbers| Words::english().pay(&row(side, numbers)).unwrap().says;
        assert_eq!(
            said(TeamSide::Offense, more),
            "It pays: 1.25 points a possession with it, 1.00 on the others of these ball screens (difference +0.05 to +0.45)."
        );
        assert_eq!(
            said(TeamSide::Defense, less),
            "It helps them: 0.75 points a possession with it, 1.00 on the others of these ball screens (difference -0.45 to -0.05)."
        );
        let late = AgainstLeagueRow {
            question: Question::DefenderLate,
            hits: None,
            ..row(TeamSide::Defense, more)
        };
        assert_eq!(
            Words::english().pay(&late).unwrap().says,
            "It costs them: 1.25 points a possession on these ball screens, 1.00 on the team's others (difference +0.05 to +0.45)."
        );
        assert!(said(TeamSide::Offense, less).starts_with("It does not pay: "));
        assert!(said(TeamSide::Defense, more).starts_with("It costs them: "));
        let [maybe_more, maybe_less] = [[1.1, 1.0, -0.1, 0.3], [0.9, 1.0, -0.3, 0.1]];
        for (side, numbers, verdict) in [
            (
                TeamSide::Offense,
                maybe_more,
                "It has brought more so far, which may be chance: ",
            ),
            (
                TeamSide::Offense,
                maybe_less,
                "It has brought less so far, which may be chance: ",
            ),
            (
                TeamSide::Defense,
                maybe_more,
                "It has given up more so far, which may be chance: ",
            ),
            (
                TeamSide::Defense,
                maybe_less,
                "It has given up less so far, which may be chance: ",
            ),
            (TeamSide::Defense, alike, "It has made no difference so far: "),
        ] {
            let said = said(side, numbers);
            assert!(said.starts_with(verdict), "{said}");
        }
    }

    #[test]
    fn of_a_result_or_of_points_that_are_not_known_nothing_is_said() {
        let known = row(TeamSide::Offense, [1.25, 1.0, 0.05, 0.45]);
        let result = AgainstLeagueRow {
            question: Question::CoverageBeat,
            ..known.clone()
        };
        let alone = AgainstLeagueRow {
            points_without: None,
            ..known
        };
        let words = Words::english();
        assert_eq!((words.pay(&result), words.pay(&alone)), (None, None));
    }
}
