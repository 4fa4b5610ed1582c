//! The shapes of one game, from its tables.

use std::collections::{BTreeMap, BTreeSet};

use scrim_season::{GameClock, ScreenRows, ScreenTables, When, is_poor};
use scrim_tables::ledger::{Manifest, Part, sha256_of};
use scrim_tables::rows::{CoverageRow, EntryRow, GameRow, PossessionRow, ScreenRow, TrackRow};
use scrim_tables::tags::{Coverage, Outcome, ScreenKind};
use scrim_tables::{Id, Partition, ReadStore, Row, read_rows};
use serde::{Deserialize, Serialize};

use crate::ways::shape_of;
use crate::window::window_of;
use crate::{LikenessError, Shape};

/// What is known of a possession that has a shape: its tags are for people, no comparison looks at them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShapeRow {
    /// The period, from 1.
    pub period: u8,
    /// The possession.
    pub possession_id: u32,
    /// Who has the ball.
    pub team_id: Id,
    /// Who has not.
    pub opponent_id: Id,
    /// The ball screen or handoff that the shape ends with.
    pub screen_id: u32,
    /// The begin of the shape's window, seconds from the period's first frame.
    pub t_from_s: f64,
    /// Its end: the use of the ball screen.
    pub t_use_s: f64,
    /// Game clock at the use, remaining.
    pub game_clock_s: Option<f64>,
    /// The use in the video.
    pub video_s: Option<f64>,
    /// Alignment and chain before the ball screen.
    pub look: Option<String>,
    /// Ball screen or handoff.
    pub screen_kind: ScreenKind,
    /// What became of it.
    pub outcome: Outcome,
    /// How it was covered.
    pub coverage: Option<Coverage>,
    /// Points of the possession.
    pub points: Option<u8>,
}

impl ShapeRow {
    /// When the ball screen was used.
    pub fn when(&self) -> When {
        When {
            period: self.period,
            t_s: self.t_use_s,
            game_clock_s: self.game_clock_s,
            video_s: self.video_s,
        }
    }
}

/// Why a possession has no shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LeftOut {
    /// There is none in it.
    NoBallScreen,
    /// They do not cover at least two seconds before the use, and the use.
    NoTracks,
    /// They are not of five attackers (user and screener among them), five defenders and the ball.
    NotTen,
    /// One of the ten, or the ball, is seen in less than half of the window.
    NotSeen,
}

impl LeftOut {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoBallScreen => "it has no ball screen and no handoff",
            Self::NoTracks => "its tracks do not reach from 2 s before the use of its ball screen to the use",
            Self::NotTen => "its tracks are not of five attackers, five defenders and the ball",
            Self::NotSeen => "one of the ten, or the ball, is not seen in half of its samples",
        }
    }
}

/// One game's shapes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct GameShapes {
    /// The season; `None` when the game has none.
    pub season: Option<String>,
    /// The game.
    pub game_id: String,
    /// Its day, when it is known.
    pub date: Option<String>,
    /// What its tables were when it was read: see [`game_digest`].
    pub digest: String,
    /// Whether the gate called its data poor: it has no shapes then.
    pub is_poor: bool,
    /// Its possessions that have a shape, by id.
    pub rows: Vec<ShapeRow>,
    /// The others, by id, each with its period and why.
    pub left_out: Vec<(u32, u8, LeftOut)>,
    /// A shape a row.
    #[serde(skip)]
    pub shapes: Vec<Shape>,
}

impl GameShapes {
    /// Where its tables are.
    pub fn partition(&self) -> Partition {
        Partition::new(self.season.as_deref(), &self.game_id)
    }
}

/// What a game's tables are: the hash of its manifest, which changes when anything of them does; of a game without one (another
/// program's), of the tables that are read here.
///
/// # Errors
/// [`LikenessError::Store`] when they cannot be read.
pub fn game_digest(store: &dyn ReadStore, partition: &Partition) -> Result<String, LikenessError> {
    if let Some((_, digest)) = Manifest::read(store, &Part::Game(partition.clone()))? {
        return Ok(digest);
    }
    let tables = [
        GameRow::TABLE,
        PossessionRow::TABLE,
        ScreenRow::TABLE,
        CoverageRow::TABLE,
        EntryRow::TABLE,
        TrackRow::TABLE,
    ];
    let mut digests = String::new();
    for table in tables {
        if let Some(bytes) = store.get(&partition.path(table))? {
            digests.push_str(&format!("{table} {}\n", sha256_of(&bytes)));
        }
    }
    Ok(sha256_of(digests.as_bytes()))
}

/// Reads a game's tables and makes its shapes. `digest` is its [`game_digest`].
///
/// # Errors
/// [`LikenessError`] when one of `possessions`, `screens` and `tracks` is absent, or a table cannot be read.
pub fn read_game(
    store: &dyn ReadStore,
    partition: &Partition,
    digest: String,
) -> Result<GameShapes, LikenessError> {
    let source = Source { store, partition };
    let game: Option<GameRow> = source.rows()?.into_iter().next();
    let mut shapes = GameShapes {
        season: partition.season().map(Into::into),
        game_id: partition.game_id().into(),
        date: game.as_ref().and_then(|row| row.date.as_deref().map(Into::into)),
        digest,
        is_poor: is_poor(store, partition)?,
        rows: Vec::new(),
        left_out: Vec::new(),
        shapes: Vec::new(),
    };
    if shapes.is_poor {
        return Ok(shapes);
    }
    let possessions: Vec<PossessionRow> = source.needed()?;
    let screens: Vec<ScreenRow> = source.needed()?;
    let tracks: Vec<TrackRow> = source.needed()?;
    let (coverages, entries): (Vec<CoverageRow>, Vec<EntryRow>) = (source.rows()?, source.rows()?);
    let offsets_s = game.map_or_else(Vec::new, |row| row.video_offset_s);
    let clock = GameClock::of(&possessions, &tracks, &offsets_s);
    let tables = ScreenTables {
        possessions: &possessions,
        screens: &screens,
        coverages: &coverages,
        options: &[],
        entries: &entries,
        disguises: &[],
    };
    let mut on_ball: BTreeMap<u32, Vec<ScreenRows<'_>>> = BTreeMap::new();
    for rows in tables.on_ball(0) {
        on_ball.entry(rows.screen.possession_id).or_default().push(rows);
    }
    let mut tracks_of: BTreeMap<u32, Vec<TrackRow>> = BTreeMap::new();
    for row in tracks {
        tracks_of.entry(row.possession_id).or_default().push(row);
    }
    let mut done = BTreeSet::new();
    for possession in &possessions {
        let id = possession.possession_id;
        if !done.insert(id) {
            continue;
        }
        let of_it = on_ball.get(&id).map_or(&[][..], Vec::as_slice);
        let tracks = tracks_of.get(&id).map_or(&[][..], Vec::as_slice);
        match one_shape(possession, of_it, tracks, &clock) {
            Ok((row, shape)) => {
                shapes.rows.push(row);
                shapes.shapes.push(shape);
            }
            Err(why) => shapes.left_out.push((id, possession.period, why)),
        }
    }
    Ok(shapes)
}

fn one_shape(
    possession: &PossessionRow,
    on_ball: &[ScreenRows<'_>],
    tracks: &[TrackRow],
    clock: &GameClock,
) -> Result<(ShapeRow, Shape), LeftOut> {
    if on_ball.is_empty() {
        return Err(LeftOut::NoBallScreen);
    }
    let tracks_from_s = tracks.first().ok_or(LeftOut::NoTracks)?.t_start_s;
    let screens: Vec<&ScreenRow> = on_ball.iter().map(|rows| rows.screen).collect();
    let window = window_of(possession, &screens, tracks_from_s).ok_or(LeftOut::NoTracks)?;
    let shape = shape_of(tracks, &window)?;
    let screen = window.screen;
    let rows = on_ball
        .iter()
        .find(|rows| rows.screen.screen_id == screen.screen_id);
    let when = clock.at(possession.period, possession.possession_id, screen.t_use_s);
    let row = ShapeRow {
        period: possession.period,
        possession_id: possession.possession_id,
        team_id: possession.offense_team_id.clone(),
        opponent_id: possession.defense_team_id.clone(),
        screen_id: screen.screen_id,
        t_from_s: window.from_s,
        t_use_s: window.to_s,
        game_clock_s: when.game_clock_s,
        video_s: when.video_s,
        look: rows.and_then(|rows| rows.entry).map(|entry| entry.look.clone()),
        screen_kind: screen.screen_kind,
        outcome: screen.outcome,
        coverage: rows.and_then(|rows| rows.coverage).map(|row| row.coverage),
        points: possession.points,
    };
    Ok((row, shape))
}

/// One game's tables.
struct Source<'a> {
    store: &'a dyn ReadStore,
    partition: &'a Partition,
}

impl Source<'_> {
    /// The rows of a table that an older run may not have written; none when it is absent.
    fn rows<R: Row>(&self) -> Result<Vec<R>, LikenessError> {
        Ok(self.found()?.unwrap_or_default())
    }

    fn needed<R: Row>(&self) -> Result<Vec<R>, LikenessError> {
        self.found()?.ok_or_else(|| LikenessError::MissingTable {
            game_id: self.partition.game_id().into(),
            table: R::TABLE,
        })
    }

    fn found<R: Row>(&self) -> Result<Option<Vec<R>>, LikenessError> {
        let Some(bytes) = self.store.get(&self.partition.path(R::TABLE))? else {
            return Ok(None);
        };
        let rows = read_rows(bytes).map_err(|source| LikenessError::Table {
            game_id: self.partition.game_id().into(),
            source,
        })?;
        Ok(Some(rows))
    }
}
