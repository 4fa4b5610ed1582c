"""The assignment of least total cost, by SciPy (linear_sum_assignment).

In: {"costs": [[[cost of defender on attacker, ...], ...], ...]}. Out: [[attacker of defender 0, ...], ...].
"""

import json
import sys

from scipy.optimize import linear_sum_assignment

json.dump([linear_sum_assignment(cost)[1].tolist() for cost in json.load(sys.stdin)["costs"]], sys.stdout)
