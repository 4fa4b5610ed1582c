"""Bootstrap intervals of a ratio of sums, by scipy.stats.bootstrap.

In: {"cases": [{"above": [...], "below": [...], "replicates": [...]}, ...]}.
Out: {"cases": [{"same": [low, high], "own": [low, high], "own_error": se}, ...]}: the BCa interval of the replicates that were
given, and of SciPy's own 20,000; the standard error that SciPy finds.
"""

import json
import sys
from types import SimpleNamespace

import numpy as np
from scipy import stats


def ratio(above, below, axis=-1):
    return above.sum(axis=axis) / below.sum(axis=axis)


answers = []
for case in json.load(sys.stdin)["cases"]:
    data = (np.array(case["above"]), np.array(case["below"]))
    options = dict(paired=True, vectorized=True, method="BCa", confidence_level=0.95)
    # With a distribution given and no resamples of its own, SciPy makes its interval of the one given.
    given = SimpleNamespace(bootstrap_distribution=np.array(case["replicates"]))
    same = stats.bootstrap(data, ratio, n_resamples=0, bootstrap_result=given, **options).confidence_interval
    own = stats.bootstrap(data, ratio, n_resamples=20_000, batch=500, rng=np.random.default_rng(1), **options)
    answers.append({"same": list(same), "own": list(own.confidence_interval), "own_error": own.standard_error})
json.dump({"cases": answers}, sys.stdout, default=float)
