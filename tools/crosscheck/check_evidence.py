#!/usr/bin/env python3
"""Recomputes the statistics of src/evidence with scipy, statsmodels and lifelines.

First `cargo test crosscheck`, which writes target/crosscheck/*.json; then, with the packages of
requirements.txt, this. Prints the largest difference of each statistic; exits 1 where one is too
large.
"""

import json
import pathlib
import sys

import numpy as np
from lifelines import KaplanMeierFitter
from scipy import optimize, stats
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
FOLDER = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "target" / "crosscheck"


def rows(name):
    return json.loads((FOLDER / f"{name}.json").read_text())


def wilson():
    for row in rows("intervals"):
        expected = proportion_confint(row["x1"], row["n1"], 0.05, "wilson")
        yield max(abs(np.array(expected) - row["wilson"]))


def newcombe():
    for row in rows("intervals"):
        counts = (row["x1"], row["n1"], row["x2"], row["n2"])
        expected = confint_proportions_2indep(*counts, method="newcomb", compare="diff")
        yield max(abs(np.array(expected) - row["newcombe"]))


def beta_quantile():
    """The relative difference, or the absolute one next to 1 and below the smallest number."""
    for row in rows("beta"):
        expected = stats.beta.ppf(row["p"], row["a"], row["b"])
        if expected < 1e-290:
            yield row["x"]
        else:
            yield abs(row["x"] - expected) / expected


def survivor():
    for row in rows("survivors"):
        fitted = KaplanMeierFitter().fit(row["times"], row["events"])
        for step in row["steps"]:
            yield abs(fitted.predict(step["time"]) - step["survival"])


def log_likelihood(row, shares):
    counts = np.array(row["prior"]) + np.array(row["resolved"])
    total = float(np.sum(counts * np.log(shares)))
    for pattern in row["open"]:
        left = [f for f in range(len(shares)) if f not in pattern["failed"]]
        total += pattern["weight"] * np.log(np.sum(np.array(shares)[left]))
    return total


def softmax(free):
    raised = np.exp(np.append(free, 0.0) - max(0.0, np.max(free, initial=0.0)))
    return raised / raised.sum()


def searched(row):
    """The maximum as a general-purpose search finds it, from an even start."""
    return softmax(
        optimize.minimize(
            lambda free: -log_likelihood(row, softmax(free)),
            np.zeros(len(row["prior"]) - 1),
            method="BFGS",
            options={"gtol": 1e-10},
        ).x
    )


def share_height():
    """How much higher the other search got; it often stops a little short."""
    for row in rows("shares"):
        yield max(0.0, log_likelihood(row, searched(row)) - log_likelihood(row, row["shares"]))


def share_point():
    for row in rows("shares"):
        yield max(abs(searched(row) - row["shares"]))


def variance():
    """The inverse of the second derivative by differences, on the first n − 1 shares."""
    for row in rows("shares"):
        point = np.array(row["shares"])
        n = len(point)

        def at(free):
            return log_likelihood(row, np.append(free, 1.0 - free.sum()))

        steps = 1e-4 * np.minimum(point[:-1], point[-1])
        hessian = np.zeros((n - 1, n - 1))
        for i in range(n - 1):
            for j in range(n - 1):
                total = 0.0
                for a, b, sign in [(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)]:
                    moved = point[:-1].copy()
                    moved[i] += a * steps[i]
                    moved[j] += b * steps[j]
                    total += sign * at(moved)
                hessian[i, j] = -total / (4 * steps[i] * steps[j])
        inverse = np.linalg.inv(hessian)
        expected = np.append(np.diag(inverse), inverse.sum())
        yield max(abs(expected - row["variances"]) / expected)


def device_strength():
    for row in rows("devices"):
        shares = np.array(row["shares"])
        counts = np.array(row["counts"], dtype=int)

        def lost(log_kappa):
            alpha = np.exp(log_kappa) * shares
            return -sum(
                stats.dirichlet_multinomial.logpmf(c, alpha, c.sum()) for c in counts
            )

        bounds = (0.0, np.log(1000.0))
        best = optimize.minimize_scalar(lost, bounds=bounds, method="bounded", options={"xatol": 1e-9})
        yield max(0.0, lost(np.log(row["kappa"])) - best.fun)


def prior():
    """How much higher scipy's search climbs than ours; the bounds and spreads are those of prior.rs."""
    stray = np.array([1.0, 0.5, 1.0])
    bounds = np.log([(0.5, 200.0), (1.0, 4.0), (0.002, 0.5)])
    for row in rows("priors"):
        stated, found = (np.log([row[name][key] for key in ("cases", "fall", "other")]) for name in ("stated", "found"))
        articles = [np.array(counts, dtype=int) for counts in row["articles"] if sum(counts) >= 5]

        def lost(place):
            cases, fall, other = np.exp(place)
            total = (((place - stated) / stray) ** 2).sum() / 2
            for counts in articles:
                steps = fall ** -np.arange(len(counts) - 1.0)
                shares = np.append((1 - other) * steps / steps.sum(), other)
                total -= stats.dirichlet_multinomial.logpmf(counts, cases * shares, counts.sum())
            return total

        starts = [stated, found, np.log([10.0, 1.2, 0.05])]
        best = min(optimize.minimize(lost, start, bounds=bounds, method="L-BFGS-B").fun for start in starts)
        yield max(0.0, lost(found) - best)


# Each statistic with the largest difference allowed.
CHECKS = [
    (wilson, 1e-12),
    (newcombe, 1e-12),
    (beta_quantile, 1e-10),
    (survivor, 1e-12),
    (share_height, 1e-9),
    (share_point, 1e-4),
    (variance, 1e-3),
    (device_strength, 1e-8),
    (prior, 1e-6),
]


def main():
    failed = 0
    for check, allowed in CHECKS:
        worst = max(check())
        failed += worst > allowed
        verdict = "ok" if worst <= allowed else "TOO FAR"
        print(f"{check.__name__:16} {worst:.2e} of {allowed:.0e}  {verdict}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
