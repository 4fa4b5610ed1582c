"""Games through Spark's workers, held against the program's own run."""

import os
import pathlib
import subprocess
import sys

import pandas
import pyarrow
import pyarrow.parquet
import pytest

import scrim

pyspark_sql = pytest.importorskip("pyspark.sql", reason="Spark is not here: its checks are left out")

GAMES = 24
# Workers run the Python of the tests.
os.environ["PYSPARK_PYTHON"] = sys.executable


def program(*args: str, cwd: pathlib.Path) -> None:
    ended = subprocess.run([sys.executable, "-m", "scrim", *args], cwd=cwd, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    place = tmp_path_factory.mktemp("season")
    made = ["--games", str(GAMES), "--seed", "11", "--periods", "1", "--period-s", "40"]
    program("practice", *made, "--output", "in", cwd=place)
    (place / "mine.toml").write_text('name = "mine"\n[definitions]\ndrop_depth_m = 2.5\n')
    program("run", "mine.toml", "--input", "in", "--output", "run", cwd=place)
    return place


@pytest.fixture(scope="module")
def spark():
    session = (
        pyspark_sql.SparkSession.builder.master("local[2]")
        .config("spark.ui.enabled", "false")
        .config("spark.sql.shuffle.partitions", "6")
        .config("spark.driver.bindAddress", "127.0.0.1")
        .config("spark.driver.host", "127.0.0.1")
        .getOrCreate()
    )
    yield session
    session.stop()


def sides(folder: pathlib.Path, name: str) -> pyarrow.Table:
    files = sorted((folder / "in").glob(f"*/{name}.csv"))
    return pyarrow.Table.from_pandas(pandas.concat([pandas.read_csv(path) for path in files]), preserve_index=False)


def test_a_season_has_the_bytes_of_a_run_and_a_bad_game_is_a_row(folder: pathlib.Path, spark, tmp_path: pathlib.Path) -> None:
    from scrim import spark as on_spark

    files = [str(path) for path in sorted((folder / "in").glob("*/tracking.parquet"))]
    good = spark.read.parquet(*files)
    # Players a kilometre away: no game.
    bad = good.filter(good.game_id == sorted(path.name for path in (folder / "in").iterdir() if path.is_dir())[0])
    bad = bad.withColumns({"game_id": pyspark_sql.functions.lit("bad"), "x_m": bad.x_m + 1000})
    record = on_spark.tag(
        good.unionByName(bad),
        tmp_path / "out",
        pipeline=folder / "mine.toml",
        **{name: sides(folder, name) for name in ("players", "games", "events")},
    ).toPandas()
    assert len(record) == GAMES + 1
    failed = record[~record["is_tagged"]]
    assert failed["game_id"].tolist() == ["bad"]
    assert failed["reason"].iloc[0]
    assert record["possessions"].sum() > GAMES and (record["seconds"] > 0).all()

    compared = 0
    for path in sorted((folder / "run").glob("*/*~*.parquet")):
        there = tmp_path / "out" / path.relative_to(folder / "run")
        assert path.read_bytes() == there.read_bytes(), there
        compared += 1
    assert compared > 15 * GAMES
    assert not list((tmp_path / "out").glob("*/*~bad.parquet")), "a game that is none has no tables"

    scrim.season(tmp_path / "out", pipeline=folder / "mine.toml").write(tmp_path / "out")
    for name in ("tendencies", "counters", "against_league", "disguises", "disguise_pay"):
        run = pyarrow.parquet.read_table(folder / "run" / name)
        assert run.equals(pyarrow.parquet.read_table(tmp_path / "out" / name)), name


def test_a_pipeline_that_cannot_be_used_is_refused_before_anything_is_begun(spark, tmp_path: pathlib.Path) -> None:
    from scrim import spark as on_spark

    frame = spark.createDataFrame([("a", 1.0)], "game_id string, x_m double")
    with pytest.raises(scrim.ScrimError, match="drop_depth_m"):
        on_spark.tag(frame, tmp_path, pipeline={"definitions": {"drop_depth_m": -1}})


def test_a_frame_without_a_column_is_a_row_a_game(spark, tmp_path: pathlib.Path) -> None:
    from scrim import spark as on_spark

    frame = spark.createDataFrame([("a", 1.0), ("b", 2.0)], "game_id string, x_m double")
    rows = {row["game_id"]: row for row in on_spark.tag(frame, tmp_path / "out").collect()}
    assert set(rows) == {"a", "b"}
    for game_id, row in rows.items():
        assert not row["is_tagged"] and "no column `period`" in row["reason"], (game_id, row)
