"""Half-court windows of real and of practice possessions, cut, thinned, smoothed and read in the same way (for practice_motion.py)."""

import numpy as np
import polars as pl
from scipy.optimize import linear_sum_assignment
from scipy.signal import savgol_filter

STEP_S = 0.12
HOOP = np.array([14.325 - 1.6002, 0.0])  # 94 ft long, hoop centre 5.25 ft from the end line
LEAST_S, LEAST_WINDOW_S = 8.8, 5.0
CONTROL_M = 1.3


def length(v):
    return np.linalg.norm(v, axis=-1)


def smooth(xy):
    """Both sides go through the same filter at the same step, so that the step and the last noise give nothing away."""
    return savgol_filter(xy, 7, 2, axis=0) if len(xy) > 7 else xy


class Window:
    """A possession's half-court part: X [frames, 11, 2] with the ball first, then attackers, then defenders; the hoop at +x."""

    def __init__(self, X, names, t0, key):
        self.X, self.names, self.t0, self.key = X, names, t0, key
        V = np.gradient(X, axis=0) / STEP_S
        self.V, self.speed = V, length(V)
        self.accel = length(np.gradient(V, axis=0) / STEP_S)
        self.to_ball = length(X[:, 1:] - X[:, :1])
        self.holder = find_holders(self.to_ball)
        self.guard = find_guards(X)

    def at(self, t):
        return int(round((t - self.t0) / STEP_S))


def find_holders(to_ball):
    """The attacker (0 to 4) who has the ball, or -1: nearest of all, within reach, for at least two steps."""
    near = to_ball.argmin(1)
    has = np.where((to_ball.min(1) < CONTROL_M) & (near < 5), near, -1)
    out = np.full(len(has), -1)
    for a, b, who in runs(has):
        if who >= 0 and b - a >= 2:
            out[a:b] = who
    # A dribble that bounces ahead is no new touch.
    spells = [(a, b, w) for a, b, w in runs(out) if w >= 0]
    for (_, b, w), (c, _, v) in zip(spells, spells[1:]):
        if w == v and c - b <= 6:
            out[b:c] = w
    return out


def runs(values):
    """Stretches of equal values: [first, last + 1, value]."""
    cut = np.flatnonzero(np.diff(values)) + 1
    edges = [0, *cut, len(values)]
    return [(a, b, values[a]) for a, b in zip(edges, edges[1:])]


def find_guards(X):
    """For each frame and attacker the defender (index into X) who guards them: nearest to expected position over two seconds."""
    cost = np.stack(
        [[length(X[:, d] - (0.62 * X[:, a] + 0.11 * X[:, 0] + 0.27 * HOOP)) for d in range(6, 11)] for a in range(1, 6)]
    )
    guard = np.zeros((len(X), 5), int)
    for a in range(0, len(X), 8):
        who = linear_sum_assignment(cost[:, :, max(0, a - 8) : a + 17].sum(2))[1]
        guard[a : a + 8] = who + 6
    return guard


def cut_window(X, names, t, key):
    """The window of a possession, if it is one that can be compared. X: hoop at +x, step 0.12 s, ball first, attackers, defenders."""
    if (len(X) - 1) * STEP_S < LEAST_S or np.isnan(X).any() or X[0, 0, 0] > 0:
        return None
    X = smooth(X)
    held = np.flatnonzero(find_holders(length(X[:, 1:] - X[:, :1])) >= 0)
    past = (np.maximum.accumulate(X[:, 0, 0]) > 0) & ((X[:, 1:6, 0] > 0).sum(1) >= 4)
    if not past.any() or not len(held):
        return None
    first, last = int(past.argmax()), int(held[-1])
    missed = (length(X[: max(0, last - 12), 0] - HOOP) < 0.6).any()
    if missed or (last - first) * STEP_S < LEAST_WINDOW_S:
        return None
    return Window(X[first : last + 1], names, t[0] + first * STEP_S, key)


def of_real(folder):
    d = pl.read_parquet(folder / "scenes/tracking.parquet").sort("game_id", "t_s", maintain_order=True)
    for scene in d.partition_by("game_id", maintain_order=True):
        n = scene["t_s"].n_unique()
        xy = np.stack([scene["x_m"], scene["y_m"]], -1).reshape(n, 11, 2).astype(float)
        names = scene["player_id"][:11].to_list()
        if xy[-1, 0, 0] < 0:
            xy = -xy
        to_ball = length(xy[:, 1:] - xy[:, :1])
        near = to_ball.argmin(1)[to_ball.min(1) < CONTROL_M]
        order = [0, *range(1, 11)] if 2 * (near < 5).sum() > len(near) else [0, *range(6, 11), *range(1, 6)]
        w = cut_window(xy[:, order], [names[i] for i in order], scene["t_s"].unique().sort().to_numpy(), scene["game_id"][0])
        if w:
            yield w


def of_practice(folder):
    for game in sorted(p.parent for p in folder.glob("*/tracking.parquet")):
        d = pl.read_parquet(game / "tracking.parquet")
        possessions = pl.read_parquet(game / "labels/possessions.parquet").filter(pl.col("end_kind") == "shot_made")
        for (period,), frames in d.partition_by("period", as_dict=True, maintain_order=True).items():
            grid = {}
            times = frames["t_s"].unique().sort().to_numpy()
            at = np.searchsorted(times, frames["t_s"].to_numpy())
            for (name,), rows in frames.with_columns(at=at).partition_by("player_id", as_dict=True).items():
                xy = np.full((len(times), 2), np.nan)
                xy[rows["at"].to_numpy()] = rows.select("x_m", "y_m").to_numpy()
                grid[name] = (xy, rows["team_id"][0])
            for p in possessions.filter(pl.col("period") == period).iter_rows(named=True):
                a, b = np.searchsorted(times, [p["t_start_s"] - 1e-6, p["t_end_s"] + 1e-6])
                keep = np.arange(b - 1, a, -3)[::-1]  # backward from the ball at the hoop, 25 Hz to 8.33 Hz
                on = lambda team: [n for n, (xy, t) in grid.items() if t == team and not np.isnan(xy[keep]).any()]
                names = [None, *on(p["offense_team_id"]), *on(p["defense_team_id"])]
                if len(names) != 11:
                    continue
                xy = np.stack([grid[n][0] for n in names], 1)
                # What the cameras' makers do before they thin: the mean of three frames.
                mean = (xy[keep - 1] + xy[keep] + xy[np.minimum(keep + 1, len(xy) - 1)]) / 3
                mean = mean if p["attacks_positive_x"] else -mean
                w = cut_window(mean, names, times[keep], (game.name, p["period"], p["possession_id"]))
                if w:
                    yield w
