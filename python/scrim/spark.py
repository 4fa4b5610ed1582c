"""Many seasons on a cluster: the same stages, a game at a time, in Spark's own workers.

    from scrim import spark

    record = spark.tag(frame, "/shared/tables", games=games, players=players)
    record.show()                                    # a row a game: whether it was tagged, or why not
    scrim.season("/shared/tables").write("/shared/tables")

Each task tags one game and writes its tables where all workers and the driver can, as `scrim run` does, with the same bytes; no row of
tracking or tags goes through the driver.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import scrim

if TYPE_CHECKING:
    import pyarrow
    from pyspark.sql import DataFrame

#: A row a game.
RECORD = "game_id string, is_tagged boolean, reason string, possessions long, screens long, seconds double"


def tag(
    tracking: DataFrame,
    output: str | os.PathLike[str],
    *,
    players: Any = None,
    games: Any = None,
    events: Any = None,
    game_column: str = "game_id",
    mapping: Mapping[str, Any] | None = None,
    pipeline: str | os.PathLike[str] | Mapping[str, Any] | None = None,
) -> DataFrame:
    """Tag every game of a Spark data frame.

    tracking: rows of tracking, as `scrim.tag` takes them; `game_column` parts the games.
    output: a folder that every worker can write to (a shared file system). Tables of games that are there already are replaced.
    players, games, events: side tables of all games, small enough to go to every worker: any Arrow data, or None.
    mapping, pipeline: as in `scrim.tag`.

    Returns the run's record, a row a game (RECORD); nothing is done before it is used. A game that cannot be tagged is a row with
    its reason, and never ends the job.
    """
    import pyarrow as pa

    sides = {
        name: None if data is None else pa.table(data)
        for name, data in {"players": players, "games": games, "events": events}.items()
    }
    text = scrim._pipeline(pipeline)
    scrim._scrim.check_pipeline(text)
    place = os.fspath(output)

    def one_game(key: tuple[Any, ...], rows: pyarrow.Table) -> pyarrow.Table:
        return _one_game(str(key[0].as_py()), rows, sides, mapping, text, place)

    return tracking.groupBy(game_column).applyInArrow(one_game, RECORD)


def _one_game(
    game_id: str,
    rows: pyarrow.Table,
    sides: dict[str, pyarrow.Table | None],
    mapping: Mapping[str, Any] | None,
    pipeline: str | None,
    output: str,
) -> pyarrow.Table:
    import time

    import pyarrow as pa

    begun = time.monotonic()
    record: dict[str, Any] = {"game_id": game_id, "is_tagged": False, "reason": None, "possessions": 0, "screens": 0}
    try:
        tables = scrim._scrim.tag(
            rows,
            sides["players"],
            sides["games"],
            sides["events"],
            None if mapping is None else scrim._toml(mapping),
            None,
            pipeline,
            1,
            False,
        )
        tables.write(output)
        record["is_tagged"] = True
        record["possessions"] = len(tables["possessions"])
        record["screens"] = len(tables["screens"])
        if tables.skipped:
            record["reason"] = "; ".join(str(row["reason"]) for row in tables.skipped)
    except Exception as error:  # noqa: BLE001 - whatever it is, the other games go on
        record["reason"] = str(error)
    record["seconds"] = time.monotonic() - begun
    schema = pa.schema(
        [
            ("game_id", pa.string()),
            ("is_tagged", pa.bool_()),
            ("reason", pa.string()),
            ("possessions", pa.int64()),
            ("screens", pa.int64()),
            ("seconds", pa.float64()),
        ]
    )
    return pa.Table.from_pylist([record], schema=schema)
