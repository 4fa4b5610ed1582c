"""Coverages counted by tags and as probabilities, against a practice season's labels.

    scrim practice --season --games 96 --seed 77 --noise 0.10 --output GAMES
    scrim run PIPELINE.toml --input GAMES --output TABLES
    python tests/reference/expected_coverages.py GAMES TABLES

The truth of a defence is its rate of each coverage in the labels of all its games. It is held against what the tables say of one game, of
four, and of all: how often the 95 % interval has it, and how far the rate is from it (root mean square), over the coverages that teams
play. Then how often the likeliest word is right, by how likely it is said to be. By hand: a season takes minutes.
"""

import sys
from glob import glob

import numpy as np
import polars as pl

games, tables = sys.argv[1:]
WORDS = ["switch", "drop", "blitz", "hedge", "level"]
ALL = ["ice", *WORDS]
LEAST_N = 10
Z = 1.959964


def table(name):
    return pl.read_parquet(f"{tables}/{name}")


def wilson(hits, n):
    rate, scale = hits / n, 1 + Z * Z / n
    half = Z * np.sqrt(rate * (1 - rate) / n + Z * Z / (4 * n * n)) / scale
    centre = (rate + Z * Z / (2 * n)) / scale
    return centre - half, centre + half


screens = table("screens").filter(pl.col("screen_kind") == "ball_screen")
possessions = table("possessions").select("game_id", "possession_id", "defense_team_id")
read = table("coverages").join(
    screens.select("game_id", "screen_id", "screener_id", "user_id", "t_use_s"), on=["game_id", "screen_id"]
).join(possessions, on=["game_id", "possession_id"])

parts = []
for folder in sorted(glob(f"{games}/*/labels")):
    label = {name: pl.read_parquet(f"{folder}/{name}.parquet") for name in ("screens", "coverages", "possessions")}
    of_screen = label["screens"].filter(pl.col("screen_kind") == "ball_screen")
    parts.append(
        label["coverages"]
        .select("game_id", "screen_id", "coverage")
        .join(of_screen.select("game_id", "period", "screen_id", "possession_id", "screener_id", "user_id", "t_use_s"), on=["game_id", "screen_id"])
        .join(label["possessions"].select("game_id", "possession_id", "defense_team_id"), on=["game_id", "possession_id"])
    )
labels = pl.concat(parts).filter(pl.col("coverage").is_in(ALL))
of_team = {team: part["coverage"] for (team,), part in labels.group_by("defense_team_id")}

print(f"{len(read)} ball screens: {(read['coverage'] != 'unclear').sum()} with a clear tag, {read['p_ice'].is_not_null().sum()} with probabilities")
for together in (1, 4, len(glob(f"{games}/*/labels"))):
    inside, off = {"tags": [], "expected": []}, {"tags": [], "expected": []}
    for (team,), part in read.group_by("defense_team_id"):
        ids = sorted(part["game_id"].unique())
        for first in range(0, len(ids), together):
            some = ids[first : first + together]
            some = part.filter(pl.col("game_id").is_in(some))
            clear, known = some.filter(pl.col("coverage") != "unclear"), some.filter(pl.col("p_ice").is_not_null())
            for word in WORDS:
                truth = (of_team[team] == word).mean()
                for way, hits, n in (
                    ("tags", (clear["coverage"] == word).sum(), len(clear)),
                    ("expected", known[f"p_{word}"].sum(), len(known)),
                ):
                    if n >= LEAST_N:
                        low, high = wilson(hits, n)
                        inside[way].append(low <= truth <= high)
                        off[way].append(hits / n - truth)
    for way in inside:
        error = np.sqrt(np.mean(np.square(off[way])))
        print(f"{together} games, {way}: {len(off[way])} rates, {np.mean(inside[way]):.3f} inside, off by {error:.4f}")

matched = read.join(labels, on=["game_id", "period", "screener_id", "user_id"], suffix="_label").filter(
    ((pl.col("t_use_s") - pl.col("t_use_s_label")).abs() <= 1.0) & pl.col("p_ice").is_not_null()
)
likely = matched.select([f"p_{word}" for word in ALL]).to_numpy()
right = likely.argmax(1) == np.array([ALL.index(word) for word in matched["coverage_label"]])
print(f"{len(right)} matched: likeliest word right in {right.mean():.3f}, said to be likely by {likely.max(1).mean():.3f}")
for low, high in ((0.0, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 1.01)):
    among = (likely.max(1) >= low) & (likely.max(1) < high)
    if among.any():
        print(f"  said {low} to {min(high, 1.0)}: {among.sum()}, mean {likely.max(1)[among].mean():.2f}, right {right[among].mean():.2f}")
