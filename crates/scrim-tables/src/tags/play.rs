//! What a possession, a touch and a track are.

use super::tag::tags;

tags! {
    /// Whether a possession got into its half-court shape.
    Phase {
        /// Ball and at least four attackers have been past half court.
        HalfCourt = "half_court",
        /// Anything before that, or a possession that ended before it.
        Transition = "transition",
    }
    /// How a possession ended.
    EndKind {
        /// A made field goal.
        ShotMade = "shot_made",
        /// A missed field goal, rebounded by the defence.
        ShotMissed = "shot_missed",
        /// The ball was lost.
        Turnover = "turnover",
        /// A foul stopped it.
        Foul = "foul",
        /// The ball went dead for another reason.
        DeadBall = "dead_ball",
        /// The period ended.
        PeriodEnd = "period_end",
        /// It is not known.
        Unknown = "unknown",
    }
    /// How a player's spell of control ended.
    TouchEnd {
        /// A pass.
        Pass = "pass",
        /// A handoff.
        Handoff = "handoff",
        /// A shot.
        Shot = "shot",
        /// The ball was lost.
        Loss = "loss",
        /// The ball went dead.
        DeadBall = "dead_ball",
    }
    /// Whose track a row of `tracks` is.
    Entity {
        /// An attacker's.
        Offense = "offense",
        /// A defender's.
        Defense = "defense",
        /// The ball's.
        Ball = "ball",
    }
}
