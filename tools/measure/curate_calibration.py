#!/usr/bin/env python3
"""How often `drift` and `rising` find something in ledgers where nothing is hidden.

Ledgers of 130 weeks are drawn with seeds 1 to 200: seasons, weeks clumped to a variance of twice the mean,
growth, firmware that spreads, and a desk that changes the order of its fixes on one day. The rules of
src/curate/drift.rs and rising.rs are worked here once more with numpy and scipy, from their descriptions.
Prints in how many ledgers anything was found; 5 % of 200 are 10, the bar is 16.
"""

import sys
from collections import defaultdict

import numpy as np
from scipy import special, stats

ARTICLES, DAYS, SEEDS, BAR = 58, 914, range(1, 201), 0.05
BASE, YEAR, MARGIN, LEAST, SHARED = 182, 364, 28, 20, 50


def adjusted_least(p):
    p = np.sort(np.array(p))
    return float((p * len(p) / np.arange(1, len(p) + 1)).min()) if len(p) else 1.0


def arrivals(dice):
    """Cases by article and day, today first."""
    weight = dice.gamma(1.5, 1, ARTICLES)
    days = np.arange(DAYS)
    depth = np.where(dice.random(ARTICLES) < 0.4, dice.uniform(0.5, 0.95, ARTICLES), 0)
    season = 1 + depth[:, None] * np.cos(2 * np.pi * (days - dice.uniform(0, 365, ARTICLES)[:, None]) / 365)
    rate = (weight / weight.sum())[:, None] * season * (6.5 * (1 + 0.5 * days / DAYS))
    cases = np.zeros((ARTICLES, DAYS), int)
    for first in range(0, DAYS, 7):
        week = rate[:, first : first + 7]
        mean = np.maximum(week.sum(1), 1e-9)
        cases[:, first : first + 7] = dice.poisson(week * dice.gamma(mean, 1 / mean)[:, None])
    return cases[:, ::-1]


def rises(cases):
    total = cases.sum(0)

    def scatter(row, window):
        weeks = slice(window, window + BASE)
        part = row[weeks].sum() / max(total[weeks].sum(), 1)
        expected = np.maximum(part * total[weeks].reshape(26, 7).sum(1), 1e-9)
        return ((row[weeks].reshape(26, 7).sum(1) - expected) ** 2 / expected).sum() if part else 0.0

    seen = [row for row in cases if row[28 : 28 + BASE].sum()]
    shared = sum(scatter(row, 28) for row in seen) / (25 * len(seen))
    found = []
    for row in cases:
        for window in (7, 14, 28):
            spans = [slice(0, window), slice(window, window + BASE), slice(YEAR - MARGIN, YEAR + window + MARGIN)]
            (now, all_now), *others = [(row[span].sum(), total[span].sum()) for span in spans]
            if now + others[0][0] < LEAST:
                continue
            phi = max(1.0, (scatter(row, window) + SHARED * shared) / (25 + SHARED))
            tails = [special.betainc(now / phi, k / phi + 1, all_now / (all_now + n)) if now else 1 for k, n in others]
            found.append(max(tails))
    return adjusted_least(found) < BAR


def tries(dice, cases):
    """(fix, worked, failures before, firmware, days ago), with an order that changes on one day."""
    out = []
    for article in range(ARTICLES):
        share = dice.dirichlet(np.full(5, 1.2))
        orders, change = [dice.permutation(5), dice.permutation(5)], dice.integers(60, 600)
        for ago in np.repeat(np.arange(DAYS), cases[article]):
            if dice.random() > 0.5:  # half of the cases have tries entered
                continue
            cause = dice.choice(5, p=share)
            firmware = int(dice.random() < np.clip((700 - ago) / 500, 0, 1)) + int(dice.random() < np.clip((250 - ago) / 200, 0, 1))
            for before, fix in enumerate(orders[int(ago < change)]):
                out.append(((article, fix), fix == cause, min(before, 2), firmware, ago))
                if fix == cause or dice.random() < 0.12:
                    break
    return out


def p_value(before, since):
    """Of tries as (worked, stratum) before and since; none where too few or nothing can be compared."""
    if min(len(before), len(since)) < 10:
        return None
    strata = defaultdict(lambda: [0, 0, 0, 0])
    for side, of in ((0, before), (2, since)):
        for worked, stratum in of:
            strata[stratum][side + (not worked)] += 1
    tables = [t for t in strata.values() if (t[0] + t[1]) * (t[2] + t[3]) * (t[0] + t[2]) * (t[1] + t[3])]
    if not tables:
        return None
    if len(tables) == 1:
        return stats.fisher_exact([tables[0][:2], tables[0][2:]])[1]
    a, b, c, d = np.array(tables, float).T
    n = a + b + c + d
    off = max(abs((a - (a + b) * (a + c) / n).sum()) - 0.5, 0)
    return special.erfc(np.sqrt(off**2 / ((a + b) * (c + d) * (a + c) * (b + d) / (n * n * (n - 1))).sum() / 2))


def drifts(tried):
    by_fix, asked = defaultdict(list), []
    for fix, *rest in tried:
        by_fix[fix].append(rest)
    for own in by_fix.values():
        for firmware in (0, 1, 2):
            if sum(t[2] == firmware for t in own) >= 10:
                sides = [[t[:2] for t in own if (t[2] >= firmware) == since] for since in (False, True)]
                asked.append(p_value(*sides))
        if len(own) >= 40:
            months = range(30, 390, 30)
            p = [p_value(*[[t[:2] for t in own if (t[3] < ago) == since] for since in (False, True)]) for ago in months]
            p = [one for one in p if one is not None]
            asked.append(min(1.0, min(p) * len(p)) if p else None)
    return adjusted_least([p for p in asked if p is not None]) < BAR


def main():
    found = np.zeros(2, int)
    for seed in SEEDS:
        dice = np.random.default_rng(seed)
        cases = arrivals(dice)
        found += [rises(cases), drifts(tries(dice, cases))]
    print(f"of {len(SEEDS)} ledgers with nothing hidden: rising found something in {found[0]}, drift in {found[1]}")
    return int(found.max() > 16)


if __name__ == "__main__":
    sys.exit(main())
