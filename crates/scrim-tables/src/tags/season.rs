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
