"""How good a ranking with chances is: hit rates, mean reciprocal rank, log loss, calibration.

An answer is a list of (alternative, chance), best first. `tools/crosscheck/check_scores.py` holds
the scores against values worked out by hand and against scikit-learn.
"""

import math
from typing import NamedTuple

# A chance of 0 would cost an infinite loss; from here on it is clipped, and clipped ones counted.
LEAST_CHANCE = 1e-6


class Judged(NamedTuple):
    """One answer beside its truth: the place of the truth from 1, none where it is absent; its
    chance; the first alternative's chance, and whether that was the truth.
    """

    rank: int | None
    chance: float
    first: tuple[float, bool]


def judge(truth, ranked):
    rank = rank_of(truth, ranked)
    first = ranked[0][1] if ranked else 0.0
    return Judged(rank, ranked[rank - 1][1] if rank else 0.0, (first, rank == 1))


def of_cases(judged):
    """What each case adds to the four measures that are means over cases, by name."""
    ranks = [each.rank for each in judged]
    return {
        "hit@1": [hit(rank, 1) for rank in ranks],
        "hit@3": [hit(rank, 3) for rank in ranks],
        "MRR": [reciprocal(rank) for rank in ranks],
        "log loss": [loss(each.chance) for each in judged],
    }


def rank_of(truth, ranked):
    """The place of the truth from 1; none where it is absent."""
    for place, (alternative, _) in enumerate(ranked, start=1):
        if alternative == truth:
            return place
    return None


def hit(rank, depth):
    """1 where the truth stands among the first `depth`, else 0; absent counts as missed."""
    return float(rank is not None and rank <= depth)


def reciprocal(rank):
    """Absent counts as 0."""
    return 1 / rank if rank is not None else 0.0


def loss(chance):
    """-ln(chance of the truth), clipped."""
    return -math.log(max(chance, LEAST_CHANCE))


def clipped(chances):
    """How many are so small that their loss is clipped."""
    return sum(chance < LEAST_CHANCE for chance in chances)


def mean(numbers):
    return sum(numbers) / len(numbers)


def calibration(claims, bins=10):
    """Claims (chance, came true) in bins of equal count, lowest chances first.

    Gives a row (count, mean chance, share that came true) for each bin, and the calibration error:
    the mean over all claims of the distance between the two within their bin.
    """
    ordered = sorted(claims)
    edges = [len(ordered) * i // bins for i in range(bins + 1)]
    rows = []
    for start, end in zip(edges, edges[1:]):
        part = ordered[start:end]
        if part:
            said = sum(chance for chance, _ in part) / len(part)
            came = sum(true for _, true in part) / len(part)
            rows.append((len(part), said, came))
    error = sum(n * abs(said - came) for n, said, came in rows) / len(ordered)
    return rows, error
