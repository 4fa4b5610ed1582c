"""Cohen's kappa by scikit-learn, and its standard error by drawing the things again.

In: {"tables": [[[count, ...], ...], ...]}. Out: {"kappas": [kappa, ...], "errors": [standard deviation over 20,000 draws, ...]}.
"""

import json
import sys

import numpy as np
from sklearn.metrics import cohen_kappa_score

question = json.load(sys.stdin)
rng = np.random.default_rng(20_412)
kappas, errors = [], []
for counts in question["tables"]:
    counts = np.array(counts)
    words = len(counts)
    pairs = [(a, b) for a in range(words) for b in range(words) for _ in range(counts[a, b])]
    kappas.append(cohen_kappa_score([a for a, _ in pairs], [b for _, b in pairs], labels=list(range(words))))
    n = counts.sum()
    drawn = rng.multinomial(n, counts.ravel() / n, size=20_000).reshape(-1, words, words) / n
    agreed = np.trace(drawn, axis1=1, axis2=2)
    by_chance = np.sum(drawn.sum(axis=2) * drawn.sum(axis=1), axis=1)
    errors.append(np.std((agreed - by_chance) / (1 - by_chance)))

json.dump({"kappas": kappas, "errors": errors}, sys.stdout, default=float)
