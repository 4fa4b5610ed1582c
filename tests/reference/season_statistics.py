"""Statistics of the season tables, by SciPy and NumPy.

In: {"rates": [[hits, n], ...], "pairs": [[[hits, n], [hits, n]], ...], "counts": [[count, ...], ...],
"teams": [[[value, standard error], ...], ...], "team_rates": [[[hits, n], ...], ...],
"misread": [{"pairs": [[count, ...], ...], "labels": [[count, ...], ...], "next": bool}, ...],
"tags": [[hits, n, [[found, labelled less found], [others less passed, passed]]], ...]}.
Out: {"rates": [[low, high], ...], "pairs": [[low, high], ...], "counts": [[plug-in, corrected, low, high], ...],
"teams" and "team_rates": [[[mean, low, high], ...], ...], "misread": [[[[rate, low, high], ...], ...], ...],
"tags": [[rate, low, high], ...]}.

SciPy: Wilson's interval, entropies, the normal and beta distributions, root finding. Written out here:
Newcombe's method 10 from Wilson's intervals, Miller's correction, the delta method's variance, and the two models in which
teams are drawn toward the league, by Gauss-Legendre quadrature on far finer grids than the program's. Rates through words
that are sometimes misread: NumPy solves the equations, and draws pairs and labels anew 40,000 times for the bounds.
"""

import json
import sys

import numpy as np
from scipy import optimize, stats
from scipy.special import betainc, betaln

question = json.load(sys.stdin)
Z = stats.norm.ppf(0.975)


def wilson(hits, n):
    interval = stats.binomtest(hits, n).proportion_ci(0.95, method="wilson")
    return interval.low, interval.high


def newcombe(first, second):
    (l1, u1), (l2, u2) = wilson(*first), wilson(*second)
    p1, p2 = first[0] / first[1], second[0] / second[1]
    return p1 - p2 - np.hypot(p1 - l1, u2 - p2), p1 - p2 + np.hypot(u1 - p1, p2 - l2)


def entropy(counts):
    counts = np.array([count for count in counts if count > 0], dtype=float)
    n, m = counts.sum(), len(counts)
    plug_in = stats.entropy(counts, base=2)
    corrected = plug_in + (m - 1) / (2 * n) / np.log(2)
    shares = np.append(counts, 0.0) + 0.5
    shares /= shares.sum()
    variance = (np.sum(shares * np.log2(shares) ** 2) - stats.entropy(shares, base=2) ** 2) / n
    half, most = Z * np.sqrt(variance), max(np.log2(m + 1), corrected)
    return plug_in, corrected, min(max(corrected - half, 0), most), min(max(corrected + half, 0), most)


def shrunk_means(teams):
    y, se = np.array(teams).T
    # Flat in tau from 0; beyond the end nothing is left that could be seen in the fourth digit. Gauss-Legendre on 2,000 nodes.
    nodes, weights = np.polynomial.legendre.leggauss(2000)
    tau = (nodes + 1) / 2 * 3 * max(np.ptp(y), se.max())
    total = se[:, None] ** 2 + tau**2
    precision = np.sum(1 / total, axis=0)
    mean = np.sum(y[:, None] / total, axis=0) / precision
    log = -0.5 * np.log(precision) + np.sum(stats.norm.logpdf(y[:, None], mean, np.sqrt(total)), axis=0)
    weights = weights * np.exp(log - log.max())
    weights /= weights.sum()
    answers = []
    for value, error in zip(y, se):
        toward = error**2 / (error**2 + tau**2)
        middle = (1 - toward) * value + toward * mean
        spread = np.sqrt((1 - toward) * error**2 + toward**2 / precision)

        def bound(share, middle=middle, spread=spread):
            return optimize.brentq(lambda x: np.sum(weights * stats.norm.cdf(x, middle, spread)) - share, -200, 200, xtol=1e-9)

        answers.append((np.sum(weights * middle), bound(0.025), bound(0.975)))
    return answers


def shrunk_rates(teams):
    hits, n = np.array(teams, dtype=float).T
    # Flat in the mean m and in s = M ** -0.5, by Gauss-Legendre; beyond six standard errors of a mean of so few teams m has no
    # weight.
    nodes, node_weights = np.polynomial.legendre.leggauss(80)
    rate = (hits.sum() + 0.5) / (n.sum() + 1)
    half = 6 * np.sqrt(rate * (1 - rate) / len(n))
    low, high = max(rate - half, 0), min(rate + half, 1)
    m = low + (high - low) * (nodes + 1) / 2
    s = (nodes + 1) / 2
    mm, ss = np.meshgrid(m, s, indexing="ij")
    alpha, beta = mm / ss**2, (1 - mm) / ss**2
    log = np.zeros_like(mm)
    for h, k in zip(hits, n):
        log += betaln(alpha + h, beta + k - h) - betaln(alpha, beta)
    weights = np.exp(log - log.max()) * np.outer(node_weights, node_weights)
    weights /= weights.sum()
    keep = weights > 1e-9
    alpha, beta, weights = alpha[keep], beta[keep], weights[keep]
    answers = []
    for h, k in zip(hits, n):
        a, b = alpha + h, beta + k - h

        def bound(share, a=a, b=b):
            return optimize.brentq(lambda x: np.sum(weights * betainc(a, b, x)) - share, 0, 1, xtol=1e-9)

        answers.append((np.sum(weights * a / (a + b)), bound(0.025), bound(0.975)))
    return answers


DRAWS = 40_000
rng = np.random.default_rng(20_411)


def redrawn(table, draws):
    """Each row of a table of counts drawn anew, as shares."""
    rows = [rng.multinomial(int(row.sum()), row / row.sum(), size=draws) / row.sum() for row in table]
    return np.stack(rows, axis=1)


def true_tables(pairs, chances, next_too):
    """pairs = chances.T @ truth (@ chances): truth, for stacks of tables."""
    truth = np.linalg.solve(np.swapaxes(chances, -1, -2), pairs)
    if next_too:
        truth = np.swapaxes(np.linalg.solve(np.swapaxes(chances, -1, -2), np.swapaxes(truth, -1, -2)), -1, -2)
    return truth


def misread(case):
    pairs, labels = np.array(case["pairs"], dtype=float), np.array(case["labels"], dtype=float)
    rates = lambda truth: truth / truth.sum(axis=-1, keepdims=True)
    value = rates(true_tables(pairs, labels / labels.sum(axis=1, keepdims=True), case["next"]))
    shape = (DRAWS, *pairs.shape)
    drawn = rng.multinomial(int(pairs.sum()), pairs.ravel() / pairs.sum(), size=DRAWS).reshape(shape).astype(float)
    low, high = np.quantile(rates(true_tables(drawn, redrawn(labels, DRAWS), case["next"])), [0.025, 0.975], axis=0)
    return np.stack([value, low, high], axis=-1).tolist()


def through_tags(hits, n, labels):
    labels = np.array(labels, dtype=float)
    share = lambda seen, chances: np.linalg.solve(np.swapaxes(chances, -1, -2), seen)
    value = share(np.array([hits, n - hits]) / n, labels / labels.sum(axis=1, keepdims=True))[0]
    seen = rng.binomial(n, hits / n, size=DRAWS) / n
    drawn = share(np.stack([seen, 1 - seen], axis=-1)[..., None], redrawn(labels, DRAWS))[:, 0, 0]
    return [value, *np.quantile(drawn, [0.025, 0.975])]


json.dump(
    {
        "rates": [wilson(*rate) for rate in question["rates"]],
        "pairs": [newcombe(*pair) for pair in question["pairs"]],
        "counts": [entropy(counts) for counts in question["counts"]],
        "teams": [shrunk_means(teams) for teams in question["teams"]],
        "team_rates": [shrunk_rates(teams) for teams in question["team_rates"]],
        "misread": [misread(case) for case in question["misread"]],
        "tags": [through_tags(*case) for case in question["tags"]],
    },
    sys.stdout,
    default=float,
)
