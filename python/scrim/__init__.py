"""Find and tag ball screens in basketball tracking data, from Python.

    import scrim

    tables = scrim.tag("games/")                      # a folder, as `scrim run` takes it
    tables = scrim.tag(tracking, players=players)     # or data frames: pandas, Polars, PyArrow, DuckDB
    screens = tables["screens"].to_pandas()           # or .to_polars(), or pyarrow.table(tables["screens"])
    scrim.draw(tables, "P1-000", 12)                  # a drawing that a notebook shows

The same stages as the program's, and the same bytes. Tags are estimates: look at the film before acting on them. Tracking data are
personal data: follow consent, league and labour agreements, and local law.
"""

from __future__ import annotations

import json
import os
import pathlib
import warnings
from collections.abc import Mapping
from typing import Any

from scrim._scrim import SCHEMA_VERSION, ScrimError, Table, Tables, __version__, read_tables
from scrim import _scrim

Mapping.register(Tables)

__all__ = [
    "SCHEMA_VERSION",
    "Drawing",
    "ScrimError",
    "Table",
    "Tables",
    "columns",
    "compare",
    "draw",
    "like",
    "read_tables",
    "score",
    "season",
    "tag",
    "__version__",
]


def tag(
    tracking: Any,
    *,
    players: Any = None,
    games: Any = None,
    events: Any = None,
    mapping: str | os.PathLike[str] | Mapping[str, Any] | None = None,
    pipeline: str | os.PathLike[str] | Mapping[str, Any] | None = None,
    jobs: int | None = None,
    seasons: bool = True,
) -> Tables:
    """Find possessions, matchups, screens and cuts in tracking data, and read how each screen was defended and used.

    tracking: a path (a source folder, a folder of such folders, a single file) or an address in an object store; or a table with one
        game or several that gives Arrow data (`__arrow_c_stream__`). Without a mapping its columns are scrim's own: game_id, period,
        t_s, game_clock_s, shot_clock_s, team_id, player_id (both null: the ball), x_m, y_m, z_m.
    players, games, events: side tables, when tracking is a table; their columns: docs/operations.md.
    mapping: how to read other columns: a path of a mapping file, or its keys as a dictionary: {"place": {"x": "x_ft", "unit": "ft"}}.
    pipeline: a path of a pipeline file, or its keys as a dictionary: {"definitions": {"drop_depth_m": 2.5}}.
    jobs: how many sources are worked on at once; one per processor when None.
    seasons: whether the season's tables are put together, too.

    A game that cannot be tagged is a warning, and is listed in `skipped` of what is returned; so is one whose data are not good, and
    is listed in `notes`.

    Raises ScrimError when no game can be tagged, or an argument cannot be understood; KeyboardInterrupt stops between two games.
    """
    mapping_file, mapping_text = None, None
    if isinstance(mapping, Mapping):
        mapping_text = _toml(mapping)
        if not hasattr(tracking, "__arrow_c_stream__"):
            raise ScrimError("mapping: with tracking in files, give the path of a mapping file")
    elif mapping is not None:
        mapping_file = os.fspath(mapping)
    tables = _scrim.tag(
        tracking, players, games, events, mapping_text, mapping_file, _pipeline(pipeline), jobs, seasons
    )
    for row in tables.skipped:
        game = f", game {row['game_id']}" if row["game_id"] else ""
        warnings.warn(f"skipped: {row['source']}{game}: {row['reason']}", stacklevel=2)
    for note in tables.notes:
        warnings.warn(note, stacklevel=2)
    return tables


def season(
    tables: Tables | str | os.PathLike[str],
    *,
    pipeline: str | os.PathLike[str] | Mapping[str, Any] | None = None,
) -> Tables:
    """Put the season's tables (tendencies, counters, disguises, ...) together from the games' tables, in memory.

    tables: from `tag` or `read_tables`, or the place of a run's output. What is returned has the games' tables, too.
    pipeline: its `[season]`, `[gate]` and `[definitions]` are used.

    Raises ScrimError when there are no games, or their parameters differ.
    """
    return _scrim.season(_tables(tables), _pipeline(pipeline))


def score(tables: Tables | str | os.PathLike[str], labels: str | os.PathLike[str]) -> dict[str, Any]:
    """Hold tables against labels: your own tags from film, or the truth of practice games.

    labels: a folder with TABLE.csv or TABLE.parquet, in its labels/, or in a folder for each game.

    Returns the report of `scrim score --json`. Raises ScrimError when labels cannot be read or a labelled game has no tables.
    """
    return json.loads(_scrim.score_json(_tables(tables), os.fspath(labels)))


def compare(
    a: Tables | str | os.PathLike[str], b: Tables | str | os.PathLike[str], *, by: str | None = None
) -> dict[str, Any]:
    """Hold two outputs of the same games side by side: which rows appear, vanish or change a tag, and every season rate.

    a, b: from `tag` or `read_tables`, or the place of a run's output. Season rates are by the parameters that each was made with, where a
        run recorded them; else by the defaults.
    by: part the counts by this column of tags: "screen_kind", "coverage", "phase".

    Returns what `scrim compare --json` writes. Raises ScrimError when the two have no game in common, or `by` is no column of tags.
    """
    return json.loads(_scrim.compare_json(_tables(a), _tables(b), by))


def columns(table: str | None = None) -> list[dict[str, Any]]:
    """Every column of every table, or of one: `table`, `column`, `type`, `nullable`, `unit`, `meaning`, `null`.

    Raises ScrimError when there is no such table.
    """
    return _scrim.columns(table)


class Drawing:
    """Drawings of a possession's ball screens and handoffs, frame by frame; a notebook shows them side by side.

    frames: (name, SVG text) pairs, in time order; a name is the screen's id and what the frame shows.
    """

    def __init__(self, frames: list[tuple[str, str]]) -> None:
        self.frames = frames

    def _repr_html_(self) -> str:
        cells = "".join(f'<div style="flex:1 1 18em;max-width:26em">{svg}</div>' for _, svg in self.frames)
        return f'<div style="display:flex;flex-wrap:wrap;gap:1em">{cells}</div>'

    def save(self, folder: str | os.PathLike[str]) -> list[str]:
        """Write each frame as NAME.svg into a folder, which is made if need be. Returns the paths."""
        place = pathlib.Path(folder)
        place.mkdir(parents=True, exist_ok=True)
        paths = []
        for name, svg in self.frames:
            path = place / f"{name}.svg"
            path.write_text(svg, encoding="utf-8")
            paths.append(str(path))
        return paths

    def __len__(self) -> int:
        return len(self.frames)

    def __repr__(self) -> str:
        return f"<scrim.Drawing: {', '.join(name for name, _ in self.frames) or 'nothing to draw'}>"


def draw(tables: Tables | str | os.PathLike[str], game_id: str, possession_id: int) -> Drawing:
    """Draw each ball screen and handoff of a possession.

    Raises ScrimError when there is no such game or possession.
    """
    return Drawing(_scrim.draw_possession(_tables(tables), game_id, possession_id))


def like(
    tables: Tables | str | os.PathLike[str],
    game_id: str,
    possession_id: int,
    *,
    team: str | None = None,
    last: int | None = None,
    count: int = 10,
    index: str | os.PathLike[str] | None = None,
) -> list[dict[str, Any]]:
    """Find the possessions most like one: the ways of the ten players and the ball from the set to the use of the ball screen.

    team: only possessions of this team.
    last: only the last so many games, by day; with team, that team's.
    count: how many.
    index: a file that keeps what is compared; made when it is not there, and brought up to date when games have changed. Without it
        all games are read again.

    Returns a dictionary for each, nearest first: `rank`, `apart_m`, `game_id`, `period`, `possession_id`, `look`, `coverage`, ... A game
    that cannot be read is a warning. Raises ScrimError when there is no such game, possession or team, or the possession has no ball
    screen.
    """
    for name, value in (("last", last), ("count", count)):
        if value is not None and not 1 <= value < 2**32:
            raise ScrimError(f"{name}: expected 1 or more, found {value}")
    if not 0 <= possession_id < 2**32:
        raise ScrimError(f"possession_id: expected a number of `possessions`, found {possession_id}")
    place = None if index is None else os.fspath(index)
    alike, failed = json.loads(_scrim.like_json(_tables(tables), (game_id, int(possession_id)), team, last, count, place))
    for reason in failed:
        warnings.warn(f"left out: {reason}", stacklevel=2)
    return alike


def _tables(tables: Tables | str | os.PathLike[str]) -> Tables:
    return tables if isinstance(tables, Tables) else read_tables(tables)


def _pipeline(pipeline: str | os.PathLike[str] | Mapping[str, Any] | None) -> str | None:
    if pipeline is None:
        return None
    if isinstance(pipeline, Mapping):
        return _toml(pipeline)
    try:
        return pathlib.Path(pipeline).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise ScrimError(f"{os.fspath(pipeline)}: the pipeline cannot be read: {error}") from error


def _toml(keys: Mapping[str, Any], section: str = "") -> str:
    """Keys as TOML: plain values first, then a section for each dictionary."""
    lines, sections = [], []
    for key, value in keys.items():
        name = json.dumps(str(key), ensure_ascii=False)
        if isinstance(value, Mapping):
            path = f"{section}.{name}" if section else name
            sections.append(f"[{path}]\n{_toml(value, path)}")
        else:
            try:
                # What JSON writes of numbers, words, flags and lists is TOML as well; of None it is not.
                text = json.dumps(value, ensure_ascii=False, allow_nan=False)
            except (TypeError, ValueError) as error:
                raise ScrimError(f"{key}: cannot be a parameter: {value!r} ({error})") from error
            if value is None:
                raise ScrimError(f"{key}: cannot be a parameter: None; leave the key out for its default")
            lines.append(f"{name} = {text}\n")
    return "".join(lines + sections)
