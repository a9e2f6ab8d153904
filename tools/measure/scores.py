"""How good a ranking with chances is: hit rates, mean reciprocal rank, log loss, calibration.

An answer is a list of (alternative, chance), best first. All scores take lists and give numbers;
`tools/crosscheck/check_scores.py` holds them against values worked out by hand.
"""

import math

# A chance of 0 would cost an infinite loss; from here on it is clipped, and clipped ones counted.
LEAST_CHANCE = 1e-6


def rank_of(truth, ranked):
    """The place of the truth from 1; none where it is absent."""
    for place, (alternative, _) in enumerate(ranked, start=1):
        if alternative == truth:
            return place
    return None


def hit_at(ranks, depth):
    """The share of cases whose truth stands among the first `depth`; absent counts as missed."""
    return sum(rank is not None and rank <= depth for rank in ranks) / len(ranks)


def mean_reciprocal_rank(ranks):
    """Absent counts as 0."""
    return sum(1 / rank for rank in ranks if rank is not None) / len(ranks)


def log_loss(chances):
    """The mean of -ln(chance of the truth), and how many chances were clipped."""
    losses = [-math.log(max(chance, LEAST_CHANCE)) for chance in chances]
    clipped = sum(chance < LEAST_CHANCE for chance in chances)
    return sum(losses) / len(losses), clipped


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
