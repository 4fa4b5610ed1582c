"""Bootstrap intervals of a ratio of sums, by scipy.stats.bootstrap.

In: {"cases": [{"above": [...], "below": [...], "replicates": [...]}, ...]}.
Out: {"cases": [{"same": [low, high], "own": [low, high], "own_error": se}, ...]}: the percentile interval of the replicates
that were given, and of SciPy's own 20,000; the standard error that SciPy finds. The level is that of the interval expanded for
small samples: t of n - 1 degrees of freedom times sqrt(n / (n - 1)) in place of 1.96.
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
    n = len(data[0])
    cut = stats.norm.cdf(stats.t.ppf(0.025, n - 1) * np.sqrt(n / (n - 1)))
    options = dict(paired=True, vectorized=True, method="percentile", confidence_level=1 - 2 * cut)
    # With a distribution given and no resamples of its own, SciPy makes its interval of the one given.
    given = SimpleNamespace(bootstrap_distribution=np.array(case["replicates"]))
    same = stats.bootstrap(data, ratio, n_resamples=0, bootstrap_result=given, **options).confidence_interval
    own = stats.bootstrap(data, ratio, n_resamples=20_000, batch=500, rng=np.random.default_rng(1), **options)
    answers.append({"same": list(same), "own": list(own.confidence_interval), "own_error": own.standard_error})
json.dump({"cases": answers}, sys.stdout, default=float)
