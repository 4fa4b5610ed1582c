"""The package as a researcher uses it, held against the program itself."""

import os
import pathlib
import signal
import subprocess
import sys
import threading
import time

import duckdb
import pandas
import polars
import pyarrow
import pyarrow.parquet
import pytest

import scrim

#: Whose rows or bytes say when and where a run was.
NOT_OF_GAMES = ("runs", "quarantine")


def program(*args: str, cwd: pathlib.Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "scrim", *args], cwd=cwd, capture_output=True, text=True, check=False)


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """Two short practice games in `in`, and what the program makes of them in `out`."""
    place = tmp_path_factory.mktemp("games")
    made = program(
        "practice", "--games", "2", "--seed", "5", "--periods", "1", "--period-s", "90", "--output", "in", cwd=place
    )
    assert made.returncode == 0, made.stderr
    (place / "mine.toml").write_text('name = "default"\n')
    ended = program("run", "mine.toml", "--input", "in", "--output", "out", cwd=place)
    assert ended.returncode == 0, ended.stderr
    return place


@pytest.fixture(scope="session")
def game(folder: pathlib.Path) -> dict[str, pyarrow.Table]:
    """The first game's tracking and side tables."""
    source = sorted((folder / "in").iterdir())[0]
    sides = {name: pyarrow.Table.from_pandas(pandas.read_csv(source / f"{name}.csv")) for name in ("players", "games", "events")}
    return {"tracking": pyarrow.parquet.read_table(source / "tracking.parquet"), **sides}


@pytest.fixture(scope="session")
def of_files(folder: pathlib.Path) -> scrim.Tables:
    return scrim.tag(folder / "in")


def rows(tables: scrim.Tables, name: str) -> pyarrow.Table:
    return tables[name].to_pyarrow()


def test_the_same_bytes_as_the_program(folder: pathlib.Path, of_files: scrim.Tables, tmp_path: pathlib.Path) -> None:
    of_files.write(tmp_path)
    compared = 0
    for path in sorted((folder / "out").glob("*/*.parquet")):
        name = path.relative_to(folder / "out")
        if name.parts[0] in NOT_OF_GAMES:
            continue
        # The run's name is in season tables' hash of all parameters; games' tables leave it out.
        here = pyarrow.parquet.read_table(path)
        there = pyarrow.parquet.read_table(tmp_path / name)
        assert here.equals(there), name
        compared += here.num_rows > 0
    assert compared > 20


@pytest.mark.parametrize("library", ["pyarrow", "pandas", "polars", "duckdb"])
def test_any_library_s_data_give_the_same_rows(
    library: str, game: dict[str, pyarrow.Table], of_files: scrim.Tables
) -> None:
    convert = {
        "pyarrow": lambda table: table,
        "pandas": lambda table: table.to_pandas(),
        "polars": polars.DataFrame,
        "duckdb": duckdb.from_arrow,
    }[library]
    tables = scrim.tag(**{name: convert(table) for name, table in game.items()})
    game_id = game["games"]["game_id"][0].as_py()
    for name in ("possessions", "screens", "coverages", "options", "entries", "off_ball_motion", "cuts"):
        whole = rows(of_files, name)
        expected = whole.filter(pyarrow.compute.equal(whole["game_id"], str(game_id)))
        assert rows(tables, name).equals(expected), name
    assert len(tables["screens"]) > 0
    assert tables.skipped == []


def test_what_a_run_wrote_is_read_back_alike_by_all(folder: pathlib.Path) -> None:
    tables = scrim.read_tables(folder / "out")
    assert {"screens", "possessions", "tendencies", "runs"} <= set(tables)
    assert "nonsense" not in tables and len(tables) == len(list(tables))
    screens = tables["screens"]
    directly = pyarrow.parquet.read_table(folder / "out" / "screens")
    assert screens.to_pyarrow().equals(directly.replace_schema_metadata(None))
    assert len(screens) == screens.num_rows == len(screens.to_pandas()) == screens.to_polars().height
    assert screens.column_names == directly.column_names
    assert screens.to_pyarrow().schema.field("t_use_s").metadata[b"unit"] == b"s"
    with pytest.raises(KeyError, match="no table `nonsense`; there are"):
        tables["nonsense"]


def test_a_season_from_games(folder: pathlib.Path, of_files: scrim.Tables) -> None:
    of_games = scrim.tag(folder / "in", seasons=False)
    assert "tendencies" not in of_games
    for tables in (scrim.season(of_games), scrim.season(folder / "out")):
        assert rows(tables, "tendencies").equals(rows(of_files, "tendencies"))


def test_a_score_against_the_truth(folder: pathlib.Path, of_files: scrim.Tables) -> None:
    report = scrim.score(of_files, folder / "in")
    assert report == scrim.score(folder / "out", folder / "in")
    assert report["report_version"] == 1 and len(report["games"]) == 2


def test_two_outputs_side_by_side(folder: pathlib.Path, of_files: scrim.Tables) -> None:
    same = scrim.compare(of_files, folder / "out", by="screen_kind")
    assert same["games"] > 0 and same["only_in_a"] == []
    rows = same["tables"]["screens"]["rows"]
    assert rows["in_a"] == rows["in_both"] == len(of_files["screens"].to_pandas())
    assert rows["changed"] + rows["vanished"] + rows["appeared"] == 0
    assert all(rate["before"] == rate["after"] for rate in same["rates"])
    deeper = scrim.tag(folder / "in", pipeline={"definitions": {"drop_depth_m": 4.0}})
    changed = scrim.compare(of_files, deeper)["tables"]["coverages"]["tags"]["coverage"]
    before, after = (t["coverages"].to_pandas()["coverage"] for t in (of_files, deeper))
    assert changed["changed"] == (before != after).sum() == sum(move["rows"] for move in changed["moves"])
    with pytest.raises(scrim.ScrimError, match="confidence"):
        scrim.compare(of_files, of_files, by="confidence")


def test_columns_are_those_of_the_tables(of_files: scrim.Tables) -> None:
    described = [row["column"] for row in scrim.columns("screens")]
    assert described == of_files["screens"].column_names
    assert {row["unit"] for row in scrim.columns()} >= {"m", "s", "m/s", None}
    with pytest.raises(scrim.ScrimError, match="no table `nonsense`"):
        scrim.columns("nonsense")


def test_a_possession_is_drawn(of_files: scrim.Tables, tmp_path: pathlib.Path) -> None:
    screens = of_files["screens"].to_pandas()
    screen = screens[screens["on_ball"]].iloc[0]
    drawing = scrim.draw(of_files, screen["game_id"], int(screen["possession_id"]))
    assert len(drawing) >= 1
    assert all(svg.startswith("<svg") for _, svg in drawing.frames)
    assert drawing._repr_html_().count("<svg") == len(drawing)
    assert all(os.path.getsize(path) > 100 for path in drawing.save(tmp_path / "drawn"))
    with pytest.raises(scrim.ScrimError, match="no game `nobody`"):
        scrim.draw(of_files, "nobody", 0)
    with pytest.raises(scrim.ScrimError, match="has no possession 9999"):
        scrim.draw(of_files, screen["game_id"], 9999)


def test_possessions_like_one(folder: pathlib.Path, of_files: scrim.Tables, tmp_path: pathlib.Path) -> None:
    screens = of_files["screens"].to_pandas()
    on_ball = screens[screens["on_ball"]]
    answers = []
    for _, screen in on_ball.iterrows():
        try:
            answers.append((screen, scrim.like(of_files, screen["game_id"], int(screen["possession_id"]), count=3)))
        except scrim.ScrimError as error:
            assert "cannot be compared" in str(error)
    assert answers
    screen, alike = answers[0]
    assert [row["rank"] for row in alike] == list(range(1, len(alike) + 1))
    assert all(a["apart_m"] <= b["apart_m"] for a, b in zip(alike, alike[1:]))
    assert (screen["game_id"], screen["possession_id"]) not in [(row["game_id"], row["possession_id"]) for row in alike]
    kept = tmp_path / "season.index"
    for _ in range(2):
        assert scrim.like(folder / "out", screen["game_id"], int(screen["possession_id"]), count=3, index=kept) == alike
    assert kept.stat().st_size > 1000
    with pytest.raises(scrim.ScrimError, match="no game `nobody` in the tables; the nearest are"):
        scrim.like(of_files, "nobody", 0)
    with pytest.raises(scrim.ScrimError, match="lies among the tables"):
        scrim.like(folder / "out", screen["game_id"], int(screen["possession_id"]), index=folder / "out" / "x.index")
    with pytest.raises(scrim.ScrimError, match="count: expected 1 or more, found 0"):
        scrim.like(of_files, screen["game_id"], int(screen["possession_id"]), count=0)


def test_keys_of_a_pipeline_and_a_mapping(game: dict[str, pyarrow.Table], of_files: scrim.Tables) -> None:
    deep = scrim.tag(**game, pipeline={"definitions": {"drop_depth_m": 3.5}})
    assert not rows(deep, "coverages").equals(rows(scrim.tag(**game), "coverages"))
    feet = game["tracking"].to_pandas()
    feet["x_m"] /= 0.3048
    feet["y_m"] /= 0.3048
    feet["z_m"] /= 0.3048
    again = scrim.tag(**{**game, "tracking": feet}, mapping={"place": {"unit": "ft"}})
    assert len(again["possessions"]) == len(scrim.tag(**game)["possessions"])


def test_what_cannot_be_done_says_what_and_how(game: dict[str, pyarrow.Table], folder: pathlib.Path) -> None:
    tracking = game["tracking"]
    for arguments, words in [
        ({"tracking": tracking.drop_columns(["x_m"])}, "x_m"),
        ({"tracking": tracking.slice(0, 0)}, "tracking"),
        ({"tracking": 7}, "expected a path, or a table that gives Arrow data"),
        ({"tracking": tracking, "players": [1, 2]}, "players: expected"),
        ({"tracking": folder / "nowhere"}, "nowhere"),
        ({"tracking": folder / "in", "players": game["players"]}, "beside them as a file"),
        ({"tracking": tracking, "pipeline": {"definitions": {"drop_depth_m": -1.0}}}, "drop_depth_m"),
        ({"tracking": tracking, "pipeline": {"definitions": {"dorp_depth_m": 1.0}}}, "dorp_depth_m"),
        ({"tracking": tracking, "pipeline": folder / "nowhere.toml"}, "nowhere.toml"),
        ({"tracking": tracking, "mapping": {"place": {"unit": "furlong"}}}, "furlong"),
        ({"tracking": "ftp://x/y"}, "unknown scheme"),
    ]:
        with pytest.raises(scrim.ScrimError, match=words) as raised:
            scrim.tag(**arguments)
        assert "scrim-tag-" not in str(raised.value), "a temporary path is nobody's business"
    with pytest.raises(scrim.ScrimError, match="no tables here"):
        scrim.read_tables(folder / "in")


def test_one_bad_game_is_a_warning(game: dict[str, pyarrow.Table], folder: pathlib.Path, tmp_path: pathlib.Path) -> None:
    for name in ("good", "bad"):
        (tmp_path / name).mkdir()
    pyarrow.parquet.write_table(game["tracking"], tmp_path / "good" / "tracking.parquet")
    (tmp_path / "bad" / "tracking.parquet").write_bytes(b"PAR1 and nothing")
    with pytest.warns(UserWarning, match="skipped: bad"):
        tables = scrim.tag(tmp_path)
    assert [row["source"] for row in tables.skipped] == ["bad"]


def test_other_threads_go_on_and_an_interrupt_stops(folder: pathlib.Path, tmp_path: pathlib.Path) -> None:
    made = program("practice", "--games", "6", "--seed", "8", "--output", "long", cwd=tmp_path)
    assert made.returncode == 0, made.stderr
    beats = []

    def beat() -> None:
        for _ in range(20):
            beats.append(time.monotonic())
            time.sleep(0.01)
        os.kill(os.getpid(), signal.SIGINT)

    other = threading.Thread(target=beat)
    begun = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        other.start()
        scrim.tag(tmp_path / "long", jobs=1)
    took = time.monotonic() - begun
    other.join()
    assert len(beats) == 20
    # Six games of 40 minutes take much longer than the one that was under way.
    whole = time.monotonic()
    scrim.tag(tmp_path / "long", jobs=1)
    assert took < 0.7 * (time.monotonic() - whole)


def test_the_program_is_in_the_package(folder: pathlib.Path) -> None:
    assert program("--version", cwd=folder).stdout.strip().endswith(scrim.__version__)
    wrong = program("run", cwd=folder)
    assert wrong.returncode == 2 and "Usage" in wrong.stderr


def test_events_of_another_game_are_not_taken_for_events(game: dict[str, pyarrow.Table]) -> None:
    others = game["events"].to_pandas().assign(game_id="another")
    with pytest.warns(UserWarning, match="`events` table has no row of this game"):
        tables = scrim.tag(**{**game, "events": others})
    possessions = tables["possessions"].to_pandas()
    assert possessions["points_inferred"].any()


def test_tables_are_written_to_the_folder_given(game: dict[str, pyarrow.Table], folder: pathlib.Path, tmp_path: pathlib.Path) -> None:
    tables = scrim.tag(**game)
    with pytest.raises(scrim.ScrimError, match="unknown scheme"):
        tables.write("ftp://x/y")
    with pytest.raises(scrim.ScrimError, match="found no name"):
        tables.write("")
    # A season that lacks games would stand for one that has them.
    other = scrim.tag(folder / "in", seasons=False)
    other.write(tmp_path / "season")
    with pytest.raises(scrim.ScrimError, match="holds other games"):
        tables.write(tmp_path / "season")
    scrim.season(tmp_path / "season").write(tmp_path / "season")
    assert len(scrim.read_tables(tmp_path / "season")["games"]) == 2
    verified = program("verify", "season", cwd=tmp_path)
    assert verified.returncode == 0, verified.stdout
    assert not list((tmp_path / "season").glob("ledger/sources/*"))


def test_a_season_without_a_table_takes_it_out(folder: pathlib.Path) -> None:
    tables = scrim.tag(folder / "in", pipeline={"season": {"pull": {"subjects": "all"}}})
    assert "pull" in tables
    assert "pull" not in scrim.season(tables)


def test_a_mapping_of_tables(of_files: scrim.Tables) -> None:
    from collections.abc import Mapping

    assert isinstance(of_files, Mapping)
    assert [name for name, _ in of_files.items()] == list(of_files) and len(of_files.values()) == len(of_files)
    assert of_files.get("nonsense") is None and 3 not in of_files
    assert of_files.get("screens").num_rows == of_files["screens"].num_rows


def test_odd_columns_are_read(game: dict[str, pyarrow.Table]) -> None:
    # A dictionary for each chunk, as readers of several files leave it.
    tracking = game["tracking"]
    half = len(tracking) // 2
    chunks = [tracking.slice(0, half), tracking.slice(half)]
    encoded = [
        pyarrow.table({name: column.combine_chunks().dictionary_encode() if name.endswith("_id") else column for name, column in zip(chunk.column_names, chunk.columns)})
        for chunk in chunks
    ]
    joined = pyarrow.concat_tables(encoded)
    tables = scrim.tag(**{**game, "tracking": joined})
    assert rows(tables, "screens").equals(rows(scrim.tag(**game), "screens"))


def test_jobs_have_bounds(game: dict[str, pyarrow.Table]) -> None:
    for jobs in (0, -1, 10**9):
        with pytest.raises(scrim.ScrimError, match="jobs: expected 1 to"):
            scrim.tag(**game, jobs=jobs)
    for value in (None, float("nan"), object()):
        with pytest.raises(scrim.ScrimError, match="drop_depth_m: cannot be a parameter"):
            scrim.tag(**game, pipeline={"definitions": {"drop_depth_m": value}})
