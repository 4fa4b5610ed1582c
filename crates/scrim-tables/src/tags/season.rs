//! What a season's rows are about.

use super::tag::tags;

tags! {
    /// Whether a season row is about what a team does with the ball or against it.
    TeamSide {
        /// With the ball.
        Offense = "offense",
        /// Against it.
        Defense = "defense",
    }
    /// What a season's tendencies are counted by.
    Grouping {
        /// The action that a ball screen came out of.
        Entry = "entry",
        /// Alignment and actions so far, mirror images merged.
        Look = "look",
        /// How a ball screen was covered.
        Coverage = "coverage",
        /// Both together.
        EntryCoverage = "entry_coverage",
        /// Handler and screener.
        Pair = "pair",
        /// Where the screener stood.
        Zone = "zone",
    }
    /// What a row of `against_league` asks of ball screens, and of which ones.
    Question {
        /// What it came out of; of all.
        Entry = "entry",
        /// What it came out of and the side of the floor, `ENTRY/SIDE`; of all.
        EntrySide = "entry_side",
        /// The side of the floor; of all.
        Side = "side",
        /// How it was covered; of those whose coverage is clear.
        Coverage = "coverage",
        /// What the screener did; of those of one coverage.
        ScreenerAction = "screener_action",
        /// What the handler did; of those of one coverage.
        HandlerAction = "handler_action",
        /// Whether the offence had the better of it; of those of one coverage.
        CoverageBeat = "coverage_beat",
        /// Whether the offence had the better of it; of those of one coverage and one action of the screener.
        ActionBeat = "action_beat",
        /// Points of its possession; of the last ones of their possessions, of one coverage.
        CoveragePoints = "coverage_points",
        /// Whether a shot came of it that was open; of those of one coverage.
        CoverageOpenShot = "coverage_open_shot",
        /// Whether the screener shot within 1.5 m of the hoop; of those of one coverage.
        CoverageScreenerAtRim = "coverage_screener_at_rim",
        /// Whether a three-pointer from a corner came of it; of those of one coverage.
        CoverageCornerThree = "coverage_corner_three",
        /// Whether its possession ended in a turnover; of the last ones of their possessions, of one coverage.
        CoverageTurnover = "coverage_turnover",
        /// What became of it; of those of one handler and screener. A flip and the screen that it turned into are one, `flipped`.
        PairOutcome = "pair_outcome",
        /// How the handler's defender went; of those of one such defender.
        DefenderPath = "defender_path",
        /// How late the screener's defender was, s; of those of one such defender and one entry.
        DefenderLate = "defender_late",
        /// How far the screener's defender was from where they belong when the screen was set, m; of those of one such defender and one
        /// entry.
        DefenderGap = "defender_gap",
    }
    /// Which side had the better of a run of a set.
    RunResult {
        /// The offence: points, or an open shot.
        Beat = "beat",
        /// The defence: neither.
        Beaten = "beaten",
    }
    /// What disguised and plain ball screens are compared by.
    PayMeasure {
        /// Points of the possession.
        PointsPerPlay = "points_per_play",
        /// Share of the shots that were open.
        OpenShotRate = "open_shot_rate",
        /// How much later than their team's median the screener's defender was in place, s.
        DefenderLag = "defender_lag_s",
    }
    /// Whom a row of `pull` is about.
    PullSubject {
        /// Every attacker of every team.
        League = "league",
        /// The attackers of one team.
        Team = "team",
        /// Five attackers who were on the floor together.
        Lineup = "lineup",
        /// One attacker.
        Player = "player",
    }
    /// Which residual a row of `pull` is about.
    PullMeasure {
        /// The distance of the attacker's own defender from canonical position. One who only reacts is late: that lag is in it.
        OwnDefender = "own_defender",
        /// The same, from canonical position as it was earlier by the defender's lag: what following late does not explain.
        OwnDefenderLate = "own_defender_late",
        /// The distance from canonical position of the other off-ball defenders whose own players stand.
        OtherDefenders = "other_defenders",
        /// How far these are off canonical position toward the attacker; away is negative.
        OtherDefendersToward = "other_defenders_toward",
    }
}
