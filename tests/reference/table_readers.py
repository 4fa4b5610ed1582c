"""Reads each table's folder as it is, with no options, and says what is not the same columns, types and rows for everybody.

In: as `table_contract.py`, with "types": {table: [[column, type, nullable], ...]} and "readers": some of pandas, pyarrow,
polars, duckdb, spark. Out: {"problems": [text, ...], "files": folders read, "cells": n}.
"""

import json
import math
import pathlib
import sys

question = json.load(sys.stdin)
root = pathlib.Path(question["root"])
problems, folders, cells = [], 0, 0

# How each reader names our types. Those without unsigned numbers (Spark) have the next larger, those without nulls in whole
# numbers (pandas) float64.
NAMES = {
    "pyarrow": ["bool", "uint8", "uint16", "uint32", "uint64", "int16", "float", "double", "string"],
    "polars": ["Boolean", "UInt8", "UInt16", "UInt32", "UInt64", "Int16", "Float32", "Float64", "String"],
    "duckdb": ["BOOLEAN", "UTINYINT", "USMALLINT", "UINTEGER", "UBIGINT", "SMALLINT", "FLOAT", "DOUBLE", "VARCHAR"],
    "spark": ["boolean", "smallint", "int", "bigint", "decimal(20,0)", "smallint", "float", "double", "string"],
    "pandas": ["bool", "uint8", "uint16", "uint32", "uint64", "int16", "float32", "float64", "text"],
}
OURS = ["bool", "uint8", "uint16", "uint32", "uint64", "int16", "float32", "float64", "string"]
LISTS = {"pyarrow": "list<element: {}>", "polars": "List({})", "duckdb": "{}[]", "spark": "array<{}>", "pandas": "object"}


def wanted_type(reader, kind, has_nulls):
    if kind.startswith("list of "):
        return LISTS[reader].format(wanted_type(reader, kind.removeprefix("list of ").rstrip("?"), False))
    kind = "string" if kind == "tag" else kind
    if reader == "pandas" and has_nulls:
        kind = {"bool": "object", "float32": "float32", "string": "string"}.get(kind, "float64")
    return NAMES[reader][OURS.index(kind)] if kind in OURS else kind


def by_pandas(folder):
    import pandas as pd

    frame = pd.read_parquet(folder)
    text = {name for name in frame if pd.api.types.is_string_dtype(frame[name]) and any(isinstance(v, str) for v in frame[name])}
    types = ["text" if name in text else str(frame[name].dtype) for name in frame]
    return list(frame.columns), types, frame.to_dict("records")


def by_pyarrow(folder):
    import pyarrow.parquet as pq

    table = pq.read_table(folder)
    return table.schema.names, [str(kind) for kind in table.schema.types], table.to_pylist()


def by_polars(folder):
    import polars as pl

    frame = pl.read_parquet(folder)
    return frame.columns, [str(kind) for kind in frame.dtypes], frame.to_dicts()


def by_duckdb(folder):
    import duckdb

    # DuckDB wants a pattern rather than a folder.
    found = duckdb.sql(f"select * from '{folder}/*.parquet'")
    return found.columns, [str(kind) for kind in found.types], [dict(zip(found.columns, row)) for row in found.fetchall()]


def spark_session():
    from pyspark.sql import SparkSession

    builder = SparkSession.builder.master("local[1]").config("spark.ui.enabled", "false")
    # No look-up of this machine's name: it may have none.
    builder = builder.config("spark.driver.host", "127.0.0.1").config("spark.driver.bindAddress", "127.0.0.1")
    return builder.getOrCreate()


def by_spark(folder):
    frame = spark_session().read.parquet(folder)
    types = [kind for _, kind in frame.dtypes]
    return frame.columns, types, [row.asDict() for row in frame.collect()]


def plain(value):
    """A value in one spelling: NaN of pandas is null, arrays are lists."""
    if hasattr(value, "tolist") and not isinstance(value, (str, bytes)):
        value = value.tolist()
    if isinstance(value, list):
        return [plain(element) for element in value]
    if isinstance(value, float) and math.isnan(value):
        return None
    # Numbers as floats: whole ones of all readers are then alike, to the 53 bits that pandas leaves them beside nulls.
    return value if value is None or isinstance(value, (bool, str)) else float(value)


def values(rows, columns):
    return sorted(json.dumps([plain(row[name]) for name in columns]) for row in rows)


def wanted_rows(table, rows):
    if table in question["run_tables"]:
        return rows
    if table in question["season_tables"]:
        return [{**row, "season": season} for season in {p[0] for p in question["partitions"]} for row in rows]
    partitions = [p for p in question["partitions"] if p[1] is not None or table == "quarantine"]
    return [{**row, "season": season, "game_id": game_id} for season, game_id in partitions for row in rows]


for reader in question["readers"]:
    for table, rows in question["tables"].items():
        rows = wanted_rows(table, rows)
        declared = question["types"][table]
        columns = [name for name, _, _ in declared]
        has_nulls = {name: any(row[name] is None for row in rows) for name in columns}
        found_columns, found_types, found = globals()[f"by_{reader}"](str(root / table))
        if list(found_columns) != columns:
            problems.append(f"{table} by {reader}: columns {found_columns}, expected {columns}")
            continue
        for (name, kind, _), got in zip(declared, found_types):
            wanted = wanted_type(reader, kind, has_nulls[name])
            if got != wanted:
                problems.append(f"{table}.{name} by {reader}: type {got}, expected {wanted}")
        if values(found, columns) != values(rows, columns):
            problems.append(f"{table} by {reader}: {len(found)} rows, not the {len(rows)} that were written")
        folders += 1
        cells += len(found) * len(columns)

json.dump({"problems": problems, "files": folders, "cells": cells}, sys.stdout)
