#!/usr/bin/env python3
"""Checks the scores and the bootstrap of tools/measure.

Against values worked out by hand; the scores also against scikit-learn's functions of the same
meaning on drawn answers; the bootstrap against `scipy.stats.bootstrap` (percentile method) and
against the normal interval of a mean, which many cases must come close to.
"""

import math
import pathlib
import sys

import numpy as np
from scipy import stats
from sklearn import metrics
from sklearn.calibration import calibration_curve

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "measure"))
import bootstrap  # noqa: E402  (found only by the line above)
import scores  # noqa: E402

RANKED = [("a", 0.5), ("b", 0.3), ("c", 0.2)]
# Twenty claims: ten of 0.2, of which three came true, and ten of 0.9, of which eight did.
CLAIMS = [(0.2, i < 3) for i in range(10)] + [(0.9, i < 8) for i in range(10)]
ROWS, ERROR = scores.calibration(CLAIMS, bins=2)


def by_hand():
    """What is checked, what it gives, what it must give."""
    ranks = [1, 2, 4, None]
    return [
        ("the first place is 1", scores.rank_of("a", RANKED), 1),
        ("the last place", scores.rank_of("c", RANKED), 3),
        ("an absent truth has no place", scores.rank_of("d", RANKED), None),
        ("what an answer is worth", scores.judge("b", RANKED), (2, 0.3, (0.5, False))),
        ("no answer is worth nothing", scores.judge("b", []), (None, 0.0, (0.0, False))),
        ("a quarter of the cases are first", scores.mean([scores.hit(r, 1) for r in ranks]), 0.25),
        ("half are among three", scores.mean([scores.hit(r, 3) for r in ranks]), 0.5),
        ("absent counts 0", scores.mean([scores.reciprocal(r) for r in ranks]), 1.75 / 4),
        ("certainty costs nothing", scores.loss(1.0), 0.0),
        ("a half costs ln 2", scores.loss(0.5), math.log(2)),
        ("a chance of 0 is clipped", scores.loss(0.0), math.log(1e6)),
        ("and counted", scores.clipped([0.0, 0.5]), 1),
        ("bins have equal counts", [row[0] for row in ROWS], [10, 10]),
        ("low claims that came true", ROWS[0][2], 0.3),
        ("high claims that came true", ROWS[1][2], 0.8),
        ("each bin is off by 0.1", ERROR, 0.1),
        ("fewer claims than bins", scores.calibration([(0.5, True)])[1], 0.5),
    ]


def by_scikit_learn():
    """300 drawn answers over seven classes. With one true class a case, scikit-learn's label ranking
    average precision is the mean reciprocal rank.
    """
    dice = np.random.default_rng(5)
    classes = list("abcdefg")
    chances = dice.dirichlet(np.full(len(classes), 0.4), size=300)
    truths = [classes[dice.choice(len(classes), p=row)] for row in chances]
    ranked = [sorted(zip(classes, row), key=lambda pair: -pair[1]) for row in chances]
    judged = [scores.judge(truth, row) for truth, row in zip(truths, ranked)]
    ours = {name: scores.mean(numbers) for name, numbers in scores.of_cases(judged).items()}
    one_hot = np.array([[each == truth for each in classes] for truth in truths])
    firsts = [case.first for case in judged]
    rows, _ = scores.calibration(firsts, bins=10)
    came, said = calibration_curve([true for _, true in firsts], [share for share, _ in firsts],
                                   n_bins=10, strategy="quantile")
    top = {k: metrics.top_k_accuracy_score(truths, chances, k=k, labels=classes) for k in (1, 3)}
    clipped = np.clip(chances, scores.LEAST_CHANCE, None)
    truth_columns = [classes.index(truth) for truth in truths]
    # log_loss scales rows to 1 again; clipped rows are off by less than 1e-5.
    return [
        ("hit@1: top_k_accuracy_score", ours["hit@1"], top[1]),
        ("hit@3: top_k_accuracy_score", ours["hit@3"], top[3]),
        ("MRR: label_ranking_average_precision_score", ours["MRR"],
         metrics.label_ranking_average_precision_score(one_hot, chances)),
        ("log loss: log_loss", round(ours["log loss"], 4),
         round(metrics.log_loss(truth_columns, clipped / clipped.sum(axis=1, keepdims=True),
                                labels=range(len(classes))), 4)),
        ("bins, said: calibration_curve", [row[1] for row in rows], list(said)),
        ("bins, came true: calibration_curve", [row[2] for row in rows], list(came)),
    ]


def by_scipy():
    """Ends of intervals come from draws, so they may be off by a twentieth of their width."""
    dice = np.random.default_rng(7)
    checks = []
    for name, cases in [("few skewed cases", dice.exponential(size=60) - 0.7),
                        ("differences of hits", dice.choice([-1.0, 0.0, 1.0], 600, p=[0.05, 0.8, 0.15])),
                        ("many cases", dice.normal(0.3, 2.0, 4_000))]:
        mean, low, high = bootstrap.intervals({"x": cases})["x"]
        theirs = stats.bootstrap((cases,), np.mean, n_resamples=20_000, method="percentile",
                                 rng=np.random.default_rng(8), batch=500).confidence_interval
        width = theirs.high - theirs.low
        off = max(abs(low - theirs.low), abs(high - theirs.high)) / width
        checks += [(f"{name}: the mean", mean, float(np.mean(cases))),
                   (f"{name}: ends of scipy.stats.bootstrap, off by {off:.3f} widths", off < 0.05, True)]
        if len(cases) >= 600:
            normal = stats.norm.interval(0.95, np.mean(cases), stats.sem(cases))
            off = max(abs(low - normal[0]), abs(high - normal[1])) / width
            checks.append((f"{name}: ends of the normal interval, off by {off:.3f} widths",
                           off < 0.05, True))
    both = bootstrap.intervals({"x": cases, "y": -cases})
    checks += [
        ("measures share their draws", both["y"], tuple(-both["x"][at] for at in (0, 2, 1))),
        ("the seed alone decides", bootstrap.intervals({"x": cases})["x"], both["x"]),
        ("equals do not differ", bootstrap.intervals({"x": [0.0] * 30})["x"], (0.0, 0.0, 0.0)),
    ]
    return checks


def same(found, expected):
    if isinstance(found, (list, tuple)) and isinstance(expected, (list, tuple)):
        return len(found) == len(expected) and all(map(same, found, expected))
    if isinstance(found, float) and expected is not None:
        return math.isclose(found, expected, rel_tol=1e-12, abs_tol=1e-12)
    return found == expected


def main():
    checks = by_hand() + by_scikit_learn() + by_scipy()
    failed = [check for check in checks if not same(check[1], check[2])]
    for name, found, expected in failed:
        print(f"  {name}: expected {expected}, but found {found}")
    print(f"check_scores: {len(checks) - len(failed)} passed, {len(failed)} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
