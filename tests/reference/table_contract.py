"""Reads files that scrim wrote, with PyArrow and with Polars, and compares them with the data contract.

In: {"root": folder, "tables": {name: rows}, "season_tables": [name, ...], "partitions": [[season, game_id or null], ...],
"run": {...}}. Every file of a game's table holds the same rows but for their game_id and season, which its name holds. Out: {"problems":
[text, ...], "files": n, "cells": n}.
"""

import hashlib
import json
import pathlib
import sys
import tomllib
import urllib.parse

import polars as pl
import pyarrow as pa
import pyarrow.dataset as ds
import pyarrow.parquet as pq

ARROW = {
    "utf8": pa.string(), "tag": pa.string(), "bool": pa.bool_(), "uint8": pa.uint8(), "uint16": pa.uint16(),
    "uint32": pa.uint32(), "uint64": pa.uint64(), "float32": pa.float32(), "float64": pa.float64(), "int16": pa.int16(),
}  # fmt: skip
POLARS = {
    "utf8": pl.String, "tag": pl.String, "bool": pl.Boolean, "uint8": pl.UInt8, "uint16": pl.UInt16,
    "uint32": pl.UInt32, "uint64": pl.UInt64, "float32": pl.Float32, "float64": pl.Float64, "int16": pl.Int16,
}  # fmt: skip

question = json.load(sys.stdin)
contract = tomllib.loads(pathlib.Path(__file__).with_name("contract.toml").read_text(encoding="utf-8"))
season_tables = set(question["season_tables"])
run_tables = set(question["run_tables"])
known, words = contract.pop("known_differences"), contract.pop("words")
contract = {table: columns if table in run_tables else {"season": "utf8", **columns} for table, columns in contract.items()}
UNITS = {"_m2": "m2", "_mps": "m/s", "_m": "m", "_cm": "cm", "_s": "s", "_deg": "degrees", "_bits": "bits"}
problems, files, cells = [], 0, 0
differences = {}


def expect(where, what, found, expected):
    if found != expected:
        problems.append(f"{where}: {what}: found {found!r}, expected {expected!r}")


def found_type(field, is_dictionary, contract_type):
    """The column's type in the contract's words; text in a dictionary is a tag only where the contract wants one."""
    if pa.types.is_list(field.type):
        # A list is never null itself; its elements may be.
        inner = found_type(field.type.value_field, False, "")
        return f"list {inner}" + ("!" if field.nullable else "")
    name = next((word for word, arrow in ARROW.items() if arrow == field.type and word != "tag"), str(field.type))
    if name == "utf8" and is_dictionary and contract_type.startswith("tag"):
        name = "tag"
    return name + ("?" if field.nullable else "")


def polars_type(word):
    inner = word.removeprefix("list ").rstrip("?")
    return POLARS.get(inner) if inner == word.rstrip("?") else pl.List(POLARS[inner])


def leaf_values(rows, name):
    """What the column's leaf holds: lists flattened, an empty one as a null (Parquet has it so)."""
    values = []
    for row in rows:
        values.extend((row[name] or [None]) if isinstance(row[name], list) else [row[name]])
    return values


def check_file(table, path, season, game_id, rows):
    global files, cells
    file = pq.ParquetFile(path)
    schema, metadata = file.schema_arrow, file.metadata
    named = {} if table in run_tables else {"season": season} if table in season_tables else {"season": season, "game_id": game_id}
    wanted_rows = [{**row, **named} for row in rows]
    names = list(contract[table])
    # The contract's quarantine names its columns from `source` on; season and game_id lead every table of a game.
    expect(path, "columns", schema.names[: len(names)], names)
    chunks = {c.path_in_schema.split(".")[0]: c for c in (metadata.row_group(0).column(i) for i in range(metadata.num_columns))}
    for name, wanted in contract[table].items():
        if name not in schema.names:
            continue
        chunk = chunks[name]
        is_dictionary = chunk.has_dictionary_page and "RLE_DICTIONARY" in chunk.encodings
        found = found_type(schema.field(name), is_dictionary, wanted)
        if found != wanted:
            differences[f"{table}.{name}"] = found
    for name, chunk in chunks.items():
        # Short tables are written plain (scrim-tables, `LEAST_COMPRESSED_ROWS`).
        wanted_compression = "ZSTD" if len(rows) >= 128 else "UNCOMPRESSED"
        expect(path, f"compression of {name}", chunk.compression, wanted_compression)
        leaves = leaf_values(wanted_rows, name)
        nulls = sum(value is None for value in leaves)
        if not chunk.is_stats_set:
            problems.append(f"{path}: no statistics of {name}")
            continue
        expect(path, f"null count of {name}", chunk.statistics.null_count, nulls)
        # The crate parquet 60 marks the bounds of floats as of IEEE 754's total order (PARQUET-2249). PyArrow 26 does not
        # know that order yet and leaves such bounds alone; when a later one sees them, this line is to go.
        is_float = chunk.physical_type in ("FLOAT", "DOUBLE")
        expect(path, f"minimum and maximum of {name}", chunk.statistics.has_min_max, nulls < len(leaves) and not is_float)
    for name, value in named.items():
        if value is not None:
            statistics = chunks[name].statistics
            expect(path, f"bounds of {name}", (statistics.min, statistics.max), (value, value))
    for field in schema:
        said = {k.decode(): v.decode() for k, v in (field.metadata or {}).items()}
        if len(said.get("meaning", "")) < 5:
            problems.append(f"{path}: {field.name} does not say what it means")
        expect(path, f"whether {field.name} says what null means", "null" in said, field.nullable)
        unit = next((unit for end, unit in UNITS.items() if field.name.endswith(end)), None)
        if unit and not pa.types.is_string(field.type):
            expect(path, f"unit of {field.name}", said.get("unit"), unit)
    pairs = {k.decode(): v.decode() for k, v in metadata.metadata.items()}
    run = question["run"]
    pairs.pop("ARROW:schema")
    # A game's bytes depend on its game alone, and so on no parameter of a season.
    parameters = run["parameters" if table in run_tables or table in season_tables else "game_parameters"]
    digest = hashlib.sha256(parameters.encode()).hexdigest()
    footer = {"schema_version": "2", "program_version": run["version"], "parameters_hash": digest}
    expect(path, "footer", pairs, footer)

    by_polars = pl.read_parquet(path)
    for name in schema.names:
        word = found_type(schema.field(name), False, "utf8")
        expect(path, f"Polars type of {name}", by_polars.schema[name], polars_type(word))
    for reader, got in (("PyArrow", file.read().to_pylist()), ("Polars", by_polars.to_dicts())):
        expect(path, f"rows by {reader}", len(got), len(wanted_rows))
        for number, (ours, wanted) in enumerate(zip(got, wanted_rows)):
            if ours != wanted:
                wrong = {k: (ours.get(k), wanted.get(k)) for k in wanted if ours.get(k) != wanted.get(k)}
                problems.append(f"{path}: row {number} by {reader} (found, expected): {wrong}")
            cells += len(wanted)
    for name in schema.names:
        if known_words := words.get(f"{table}.{name}", words.get(name)):
            expect(path, f"words of {name}", {row[name] for row in file.read([name]).to_pylist()} - {None}, set(known_words))
    files += 1


def check_pruning(table, folder, partitions, rows):
    """Who asks for a season or a game reads the row groups of its files only."""
    dataset = ds.dataset(folder)
    expect(folder, "rows", dataset.count_rows(), len(partitions) * len(rows))
    for season, game_id in partitions:
        picked = ds.field("season") == season
        expected = sum(other == season for other, _ in partitions)
        if game_id is not None:
            picked &= ds.field("game_id") == game_id
            expected = 1
        groups = sum(len(f.split_by_row_group(picked)) for f in dataset.get_fragments())
        # Statistics of the one file without game ids say nothing: PyArrow keeps it.
        kept = table == "quarantine" and game_id is not None and season == "unknown"
        expect(folder, f"row groups read for {season!r}, {game_id!r}", groups in (expected, expected + kept), True)
        expect(folder, f"rows of {season!r}, {game_id!r}", dataset.count_rows(filter=picked), expected * len(rows))


expect("contract", "tables", set(question["tables"]), set(contract))
root = pathlib.Path(question["root"])
for table, rows in question["tables"].items():
    found = sorted((root / table).iterdir())
    if table in run_tables:
        expect(table, "files", [path.name for path in found], ["one.parquet"])
        check_file(table, str(found[0]), None, None, rows)
        continue
    if table in season_tables:
        partitions = sorted({(season, None) for season, _ in question["partitions"]})
    else:
        partitions = [tuple(p) for p in question["partitions"] if p[1] is not None or table == "quarantine"]
    names = []
    for path in found:
        season, *game = (urllib.parse.unquote(part) for part in path.name.removesuffix(".parquet").split("~"))
        game_id = game[0] if len(game) == 1 else None
        expect(str(path), "a name that readers do not hide", path.name[0] in "._", False)
        names.append((season, game_id))
        check_file(table, str(path), season, game_id, rows)
    key = lambda pair: (pair[0], pair[1] or "")
    expect(table, "files", sorted(names, key=key), sorted(partitions, key=key))
    check_pruning(table, str(root / table), partitions, rows)
expect("contract", "differences from it", differences, known)
json.dump({"problems": problems, "files": files, "cells": cells}, sys.stdout)
