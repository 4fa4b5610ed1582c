//! A season's tables: what teams do, what they do next, and whether disguise pays.

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{
    Coverage, Entry, Grouping, PayMeasure, PullMeasure, PullSubject, Question, RunResult, ScreenerAction,
    TeamSide,
};

tables! {
    /// How often one team does one thing, with the ball or against it.
    ///
    /// What `n` and `hits` count:
    ///
    /// | grouping | key | `n` | `hits` |
    /// |---|---|---|---|
    /// | `entry` | the entry; `ball_screen` of one that has none and follows another as a chain | all ball screens | those that came out of it |
    /// | `look` | the look, mirror images merged | times it came up | times the very next action was a ball screen |
    /// | `coverage` | the coverage | ball screens whose coverage is clear (for `unclear`: all) | those covered so |
    /// | `entry_coverage` | `ENTRY/COVERAGE` | ball screens out of the entry whose coverage is clear (`unclear`: all of the entry) | those covered so |
    /// | `pair` | `HANDLER/SCREENER` (`/` and `%` in an id are `%2F` and `%25`) | all ball screens | those of the pair |
    /// | `zone` | the screener's zone | all ball screens | those set there |
    ///
    /// A ball screen here is a row of `entries`. Rows of side `defense` count what the team's opponents did against it.
    TendencyRow = "tendencies" of Season {
        /// The team.
        team_id: Id,
        /// With the ball or against it.
        side: TeamSide,
        /// What is counted by.
        grouping: Grouping,
        /// Which one.
        key: String,
        /// Games in which it came up.
        games: u32,
        /// How often it could have been.
        n: u32,
        /// How often it was.
        hits: u32,
        /// `hits / n`, or `expected_hits / n` where those are known.
        #[unit = "share, 0 to 1"]
        rate: f32,
        /// Lower 95 % bound (Wilson 1927).
        #[unit = "share, 0 to 1"]
        rate_low: f32,
        /// Upper 95 % bound.
        #[unit = "share, 0 to 1"]
        rate_high: f32,
        /// Points of the possessions with it, each possession once. Null: none of them has known points.
        points_per_play: Option<f32>,
        /// Lower 95 % bound. Null: as `points_per_play`.
        ppp_low: Option<f32>,
        /// Upper 95 % bound. Null: as `points_per_play`.
        ppp_high: Option<f32>,
        /// Looks only: entropy of the next action, "no further action" among them, with Miller's correction. Null: another grouping, or
        /// too few to know.
        next_action_entropy_bits: Option<f32>,
        /// Its lower 95 % bound. Null: as `next_action_entropy_bits`.
        #[unit = "bits"]
        entropy_low_bits: Option<f32>,
        /// Its upper 95 % bound. Null: as `next_action_entropy_bits`.
        #[unit = "bits"]
        entropy_high_bits: Option<f32>,
        /// Possessions behind `points_per_play`.
        possessions: u32,
        /// `rate` with what is known of wrong tags taken into account (Rogan & Gladen 1978; `[season.tagging]`): looks by how often a
        /// ball screen is found, entries and coverages by how often each word is. Null: another grouping, or nothing is known.
        #[unit = "share, 0 to 1"]
        rate_adjusted: Option<f32>,
        /// Its lower 95 % bound, which also counts how few labels that is known from (Lang & Reiczigel 2014). Null: as `rate_adjusted`.
        #[unit = "share, 0 to 1"]
        rate_adjusted_low: Option<f32>,
        /// Its upper 95 % bound. Null: as `rate_adjusted`.
        #[unit = "share, 0 to 1"]
        rate_adjusted_high: Option<f32>,
        /// Coverages with `season.count = "expected"`: the sum of their probabilities over the `n` ball screens that have them. Null:
        /// another grouping, or counted by tags.
        #[unit = "ball screens"]
        expected_hits: Option<f32>,
    }
    /// After one coverage met one option and one side had the better of it: what came in the team's next run of the same set, by team
    /// and for the league. Of ball screens: a handoff is a run of the set in `sequences`, but neither is a pair here nor parts one.
    CounterRow = "counters" of Season {
        /// The team. Null: the whole league.
        team_id: Option<Id>,
        /// `offense`: `next` is the option the team went to. `defense`: `next` is the coverage it went to.
        side: TeamSide,
        /// How the run was covered.
        coverage: Coverage,
        /// What the offence made of it: screener's and handler's action; `any` for all together.
        option: String,
        /// Which side had the better of it.
        result: RunResult,
        /// What came in the next run.
        next: String,
        /// Games in which the pair of runs came up.
        games: u32,
        /// Pairs of runs that began so.
        n: u32,
        /// Those that went on so.
        hits: u32,
        /// `hits / n`.
        #[unit = "share, 0 to 1"]
        rate: f32,
        /// Lower 95 % bound (Wilson 1927).
        #[unit = "share, 0 to 1"]
        rate_low: f32,
        /// Upper 95 % bound.
        #[unit = "share, 0 to 1"]
        rate_high: f32,
        /// `rate` with what is known of wrongly read coverages taken into account (`[season.tagging.coverage]`): of this run's, and, for
        /// the defence, of the next one's. Null: one of them has fewer than ten labels, one with more is read right in no more than
        /// 6 of 10 cases, or next to nothing is left to count.
        #[unit = "share, 0 to 1"]
        rate_adjusted: Option<f32>,
        /// Its lower 95 % bound, which also counts how few labels that is known from. Null: as `rate_adjusted`.
        #[unit = "share, 0 to 1"]
        rate_adjusted_low: Option<f32>,
        /// Its upper 95 % bound. Null: as `rate_adjusted`.
        #[unit = "share, 0 to 1"]
        rate_adjusted_high: Option<f32>,
    }
    /// How each team's ball screens differ from those of the other teams of its season: a row for each question and answer that enough
    /// ball screens are behind. Sides are the team's: `defense` is what its opponents did against it, or what its defenders did.
    AgainstLeagueRow = "against_league" of Season {
        /// The team.
        team_id: Id,
        /// With the ball or against it.
        side: TeamSide,
        /// What is asked, and of which ball screens.
        question: Question,
        /// Only ball screens out of this. Null: the question does not ask.
        entry: Option<Entry>,
        /// Only ball screens covered so. Null: the question does not ask.
        coverage: Option<Coverage>,
        /// Only ball screens whose screener did this. Null: the question does not ask.
        screener_action: Option<ScreenerAction>,
        /// Only those of this handler. Null: the question does not ask.
        handler_id: Option<Id>,
        /// Only those of this screener. Null: the question does not ask.
        screener_id: Option<Id>,
        /// Only those of this defender, of the handler or of the screener as the question has it. Null: the question does not ask.
        defender_id: Option<Id>,
        /// The answer that is counted: an entry, a coverage, an action, an outcome, ... Null: whether the offence had the better of it
        /// (points, or an open shot), or a mean.
        answer: Option<String>,
        /// Games in which there were such ball screens.
        games: u32,
        /// Such ball screens.
        n: u32,
        /// Those with the answer. Null: a mean.
        hits: Option<u32>,
        /// `hits / n`, or the mean.
        #[unit = "share, 0 to 1; or s, m, points"]
        value: f32,
        /// Lower 95 % bound: Wilson's, or of the mean; games hang together, and count for less where they do.
        #[unit = "share, 0 to 1; or s, m, points"]
        value_low: f32,
        /// Upper 95 % bound.
        #[unit = "share, 0 to 1; or s, m, points"]
        value_high: f32,
        /// The same of the other teams' ball screens together, or of the middle one of the other teams, whichever is nearer to the team's.
        #[unit = "share, 0 to 1; or s, m, points"]
        league: f32,
        /// The other teams' ball screens that are asked.
        league_n: u32,
        /// The same of all ball screens of the season that are asked, the team's own among them: one number for every team, and for either
        /// side. Null: a table of an older version.
        #[unit = "share, 0 to 1; or s, m, points"]
        all_teams: Option<f32>,
        /// The team's less the league's, drawn toward the mean of all that are compared by how far teams (pairs, defenders) lie apart.
        #[unit = "share, or s, m, points"]
        difference: f32,
        /// Lower 95 % bound.
        #[unit = "share, or s, m, points"]
        difference_low: f32,
        /// Upper 95 % bound.
        #[unit = "share, or s, m, points"]
        difference_high: f32,
        /// `difference` as an effect: Cohen's h of a share, of a mean in standard deviations. 0.2 is small, 0.5 medium.
        #[unit = "–"]
        effect: f32,
        /// How likely chance alone takes a team that is like the others so far from them.
        #[unit = "probability"]
        p_value: f64,
        /// The least share of false rows among all of the table with a `p_value` no larger (Benjamini & Hochberg 1995).
        #[unit = "share, 0 to 1"]
        q_value: f64,
        /// Such ball screens (with the answer: as many as the team had, or as the league would have had, whichever is more) in 100
        /// possessions of the team on that side.
        #[unit = "ball screens"]
        per_100_possessions: f32,
        /// Points of the possessions with the answer, each once. Null: none of them has known points.
        #[unit = "points"]
        points_per_play: Option<f32>,
        /// Points of the other possessions of these `n` ball screens, each once: those without the answer; of a mean, of the team's other
        /// possessions with a ball screen on that side. Null: none of them has known points.
        #[unit = "points"]
        points_without: Option<f32>,
        /// Lower 95 % bound of `points_per_play` less `points_without`, with the spread of all possessions with a ball screen. Null: one of the
        /// two is.
        #[unit = "points"]
        points_gain_low: Option<f32>,
        /// Upper 95 % bound. Null: as `points_gain_low`.
        #[unit = "points"]
        points_gain_high: Option<f32>,
        /// Points of these less points of all possessions with a ball screen, drawn toward the mean of the question's rows. Null: as `points_per_play`.
        #[unit = "points"]
        points_difference: Option<f32>,
        /// What it weighs for a reader: `|effect| · √per_100_possessions · (1 + |points_difference|)`, without the last factor where the
        /// answer is a result.
        #[unit = "–"]
        weight: f32,
        /// Its place among what sets the team apart, the weightiest 1. Null: `q_value` is above 0.02, or `effect` below 0.2, or a weightier row
        /// says the same or shows the same habit (`follows_rank`).
        rank: Option<u32>,
        /// The `rank` of the finding of the same team that this row follows from: the same habit, seen by another question or as its other
        /// side. Null: it has a `rank` of its own, or does not stand out.
        follows_rank: Option<u32>,
    }
    /// How disguised a ball screen or handoff was, by the games of earlier days: a row for each row of `entries` of the season.
    DisguiseRow = "disguises" of Season {
        /// The game.
        game_id: Id,
        /// The ball screen, as in `entries`.
        screen_id: u32,
        /// -log2 P(ball screen next), from this team's games before this one. Null: no game came before.
        surprise_bits: Option<f32>,
        /// There is an entry, and the team's record made another action likelier.
        disguised: bool,
        /// How much later than the median of their team in that coverage the screener's defender was in place
        /// (`entries.screener_defender_late_s`). Null: one of the two is not known.
        screener_defender_lag_s: Option<f32>,
    }
    /// What disguised ball screens brought against plain ones that came out of an entry too: points, share of open shots, lateness of the
    /// screener's defender; differences with bounds, by themselves and drawn toward the league.
    DisguisePayRow = "disguise_pay" of Season {
        /// The team. Null: the whole league.
        team_id: Option<Id>,
        /// What is compared.
        measure: PayMeasure,
        /// Disguised ones.
        disguised_n: u32,
        /// Plain ones.
        plain_n: u32,
        /// Mean (or rate) of the disguised. Null: there are none.
        #[unit = "of the measure"]
        disguised: Option<f32>,
        /// Mean (or rate) of the plain. Null: there are none.
        #[unit = "of the measure"]
        plain: Option<f32>,
        /// Disguised less plain. Null: too few of either.
        #[unit = "of the measure"]
        difference: Option<f32>,
        /// Lower 95 % bound. Null: as `difference`.
        #[unit = "of the measure"]
        difference_low: Option<f32>,
        /// Upper 95 % bound. Null: as `difference`.
        #[unit = "of the measure"]
        difference_high: Option<f32>,
        /// The difference drawn toward the league's, the more the fewer there are. Null: too few teams to know how teams differ.
        #[unit = "of the measure"]
        shrunk: Option<f32>,
        /// Lower 95 % bound. Null: as `shrunk`.
        #[unit = "of the measure"]
        shrunk_low: Option<f32>,
        /// Upper 95 % bound. Null: as `shrunk`.
        #[unit = "of the measure"]
        shrunk_high: Option<f32>,
    }
    /// How much farther defenders are off canonical position while an attacker without the ball moves than while they stand: of a player,
    /// a lineup, a team, or the league. From `pull_samples`, by pipelines that switch it on; an association, not a cause.
    PullRow = "pull" of Season {
        /// The team. Null: the whole league.
        team_id: Option<Id>,
        /// What the row is about.
        subject: PullSubject,
        /// The player's id, or the lineup as in `pull_samples`. Null: a team, or the league.
        key: Option<String>,
        /// Which residual.
        measure: PullMeasure,
        /// Games in which the subject had such possessions.
        games: u32,
        /// Possessions in which an attacker both moved and stood before the same defender.
        possessions: u32,
        /// Time of moving in them; of a lineup, team or league, of all their attackers together.
        moving_s: f64,
        /// Time of standing in them.
        standing_s: f64,
        /// Weight: the sum of m s / (m + s) over pairs of one defender and one attacker in one possession.
        weight_s: f64,
        /// The residual while moving.
        moving_m: f32,
        /// The residual while standing.
        standing_m: f32,
        /// The first less the second.
        change_m: f32,
        /// Lower 95 % bound (bootstrap over possessions, expanded percentiles). Null: too few possessions.
        change_low_m: Option<f32>,
        /// Upper 95 % bound. Null: too few possessions.
        change_high_m: Option<f32>,
    }
}
