"""A practice season's tables against the habits that drew it.

    scrim practice --season --games 120 --seed S --noise 0.10 --output GAMES
    scrim run PIPELINE.toml --input GAMES --output TABLES
    python tests/reference/practice_season.py GAMES TABLES [CALLED.toml]

Printed: how many true values lie inside the 95 % bounds of cells with n >= 20, and how far the mean surprise of a look is from
its true -log2 p; "as drawn" is what the luck of the draw alone leaves, without tracking or tags. Like is held against like:
`truth/shown.csv` has the rates of what the floor shows (looks that begin alike are one until they part), looks count as often as
they were run, and mirror images, which the truth has as one, are cells of their own. Adjusted rates need the pipeline's
`[season.tagging]`, from labelled games of another season: `scrim score --tables T --labels G --tagging FILE`.

Labels say what the floor showed, habits what was called: a hedge whose player is not let go is a blitz on the floor. CALLED.toml gets
`[season.tagging.coverage]` of the calls of this season, for the counters of another one, whose truth are calls.
"""

import sys
from collections import defaultdict

import numpy as np
import polars as pl

games, tables, *called_file = sys.argv[1:]
LEAST_N, SEEN = 20, 50


def table(name):
    return pl.read_parquet(f"{tables}/{name}")


def truth(name):
    return pl.read_csv(f"{games}/truth/{name}.csv")


def words(look):
    alignment, *tokens = look.split(" ")
    return " ".join([alignment, *(token.split(":")[0] for token in tokens)])


class Inside:
    def __init__(self):
        self.inside = self.all = 0
        self.widths = []

    def add(self, true, low, high):
        # Tables have 32 bits, the truth six digits: a true 0 or 1 is inside bounds that end there.
        self.inside += low - 1e-6 <= true <= high + 1e-6
        self.all += 1
        self.widths.append(high - low)

    def __str__(self):
        if not self.all:
            return "no cells"
        return f"{self.inside} of {self.all} ({100 * self.inside / self.all:.1f} %), mean width {np.mean(self.widths):.3f}"


looks = truth("looks").with_columns(pl.col("tokens").fill_null(""))
run = {(r["team_id"], f"{r['alignment']} {r['tokens']}".strip()) for r in looks.to_dicts()}
shown = {
    (r["team_id"], f"{r['alignment']} {r['tokens'] or ''}".strip()): r["p_ball_screen"] for r in truth("shown").to_dicts()
}
tendencies = table("tendencies").filter((pl.col("side") == "offense") & (pl.col("n") >= LEAST_N)).to_dicts()


def both(rows):
    raw, adjusted = Inside(), Inside()
    for row, true in rows:
        raw.add(true, row["rate_low"], row["rate_high"])
        if row["rate_adjusted"] is not None:
            adjusted.add(true, row["rate_adjusted_low"], row["rate_adjusted_high"])
    return f"{raw}; adjusted {adjusted}"


of_looks = [r for r in tendencies if r["grouping"] == "look" and (r["team_id"], words(r["key"])) in run]

def wilson(hits, n):
    z2 = 1.959964**2
    rate = hits / n
    half = 1.959964 * np.sqrt(rate * (1 - rate) / n + z2 / (4 * n * n))
    middle = rate + z2 / (2 * n)
    return (middle - half) / (1 + z2 / n), (middle + half) / (1 + z2 / n)


# What the luck of the draw alone does: looks and what came next as they were drawn, no tracking and no tags.
p_next = {
    (r["team_id"], r["look"]): r["p"] for r in truth("next_actions").to_dicts() if r["next_action"] == "ball_screen"
}
came_next = defaultdict(list)
for row in truth("look_runs").filter(pl.col("next_action").is_not_null()).to_dicts():
    came_next[row["team_id"], row["look"]].append(row["next_action"] == "ball_screen")
drawn, drawn_gaps = Inside(), []
for look, hits in came_next.items():
    if len(hits) < LEAST_N:
        continue
    drawn.add(p_next[look], *wilson(sum(hits), len(hits)))
    # The surprise of an estimator that sees the truth (Krichevsky & Trofimov's, of two outcomes).
    before = np.cumsum(hits) - hits
    bits = -np.log2((before + 0.5) / (np.arange(len(hits)) + 1))
    surprises = [bits for n, (bits, hit) in enumerate(zip(bits, hits)) if hit and n >= SEEN]
    if len(surprises) >= LEAST_N:
        drawn_gaps.append(np.mean(surprises) + np.log2(p_next[look]))
print("looks, flow rates, as drawn:", drawn)
print("looks, flow rates:", both((r, shown[r["team_id"], words(r["key"])]) for r in of_looks))
share = {(r["team_id"], r["entry"]): r["share"] for r in truth("flow").to_dicts()}
of_entries = [r for r in tendencies if r["grouping"] == "entry" and (r["team_id"], r["key"]) in share]
print("entries, shares:", both((r, share[r["team_id"], r["key"]]) for r in of_entries))
played = {(r["team_id"], r["coverage"]): r["p"] for r in truth("coverage_habits").to_dicts()}

# Surprise, look by look: the ball screens of a team out of a look from the time on that it has seen the look SEEN times.
days = {r["game_id"]: r["date"] for r in table("games").select("game_id", "date").to_dicts()}
possessions = table("possessions").filter(pl.col("phase") == "half_court")
came = defaultdict(list)
for row in possessions.select("game_id", "offense_team_id", "alignment", "token_chain").to_dicts():
    tokens = [token.split(":")[0] for token in row["token_chain"].split()]
    for k in range(len(tokens) + 1):
        look = " ".join([row["alignment"] or "other", *tokens[:k]])
        if (row["offense_team_id"], look) in run:
            came[row["offense_team_id"], look].append(days[row["game_id"]])
offense = table("possessions").select("game_id", "possession_id", "offense_team_id")
screens = table("screens").filter(pl.col("screen_kind") == "ball_screen").select("game_id", "screen_id")
entries = table("entries").join(screens, on=["game_id", "screen_id"]).join(offense, on=["game_id", "possession_id"])
entries = entries.join(table("disguises"), on=["game_id", "screen_id"])
bits = defaultdict(list)
before = {key: np.sort(np.array(days_of)) for key, days_of in came.items()}
for row in entries.to_dicts():
    key = (row["offense_team_id"], words(row["look"]))
    if key in run and row["surprise_bits"] is not None:
        if np.searchsorted(before[key], days[row["game_id"]]) >= SEEN:
            bits[key].append(row["surprise_bits"])
gaps = {key: np.mean(of) + np.log2(shown[key]) for key, of in bits.items() if len(of) >= LEAST_N}
within = sum(abs(gap) <= 0.15 for gap in gaps.values())
spread = np.array(list(gaps.values()))
print(
    f"surprise: {within} of {len(gaps)} looks within 0.15 bit of the truth; mean {spread.mean():+.3f}, "
    f"mean size {np.abs(spread).mean():.3f}, largest {np.abs(spread).max():.3f}"
)

print(f"surprise, as drawn: {sum(abs(gap) <= 0.15 for gap in drawn_gaps)} of {len(drawn_gaps)} looks within 0.15 bit of the truth")

# Counters: what the defence plays next out of the same look, by what it played and who had the better of it.
change = {
    (r["team_id"], r["side"], r["coverage"], r["result"]): r["p_change"] for r in truth("counters").to_dicts()
}


def next_coverage(team, coverage, result, following):
    changed = change[team, "defense", coverage, result]
    if following == coverage:
        return 1 - changed
    return changed * played[team, following] / (1 - played[team, coverage])


def next_is(rows, hits, true):
    """The same from the drawn runs: [(cell, hit)] to Wilson bounds."""
    inside = Inside()
    for cell, n in rows.items():
        if n >= LEAST_N:
            inside.add(true(cell), *wilson(hits.get(cell, 0), n))
    return inside


counters = table("counters").filter(
    (pl.col("side") == "defense") & (pl.col("option") == "any") & pl.col("team_id").is_not_null() & (pl.col("n") >= LEAST_N)
)
cells = [(row, (row["team_id"], row["coverage"], row["result"], row["next"])) for row in counters.to_dicts()]
known = [(row, cell) for row, cell in cells if {(cell[0], cell[1]), (cell[0], cell[3])} <= played.keys()]
print("counters, next coverage, through tracking:", both((row, next_coverage(*cell)) for row, cell in known))
runs = truth("look_runs").filter(pl.col("coverage_called").is_not_null() & pl.col("last_coverage").is_not_null())
n, hits = defaultdict(int), defaultdict(int)
for row in runs.to_dicts():
    for following in [c for team, c in played if team == row["opponent_id"]]:
        cell = (row["opponent_id"], row["last_coverage"], row["last_result"], following)
        n[cell] += 1
        hits[cell] += row["coverage_called"] == following
print("counters, next coverage, as drawn:", next_is(n, hits, lambda cell: next_coverage(*cell)))

if called_file:
    screens = table("screens").filter(pl.col("screen_kind") == "ball_screen")
    screens = screens.join(table("coverages").select("game_id", "screen_id", "coverage"), on=["game_id", "screen_id"])
    of_two = defaultdict(list)
    for row in screens.to_dicts():
        of_two[row["game_id"], row["period"], row["screener_id"], row["user_id"]].append(row)
    labels = pl.read_parquet(f"{games}/*/labels/screens.parquet")
    calls = truth("look_runs").filter(pl.col("coverage_called").is_not_null() & pl.col("screen_id").is_not_null())
    calls = calls.select("game_id", pl.col("screen_id").cast(labels.schema["screen_id"]), "coverage_called")
    read = defaultdict(lambda: defaultdict(int))
    for row in labels.join(calls, on=["game_id", "screen_id"]).to_dicts():
        for found in of_two[row["game_id"], row["period"], row["screener_id"], row["user_id"]]:
            if abs(found["t_use_s"] - row["t_use_s"]) < 1 and found["coverage"] != "unclear":
                read[row["coverage_called"]][found["coverage"]] += 1
                break
    with open(called_file[0], "w", encoding="utf-8") as out:
        for call, words in sorted(read.items()):
            counts = "\n".join(f"{word} = {count}" for word, count in sorted(words.items()))
            out.write(f"[season.tagging.coverage.{call}]\n{counts}\n\n")
