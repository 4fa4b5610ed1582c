"""Do the practice games move as real people do? Statistics of motion side by side, and a small classifier that tries to separate the two.

    python practice_motion.py GAMES [--real FOLDER] [--features OUT.csv]

GAMES holds what `scrim practice --court nba --noise 0` writes; FOLDER holds scenes/ and labels/ in the same form (default: the
environment variable SCRIM_REAL, else ../shared/real beside the checkout). As the Rust test calls it: JSON on standard input, JSON out.

What is compared is cut and measured the same way on both sides. A window runs from the instant at which the ball and four attackers
are past half court to the last instant of control before the shot; of a possession that began in the back court, ended in a made
shot, was 8.8 s or longer and had no ball at the hoop before. All tracks are put on a step of 0.12 s and smoothed alike. Who has the ball, who guards
whom and who stands are read from positions alone. No feature is a count or a length of the window: all are means, medians, shares and
rates. The classifier gets one row a window.
"""

import argparse
import json
import os
import sys
from pathlib import Path

import numpy as np
import polars as pl

from practice_windows import HOOP, STEP_S, length, of_practice, of_real, runs


# --- The features of a window -------------------------------------------------------------------------------------------


def approaches(w):
    """Each time a team-mate is nearest to the handler (within 2.5 m, in the front court): frame, handler, mate."""
    found = []
    for mate in range(5):
        gap = np.where(
            (w.holder >= 0) & (w.holder != mate), length(w.X[np.arange(len(w.X)), w.holder + 1] - w.X[:, mate + 1]), np.inf
        )
        for k in range(len(gap)):
            near = gap[max(0, k - 8) : k + 9]
            if gap[k] < 2.5 and gap[k] == near.min() and length(w.X[k, mate + 1] - HOOP) > 3.0:
                found.append((k, int(w.holder[k]), mate))
    return found


def touches(w):
    """Spells of control that end inside the window, in seconds."""
    return np.array([(b - a) * STEP_S for a, b, who in runs(w.holder) if who >= 0])


def longest_below(speed, limit):
    best = 0
    for a, b, is_low in runs(speed < limit):
        best = max(best, b - a) if is_low else best
    return best * STEP_S


def features(w):
    n = np.arange(len(w.X))
    held = w.holder >= 0
    holder = np.where(held, w.holder, 0)
    off = np.ones((len(n), 5), bool)
    off[n[held], holder[held]] = False
    own_gap = length(w.X[:, 1:6] - w.X[n[:, None], w.guard])
    ball_y = w.X[:, 0, 1]
    weak = off & (w.X[:, 1:6, 1] * ball_y[:, None] < 0) & (np.abs(ball_y[:, None]) > 1.2)
    off_speed, def_speed = w.speed[:, 1:6][off], w.speed[:, 6:]
    hold_speed = w.speed[n, holder + 1][held]
    hold_spot = w.X[n, holder + 1]
    to_hold = length(w.X[:, 6:] - hold_spot[:, None])
    nearest = to_hold.min(1)[held]
    attackers = w.X[:, 1:6]
    pairs = length(attackers[:, :, None] - attackers[:, None])[:, *np.triu_indices(5, 1)]
    first, last = w.X[:-12, 1:6], w.X[12:, 1:6]
    way = sum(length(w.X[k + 1 : len(w.X) - 11 + k, 1:6] - w.X[k : len(w.X) - 12 + k, 1:6]) for k in range(12))
    seconds = len(n) * STEP_S
    spells = touches(w)
    near = approaches(w)
    mean = lambda x: float(np.mean(x)) if len(x) else np.nan
    at = lambda k, reach: slice(max(0, k - reach), k + reach + 1)
    return {
        "off_speed_mps": np.median(off_speed),
        "off_still_share": (off_speed < 0.5).mean(),
        "off_slow_share": (off_speed < 1.0).mean(),
        "off_fast_share": (off_speed > 3.0).mean(),
        "off_accel_mps2": np.median(w.accel[:, 1:6][off]),
        "off_straightness": np.median(length(last - first) / np.maximum(way, 0.1)),
        "handler_speed_mps": np.median(hold_speed),
        "handler_still_share": (hold_speed < 0.5).mean(),
        "handler_fast_share": (hold_speed > 3.0).mean(),
        "defender_speed_mps": np.median(def_speed),
        "defender_still_share": (def_speed < 0.5).mean(),
        "defender_slow_share": (def_speed < 1.0).mean(),
        "defender_fast_share": (def_speed > 3.0).mean(),
        "defender_accel_mps2": np.median(w.accel[:, 6:]),
        "touches_per_10_s": 10 * len(spells) / seconds,
        "touch_s": np.median(spells) if len(spells) else np.nan,
        "ball_speed_held_mps": np.median(w.speed[:, 0][held]),
        "ball_to_handler_m": np.median(length(w.X[:, 0] - hold_spot)[held]),
        "pair_m": pairs.mean(),
        "nearest_mate_m": length(attackers[:, :, None] - attackers[:, None] + 99 * np.eye(5)[:, :, None]).min(2).mean(),
        "attackers_to_hoop_m": length(attackers - HOOP).mean(),
        "handler_to_hoop_m": np.median(length(hold_spot - HOOP)[held]),
        "defenders_to_hoop_m": length(w.X[:, 6:] - HOOP).mean(),
        "handler_defender_m": np.median(nearest),
        "handler_defender_low_m": np.quantile(nearest, 0.25),
        "own_defender_m": np.median(own_gap[off]),
        "own_defender_far_m": np.quantile(own_gap[off], 0.9),
        "weak_defender_m": np.median(own_gap[weak]) if weak.any() else np.nan,
        "approaches_per_10_s": 10 * len(near) / seconds,
        "approach_handler_speed_mps": mean([w.speed[k, h + 1] for k, h, _ in near]),
        "approach_mate_speed_mps": mean([w.speed[at(k, 6), m + 1].min() for k, _, m in near]),
        "approach_mate_stood_s": mean([longest_below(w.speed[at(k, 12), m + 1], 1.0) for k, _, m in near]),
        "approach_gap_m": mean([length(w.X[k, h + 1] - w.X[k, m + 1]) for k, h, m in near]),
        "approach_had_ball_share": mean([(w.holder[max(0, k - 33) : k] == m).any() for k, _, m in near]),
        "approach_guard_to_mate_m": mean([length(w.X[at(k, 8), w.guard[k, h]] - w.X[at(k, 8), m + 1]).min() for k, h, m in near]),
        "approach_mate_guard_m": mean([length(w.X[k, w.guard[k, m]] - w.X[k, m + 1]) for k, _, m in near]),
    }


def feature_table(windows):
    return pl.DataFrame([{"window": "/".join(map(str, np.atleast_1d(w.key))), **features(w)} for w in windows])


# --- The classifier -----------------------------------------------------------------------------------------------------


def auc_of(real, practice, seed=0):
    """Area under the curve of a small classifier, five-fold; and each feature's own (0.5: says nothing)."""
    from sklearn.ensemble import HistGradientBoostingClassifier
    from sklearn.impute import SimpleImputer
    from sklearn.linear_model import LogisticRegression
    from sklearn.metrics import roc_auc_score
    from sklearn.model_selection import StratifiedKFold, cross_val_predict
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import StandardScaler

    names = [c for c in practice.columns if c != "window"]
    F = np.vstack([t.select(names).to_numpy().astype(float) for t in (real, practice)])
    y = np.r_[np.ones(len(real)), np.zeros(len(practice))]
    folds = StratifiedKFold(5, shuffle=True, random_state=seed)
    models = {
        "trees": HistGradientBoostingClassifier(
            max_iter=80, learning_rate=0.08, max_leaf_nodes=5, min_samples_leaf=15, l2_regularization=3, random_state=seed
        ),
        "logistic": make_pipeline(SimpleImputer(), StandardScaler(), LogisticRegression(C=0.1, max_iter=2000)),
    }
    whole = {k: roc_auc_score(y, cross_val_predict(m, F, y, cv=folds, method="predict_proba")[:, 1]) for k, m in models.items()}
    alone = {}
    for i, name in enumerate(names):
        known = ~np.isnan(F[:, i])
        alone[name] = roc_auc_score(y[known], F[known, i])
    return whole, alone


# --- The statistics, side by side ---------------------------------------------------------------------------------------


def screen_labels(folder, is_real):
    """Labelled screens by window key: (key, t_use_s, screener, user, outcome)."""
    if is_real:
        s = pl.read_csv(folder / "labels/screens.csv").filter(pl.col("on_ball") & pl.col("screen_kind").is_not_null())
        return [(r["game_id"], r["t_use_s"], r["screener_id"], r["user_id"], r["outcome"], r["screen_kind"]) for r in s.iter_rows(named=True)]
    rows = []
    for path in sorted(folder.glob("*/labels/screens.parquet")):
        s = pl.read_parquet(path).filter(pl.col("on_ball") & pl.col("screen_kind").is_not_null())
        for r in s.iter_rows(named=True):
            key = (path.parent.parent.name, r["period"], r["possession_id"])
            rows.append((key, r["t_use_s"], r["screener_id"], r["user_id"], r["outcome"], r["screen_kind"]))
    return rows


def screen_statistics(windows, labels):
    by_key = {w.key: w for w in windows}
    seen = []
    for key, t_s, screener, user, outcome, kind in labels:
        w = by_key.get(key)
        if w is None or outcome != "used" or kind != "ball_screen":
            continue
        k, s, u = w.at(t_s), w.names.index(screener), w.names.index(user)
        if not 16 <= k < len(w.X) - 8:
            continue
        near = length(w.X[:, s] - w.X[k, s])
        there = k
        while there > max(0, k - 25) and near[there - 1] < 1.0:
            there -= 1
        lo, hi = max(0, k - 16), k + 8
        stood = max(((b - a, a + lo, b + lo) for a, b, low in runs(w.speed[lo:hi, s] < 1.0) if low), default=(0, k, k))
        gu, gs = w.guard[max(0, k - 12), u - 1], w.guard[max(0, k - 12), s - 1]
        to_hoop = lambda p: length(p - HOOP)
        gap = length(w.X[k, s] - w.X[k, u])
        way = 0.0
        for j in range(there, max(1, there - 33), -1):
            if w.speed[j, s] < 0.7:
                break
            way += length(w.X[j, s] - w.X[j - 1, s])
        seen.append(
            {
                "handler's speed when the screener is there, m/s": w.speed[there, u],
                "... over 1.5 m/s, share": w.speed[there, u] > 1.5,
                "handler's speed at the use, m/s": w.speed[k, u],
                "screener below 1 m/s without a break, s": stood[0] * STEP_S,
                "... under 0.25 s, share": stood[0] * STEP_S < 0.25,
                "... never, share": stood[0] == 0,
                "time stood before the use, s": max(0, min(stood[2], k) - stood[1]) * STEP_S if stood[0] else 0.0,
                "screener had the ball in the last 4 s, share": (w.holder[max(0, k - 33) : k] == s - 1).any(),
                "handler to screener at the use, m": gap,
                "... over 1.6 m, share": gap > 1.6,
                "screener's way before the screen, m": way,
                "defender below the screener, m": to_hoop(w.X[k, s]) - to_hoop(w.X[k, gs]),
                "defender to the screener, m": length(w.X[k, gs] - w.X[k, s]),
                "handler's defender to the screener, least, m": length(w.X[k - 8 : k + 9, gu] - w.X[k - 8 : k + 9, s]).min(),
            }
        )
    out = {"ball screens that were used, counted": float(len(seen))}
    for name in seen[0] if seen else {}:
        values = np.array([r[name] for r in seen], float)
        out[name] = values.mean() if name.endswith("share") else np.median(values)
    return out


def statistics(windows, labels):
    """The statistics of real play's README, over all windows together."""
    pool = {}
    add = lambda name, values: pool.setdefault(name, []).append(np.ravel(values))
    seconds = 0.0
    for w in windows:
        n = np.arange(len(w.X))
        held = w.holder >= 0
        holder = np.where(held, w.holder, 0)
        off = np.ones((len(n), 5), bool)
        off[n[held], holder[held]] = False
        own = length(w.X[:, 1:6] - w.X[n[:, None], w.guard])
        ball_y = w.X[:, 0, 1]
        weak = off & (w.X[:, 1:6, 1] * ball_y[:, None] < 0) & (np.abs(ball_y[:, None]) > 1.2)
        hold = w.speed[n, holder + 1][held]
        reach = length(w.X[:, 0] - w.X[n, holder + 1])[held]
        seconds += len(n) * STEP_S
        add("off", w.speed[:, 1:6][off]), add("hold", hold), add("def", w.speed[:, 6:])
        add("touch", touches(w)), add("gap", length(w.X[:, 6:] - w.X[n, holder + 1][:, None]).min(1)[held])
        add("own", own[off]), add("weak", own[weak]), add("ball", w.speed[:, 0][held])
        add("moving", reach[hold > 2]), add("standing", reach[hold < 0.5]), add("accel", w.accel[:, 1:6][off])
        add("flight", [length(w.X[b, 0] - w.X[a, 0]) / ((b - a) * STEP_S) for a, b, who in runs(w.holder) if who < 0 and 1 < b - a and a > 0 and b < len(n) - 12])
    p = {k: np.concatenate(v) for k, v in pool.items()}
    q = lambda name, share=0.5: float(np.quantile(p[name], share))
    below = lambda name, limit: float((p[name] < limit).mean())
    return {
        "windows, counted": float(len(windows)),
        "window's length, mean, s": seconds / len(windows),
        **screen_statistics(windows, labels),
        "off-ball attackers' speed, m/s": q("off"),
        "... below 0.5 m/s, share": below("off", 0.5),
        "... below 1 m/s, share": below("off", 1.0),
        "... 95th percentile, m/s": q("off", 0.95),
        "handler's speed, m/s": q("hold"),
        "handler below 0.5 m/s, share": below("hold", 0.5),
        "defenders' speed, m/s": q("def"),
        "defenders below 0.5 m/s, share": below("def", 0.5),
        "defenders below 1 m/s, share": below("def", 1.0),
        "touch, s": q("touch"),
        "touch, 95th percentile, s": q("touch", 0.95),
        "touches in 10 s": 10 * len(p["touch"]) / seconds,
        "nearest defender to the handler, m": q("gap"),
        "... lower quartile, m": q("gap", 0.25),
        "... upper quartile, m": q("gap", 0.75),
        "off-ball attacker to own defender, m": q("own"),
        "... 95th percentile, m": q("own", 0.95),
        "... weak side, m": q("weak"),
        "... weak side, 95th percentile, m": q("weak", 0.95),
        "ball's speed while controlled, m/s": q("ball"),
        "ball to handler over 2 m/s, m": q("moving"),
        "ball to handler who stands, m": q("standing"),
        "pass, m/s": q("flight"),
        "acceleration off the ball, m/s2": q("accel"),
        "ball screens and handoffs in a window": sum(label[0] in {w.key for w in windows} for label in labels) / len(windows),
    }


def real_folder():
    named = os.environ.get("SCRIM_REAL")
    folder = Path(named) if named else Path(__file__).resolve().parents[3] / "shared/real"
    return folder if (folder / "scenes/tracking.parquet").is_file() else None


def answer(question):
    """For the Rust test: the feature table of the practice games, and how well a classifier separates it from real windows."""
    table = feature_table(of_practice(Path(question["games"])))
    names = [c for c in table.columns if c != "window"]
    out = {"windows": table["window"].to_list(), "names": names, "features": table.select(names).fill_nan(None).rows(), "auc": None}
    folder = real_folder()
    if folder:
        out["auc"] = max(auc_of(feature_table(of_real(folder)), table)[0].values())
    return out


def main():
    if len(sys.argv) == 1:
        print(json.dumps(answer(json.load(sys.stdin))))
        return
    a = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    a.add_argument("games", type=Path)
    a.add_argument("--real", type=Path, default=real_folder())
    a.add_argument("--features", type=Path)
    a = a.parse_args()
    practice = list(of_practice(a.games))
    table = feature_table(practice)
    if a.features:
        table.with_columns(pl.selectors.float().round(3)).write_csv(a.features)
    ours = statistics(practice, screen_labels(a.games, False))
    theirs = None
    if a.real:
        real = list(of_real(a.real))
        labels = screen_labels(a.real, True)
        theirs = statistics(real, labels)
        labelled = set(pl.read_csv(a.real / "labels/labelled.csv")["game_id"])
        theirs["ball screens and handoffs in a window"] = len([x for x in labels if x[0] in {w.key for w in real}]) / len(
            [w for w in real if w.key in labelled]
        )
    for name, value in ours.items():
        other = theirs[name] if theirs else np.nan
        off = "" if not theirs or abs(value - other) <= 0.2 * abs(other) else "  <-- off by more than a fifth"
        print(f"{name:52} real {other:8.2f}  practice {value:8.2f}{off}")
    if a.real:
        real_table = feature_table(real)
        whole, alone = auc_of(real_table, table)
        for name, value in sorted(alone.items(), key=lambda x: -abs(x[1] - 0.5)):
            print(f"  {name:32} AUC {value:.2f}   real {np.nanmean(real_table[name]):7.3f} sd {np.nanstd(real_table[name]):6.3f}   practice {np.nanmean(table[name]):7.3f} sd {np.nanstd(table[name]):6.3f}")
        print("AUC of the classifier:", ", ".join(f"{k} {v:.3f}" for k, v in whole.items()))


if __name__ == "__main__":
    main()
