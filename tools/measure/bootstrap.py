"""Is one way of answering better than another on the same cases, or was it luck?

Each case gives one difference; the mean of these counts. The paired bootstrap draws as many cases
as there are, with return, again and again; the middle 95 % of the means drawn are the interval
(the percentile method: Efron 1979, Ann. Statist. 7:1-26). All measures are taken on the same draws.
"""

import numpy as np

DRAWS = 2_000
SEED = 1


def intervals(differences, draws=DRAWS, seed=SEED):
    """(mean, low, high) for each measure; `differences` maps its name to one number a case."""
    names = list(differences)
    table = np.array([differences[name] for name in names], dtype=float)
    cases = table.shape[1]
    dice = np.random.default_rng(seed)
    drawn = np.array([table[:, dice.integers(0, cases, cases)].mean(axis=1) for _ in range(draws)])
    low, high = np.quantile(drawn, [0.025, 0.975], axis=0)
    return {name: (table[at].mean(), low[at], high[at]) for at, name in enumerate(names)}
