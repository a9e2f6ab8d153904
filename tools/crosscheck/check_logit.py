#!/usr/bin/env python3
"""Fits the equation for a case in hand again, with statsmodels and scipy.

First `cargo test crosscheck`, which writes target/crosscheck/logit*.json; then, with the packages
of requirements.txt, this. The plain conditional logit (one candidate ended each case, no prior, no
`unlisted`) is fitted by statsmodels' ConditionalLogit; the whole equation by scipy's L-BFGS-B, from
a value written down here a second time and slopes by differences. Prints the largest difference of
each; the last line counts.
"""

import json
import pathlib
import sys

import numpy as np
from scipy import optimize
from scipy.special import logsumexp
from statsmodels.discrete.conditional_models import ConditionalLogit

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
FOLDER = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "target" / "crosscheck"


def rows(name):
    return json.loads((FOLDER / f"{name}.json").read_text())


def numbers(weights):
    unlisted = [weights[name] for name in ("unlisted", "unlisted_by_sum", "unlisted_by_doubt")]
    return np.array(weights["beta"] + unlisted)


def score_of_statsmodels():
    """Statsmodels' own slope at our weights: 0 at its maximum, also where its search stops short.

    Where text speaks against, our weight is held at 0 and its slope there must not be positive.
    """
    for row in rows("logit_plain"):
        model = statsmodels_model(row)
        beta = numbers(row["weights"])[: len(row["text"])]
        slope = model.score(beta)
        held = np.array(row["text"]) & (beta <= 0.0)
        yield max(np.max(np.abs(slope[~held])), np.max(slope[held], initial=0.0))


def height_of_statsmodels():
    """How much higher statsmodels' own search gets; it stops a little short. It is slow: two fits."""
    free = [row for row in rows("logit_plain") if np.all(numbers(row["weights"])[: len(row["text"])] > 0)]
    assert len(free) >= 2, "fits without a held weight"
    for row in free[:2]:
        fitted = statsmodels_model(row).fit(method="bfgs", maxiter=100, disp=0)
        yield max(0.0, fitted.llf - row["log_likelihood"])


def statsmodels_model(row):
    kept = [case for case in row["cases"] if sum(case["chosen"]) == 1]
    ended = np.concatenate([np.array(case["chosen"], dtype=int) for case in kept])
    features = np.concatenate([np.array(case["rows"]) for case in kept])
    groups = np.repeat(np.arange(len(kept)), [len(case["rows"]) for case in kept])
    return ConditionalLogit(ended, features, groups=groups)


class Cases:
    """The cases as arrays, filled up to the longest; what is filled up has no chance."""

    def __init__(self, row):
        cases = row["cases"]
        longest = max(len(case["rows"]) for case in cases)
        self.features = np.zeros((len(cases), longest, len(row["text"])))
        self.real = np.zeros((len(cases), longest), dtype=bool)
        self.left = np.zeros((len(cases), longest + 1), dtype=bool)
        for i, case in enumerate(cases):
            count = len(case["rows"])
            self.features[i, :count] = case["rows"]
            self.real[i, :count] = True
            self.left[i, :count] = case["chosen"]
            self.left[i, longest] = case["unlisted"]
        self.weight = np.array([case["weight"] for case in cases])
        self.times = np.log(np.array([case["times"] for case in cases]) + 1.0)
        self.row = row

    def log_likelihood(self, place):
        count = len(self.row["text"])
        beta, (constant, by_sum, by_doubt) = place[:count], place[count:]
        exponents = np.where(self.real, self.features @ beta, -np.inf)
        together = logsumexp(exponents, axis=1)
        shares = np.exp(exponents - together[:, None])
        doubt = -np.sum(shares * np.log(np.where(shares > 0, shares, 1.0)), axis=1)
        unlisted = beta[self.row["prior"]] * self.times + constant
        unlisted = unlisted + by_sum * together + by_doubt * doubt
        exponents = np.column_stack([exponents, unlisted])
        left = logsumexp(np.where(self.left, exponents, -np.inf), axis=1)
        return np.sum(self.weight * (left - logsumexp(exponents, axis=1)))

    def height(self, place):
        """What is maximised, the prior included."""
        counts = self.real.sum(axis=1)
        means = self.features.sum(axis=1) / counts[:, None]
        off = np.where(self.real[:, :, None], self.features - means[:, None, :], 0.0)
        variance = np.einsum("i,ick->k", self.weight, off**2) / (self.weight @ counts)
        precision = np.append(
            variance / self.row["sigma"] ** 2, [self.row["sigma_unlisted"] ** -2] * 3
        )
        return self.log_likelihood(place) - np.sum(precision * (place - self.start()) ** 2) / 2

    def start(self):
        return numbers(self.row["start"])


def likelihood():
    for row in rows("logit") + rows("logit_plain"):
        yield abs(Cases(row).log_likelihood(numbers(row["weights"])) - row["log_likelihood"])


def search(cases):
    text = cases.row["text"]
    bounds = [(0.0 if is_text else None, None) for is_text in text] + [(None, None)] * 3
    return optimize.minimize(
        lambda place: -cases.height(place),
        cases.start(),
        method="L-BFGS-B",
        bounds=bounds,
        options={"maxfun": 100000, "ftol": 1e-14, "gtol": 1e-7},
    ).x


def whole_equation():
    """How much higher the other search got, and how far from our place it ended."""
    higher, away = [], []
    for row in rows("logit"):
        cases = Cases(row)
        ours, theirs = numbers(row["weights"]), search(cases)
        higher.append(max(0.0, cases.height(theirs) - cases.height(ours)))
        away.append(np.max(np.abs(theirs - ours)))
    return max(higher), max(away)


def main():
    higher, away = whole_equation()
    checks = [
        ("slope by statsmodels", max(score_of_statsmodels()), 1e-6),
        ("height by statsmodels", max(height_of_statsmodels()), 1e-8),
        ("log-likelihood", max(likelihood()), 1e-9),
        ("whole equation: height", higher, 1e-8),
        ("whole equation: weights", away, 1e-3),
    ]
    failed = 0
    for name, worst, allowed in checks:
        failed += worst > allowed
        print(f"{name:24} {worst:.2e} of {allowed:.0e}  {'ok' if worst <= allowed else 'TOO FAR'}")
    print(f"check_logit: {len(checks) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
