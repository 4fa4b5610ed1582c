//! The columns that labels may have, table by table, and how each is judged.

use scrim_floor::{Side, Zone};
use scrim_tables::tags::{
    Activity, Alignment, Coverage, CutKind, EndKind, Entry, EntryRole, HandlerAction, HelperAction,
    OnBallPath, Outcome, PassTarget, Phase, ScreenKind, ScreenerAction,
};

/// What a column holds and so how it is judged.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kind {
    /// Places the row or links it to another: read, never judged as a value. Text.
    Key,
    /// An id that links rows (of the same folder, in labels): read, judged by where it leads. Text.
    Link,
    /// A number that places the row and is not judged.
    KeyNumber,
    /// Yes or no that places the row and is not judged.
    KeyFlag,
    /// A time or other number, judged by how far off it is.
    Number,
    /// One of the vocabulary's words, judged as a class.
    Tag(fn() -> Vec<&'static str>),
    /// Yes or no, judged as a class.
    Flag,
    /// A small whole number, judged as a class.
    Count,
    /// A player's or team's id, right or not.
    Id,
    /// Free text, the same or not.
    Phrase,
}

/// One column.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ColumnSpec {
    pub name: &'static str,
    pub kind: Kind,
}

/// One table of labels.
#[derive(Debug)]
pub(crate) struct TableSpec {
    pub name: &'static str,
    pub columns: &'static [ColumnSpec],
    /// Columns, and cells of them, without which a row cannot be placed.
    pub needed: &'static [&'static str],
    /// The column whose empty cell makes the row a zone of doubt.
    pub main_word: Option<&'static str>,
    /// Spots on the floor, judged by distance: a name, the column of x, the column of y.
    pub spots: &'static [(&'static str, &'static str, &'static str)],
}

const fn column(name: &'static str, kind: Kind) -> ColumnSpec {
    ColumnSpec { name, kind }
}

fn phases() -> Vec<&'static str> {
    Phase::WORDS.to_vec()
}
fn end_kinds() -> Vec<&'static str> {
    EndKind::WORDS.to_vec()
}
fn screen_kinds() -> Vec<&'static str> {
    ScreenKind::WORDS.to_vec()
}
fn outcomes() -> Vec<&'static str> {
    Outcome::WORDS.to_vec()
}
fn zones() -> Vec<&'static str> {
    Zone::ALL.iter().map(|zone| zone.as_str()).collect()
}
fn sides() -> Vec<&'static str> {
    [Side::Left, Side::Middle, Side::Right]
        .iter()
        .map(|side| side.as_str())
        .collect()
}
fn coverages() -> Vec<&'static str> {
    Coverage::WORDS.to_vec()
}
fn on_ball_paths() -> Vec<&'static str> {
    OnBallPath::WORDS.to_vec()
}
fn helper_actions() -> Vec<&'static str> {
    HelperAction::WORDS.to_vec()
}
fn screener_actions() -> Vec<&'static str> {
    ScreenerAction::WORDS.to_vec()
}
fn handler_actions() -> Vec<&'static str> {
    HandlerAction::WORDS.to_vec()
}
fn pass_targets() -> Vec<&'static str> {
    PassTarget::WORDS.to_vec()
}
fn cut_kinds() -> Vec<&'static str> {
    CutKind::WORDS.to_vec()
}
fn activities() -> Vec<&'static str> {
    Activity::WORDS.to_vec()
}
fn alignments() -> Vec<&'static str> {
    Alignment::WORDS.to_vec()
}
fn entries() -> Vec<&'static str> {
    Entry::WORDS.to_vec()
}
fn entry_roles() -> Vec<&'static str> {
    EntryRole::WORDS.to_vec()
}

/// How fully the off-ball screens of a game were labelled.
pub(crate) const ALL: &str = "all";
/// Only the off-ball screens that nobody would doubt: another one that is found is not known to be false.
pub(crate) const PLAIN_ONLY: &str = "plain_only";

fn off_ball_extents() -> Vec<&'static str> {
    vec![ALL, PLAIN_ONLY]
}

/// `labelled`: the games that somebody labelled, those without any row in a table too. No table of a run has this name.
pub(crate) const LABELLED: TableSpec = TableSpec {
    name: "labelled",
    columns: &[
        column("game_id", Kind::Key),
        column("off_ball_screens", Kind::Tag(off_ball_extents)),
    ],
    needed: &["game_id"],
    main_word: None,
    spots: &[],
};

/// All tables that labels may have, in the report's order.
pub(crate) const LABEL_TABLES: &[TableSpec] = &[
    POSSESSIONS,
    MATCHUPS,
    SCREENS,
    COVERAGES,
    OPTIONS,
    ENTRIES,
    OFF_BALL_MOTION,
    CUTS,
];

/// `possessions`.
pub(crate) const POSSESSIONS: TableSpec = TableSpec {
    name: "possessions",
    columns: &[
        column("game_id", Kind::Key),
        column("period", Kind::KeyNumber),
        column("possession_id", Kind::Link),
        column("t_start_s", Kind::Number),
        column("t_end_s", Kind::Number),
        column("game_clock_start_s", Kind::Number),
        column("game_clock_end_s", Kind::Number),
        column("offense_team_id", Kind::Key),
        column("defense_team_id", Kind::Id),
        column("attacks_positive_x", Kind::Flag),
        column("phase", Kind::Tag(phases)),
        column("t_half_court_s", Kind::Number),
        column("end_kind", Kind::Tag(end_kinds)),
        column("points", Kind::Count),
        column("points_inferred", Kind::Flag),
        column("alignment", Kind::Tag(alignments)),
        column("token_chain", Kind::Phrase),
        column("ball_screen_count", Kind::Count),
        column("clean", Kind::Flag),
    ],
    needed: &["game_id", "period", "t_start_s", "t_end_s", "offense_team_id"],
    main_word: Some("phase"),
    spots: &[],
};

/// `matchups`.
pub(crate) const MATCHUPS: TableSpec = TableSpec {
    name: "matchups",
    columns: &[
        column("game_id", Kind::Key),
        column("period", Kind::KeyNumber),
        column("possession_id", Kind::Link),
        column("defender_id", Kind::Key),
        column("offender_id", Kind::Key),
        column("t_start_s", Kind::KeyNumber),
        column("t_end_s", Kind::KeyNumber),
        column("mean_gap_m", Kind::KeyNumber),
        column("confidence", Kind::KeyNumber),
    ],
    needed: &[
        "game_id",
        "period",
        "defender_id",
        "offender_id",
        "t_start_s",
        "t_end_s",
    ],
    main_word: None,
    spots: &[],
};

/// `screens`.
pub(crate) const SCREENS: TableSpec = TableSpec {
    name: "screens",
    columns: &[
        column("game_id", Kind::Key),
        column("period", Kind::KeyNumber),
        column("possession_id", Kind::Link),
        column("screen_id", Kind::Link),
        // Which of the two sections a row belongs to, so not judged inside one.
        column("on_ball", Kind::KeyFlag),
        column("screen_kind", Kind::Tag(screen_kinds)),
        column("outcome", Kind::Tag(outcomes)),
        column("screener_id", Kind::Key),
        column("user_id", Kind::Key),
        column("screener_defender_id", Kind::Id),
        column("user_defender_id", Kind::Id),
        column("t_set_s", Kind::Number),
        column("t_use_s", Kind::Number),
        column("t_end_s", Kind::Number),
        column("x_m", Kind::KeyNumber),
        column("y_m", Kind::KeyNumber),
        column("zone", Kind::Tag(zones)),
        column("side", Kind::Tag(sides)),
        column("strong_side", Kind::Flag),
        column("previous_screen_id", Kind::Link),
        column("confidence", Kind::KeyNumber),
        column("screener_speed_mps", Kind::Number),
        column("user_gap_m", Kind::Number),
        column("defender_gap_m", Kind::Number),
        column("angle_deg", Kind::Number),
        column("early_denial", Kind::Flag),
    ],
    needed: &["game_id", "period", "screener_id", "user_id", "t_use_s"],
    main_word: Some("screen_kind"),
    spots: &[("spot_m", "x_m", "y_m")],
};

/// `coverages`.
pub(crate) const COVERAGES: TableSpec = TableSpec {
    name: "coverages",
    columns: &[
        column("game_id", Kind::Key),
        column("period", Kind::KeyNumber),
        column("possession_id", Kind::Link),
        column("screen_id", Kind::Link),
        column("coverage", Kind::Tag(coverages)),
        column("on_ball_path", Kind::Tag(on_ball_paths)),
        column("helper_id", Kind::Id),
        column("helper_action", Kind::Tag(helper_actions)),
        column("confidence", Kind::KeyNumber),
        column("depth_m", Kind::Number),
        column("beyond_m", Kind::Number),
        column("both_close_s", Kind::Number),
        column("on_ball_side_m", Kind::Number),
        column("matchup_swap_s", Kind::Number),
        column("recover_s", Kind::Number),
    ],
    needed: &["game_id", "screen_id"],
    main_word: None,
    spots: &[],
};

/// `options`.
pub(crate) const OPTIONS: TableSpec = TableSpec {
    name: "options",
    columns: &[
        column("game_id", Kind::Key),
        column("period", Kind::KeyNumber),
        column("possession_id", Kind::Link),
        column("screen_id", Kind::Link),
        column("screener_action", Kind::Tag(screener_actions)),
        column("handler_action", Kind::Tag(handler_actions)),
        column("pass_target", Kind::Tag(pass_targets)),
        column("receiver_id", Kind::Id),
        column("t_pass_s", Kind::Number),
        column("shooter_id", Kind::Id),
        column("shot_x_m", Kind::KeyNumber),
        column("shot_y_m", Kind::KeyNumber),
        column("shot_value", Kind::Count),
        column("space_m", Kind::Number),
        column("screener_space_m", Kind::Number),
        column("handler_space_m", Kind::Number),
        column("points", Kind::Count),
    ],
    needed: &["game_id", "screen_id"],
    main_word: None,
    spots: &[("shot_spot_m", "shot_x_m", "shot_y_m")],
};

/// `entries`.
pub(crate) const ENTRIES: TableSpec = TableSpec {
    name: "entries",
    columns: &[
        column("game_id", Kind::Key),
        column("period", Kind::KeyNumber),
        column("possession_id", Kind::Link),
        column("screen_id", Kind::Link),
        column("alignment", Kind::Tag(alignments)),
        column("look", Kind::Phrase),
        column("set_key", Kind::Phrase),
        column("entry", Kind::Tag(entries)),
        column("entry_role", Kind::Tag(entry_roles)),
        column("flow_gap_s", Kind::Number),
        column("surprise_bits", Kind::Number),
        column("disguised", Kind::Flag),
        column("screener_defender_gap_m", Kind::Number),
        column("handler_defender_gap_m", Kind::Number),
        column("screener_defender_lag_s", Kind::Number),
        column("bumped", Kind::Flag),
        column("went_under_entry", Kind::Flag),
        column("screener_defender_late_s", Kind::Number),
    ],
    needed: &["game_id", "screen_id"],
    main_word: None,
    spots: &[],
};

/// `off_ball_motion`.
pub(crate) const OFF_BALL_MOTION: TableSpec = TableSpec {
    name: "off_ball_motion",
    columns: &[
        column("game_id", Kind::Key),
        column("period", Kind::KeyNumber),
        column("possession_id", Kind::Link),
        column("screen_id", Kind::Link),
        column("player_id", Kind::Key),
        column("strong_side", Kind::Flag),
        column("activity", Kind::Tag(activities)),
        column("path_m", Kind::Number),
        column("net_m", Kind::Number),
        column("mean_speed_mps", Kind::Number),
        column("peak_speed_mps", Kind::Number),
        column("moving_share", Kind::Number),
        column("defender_id", Kind::Id),
        column("defender_pull_m", Kind::Number),
        column("max_space_m", Kind::Number),
        column("t_max_space_s", Kind::Number),
    ],
    needed: &["game_id", "screen_id", "player_id"],
    main_word: None,
    spots: &[],
};

/// `cuts`.
pub(crate) const CUTS: TableSpec = TableSpec {
    name: "cuts",
    columns: &[
        column("game_id", Kind::Key),
        column("period", Kind::KeyNumber),
        column("possession_id", Kind::Link),
        column("cut_id", Kind::Link),
        column("player_id", Kind::Key),
        column("cut_kind", Kind::Tag(cut_kinds)),
        column("t_start_s", Kind::Number),
        column("t_end_s", Kind::Number),
        column("zone_from", Kind::Tag(zones)),
        column("zone_to", Kind::Tag(zones)),
        column("strong_side", Kind::Flag),
        column("screen_id", Kind::Link),
        column("peak_speed_mps", Kind::Number),
        column("path_m", Kind::Number),
    ],
    needed: &["game_id", "period", "player_id", "t_start_s", "t_end_s"],
    main_word: Some("cut_kind"),
    spots: &[],
};
