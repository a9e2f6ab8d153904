#!/usr/bin/env python3
"""Tests of significance and likeness of the lead tech's reports, against scipy, statsmodels and the papers.

What fixtally prints on the demo is worked out again here from the same tickets: the strata of each change
it reports go through statsmodels' `StratifiedTable`, the counts of each rise through scipy's binomial test,
and the adjusted values are checked to be no smaller than the plain ones. Ends in `name: N passed, N failed`.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from scipy import special, stats
from statsmodels.stats.contingency_tables import StratifiedTable

ROOT = Path(__file__).resolve().parents[2]
PASSED = FAILED = 0


def check(name, found, expected, tolerance=1e-8):
    global PASSED, FAILED
    good = found == expected or abs(found - expected) <= tolerance * max(abs(expected), 1e-300)
    PASSED, FAILED = PASSED + good, FAILED + (not good)
    if not good:
        print(f"{name}: found {found!r}, expected {expected!r}")


def fixtally(state, *args):
    binary = ROOT / "target" / "debug" / "fixtally"
    ran = subprocess.run([binary, "--kb", ROOT / "kb", "--state", state, "--json", *args], capture_output=True, text=True)
    if ran.returncode not in (0, 1):
        sys.exit(f"fixtally {' '.join(map(str, args))}: {ran.stderr}")
    return json.loads(ran.stdout)


def strata(change):
    """Since against before, as statsmodels takes them."""
    return [np.array([table["since"], table["before"]], float) for table in change["tables"]]


def drift(report):
    for change in report["changes"]:
        tables, name = strata(change), change["fix"]
        asked_months = "date" in change["since"]
        if len(tables) == 1:
            p = stats.fisher_exact(tables[0])[1]
        else:
            p = StratifiedTable(tables).test_null_odds(correction=True).pvalue
        if not asked_months:  # a date's p-value is times the number of dates asked about
            check(f"{name} p", change["p"], float(p))
        pooled = sum(t[0, 0] * t[1, 1] / t.sum() for t in tables), sum(t[0, 1] * t[1, 0] / t.sum() for t in tables)
        if min(pooled) > 0:
            table = StratifiedTable(tables)
            check(f"{name} odds", change["odds"]["ratio"], float(table.oddsratio_pooled))
            for found, expected in zip(change["odds"]["interval"], table.oddsratio_pooled_confint()):
                check(f"{name} interval", found, float(expected))
        check(f"{name} q is no smaller than p", change["q"] >= change["p"], True)
        check(f"{name} q is a finding", change["q"] < 0.05, True)


def rising(report):
    for rise in report["rising"]:
        phi, now = rise["dispersion"], rise["now"]
        values = []
        for base in (rise["before"], rise["year_before"]):
            part = now["of"] / (now["of"] + base["of"])
            values.append(special.betainc(now["cases"] / phi, base["cases"] / phi + 1, part))
            # Whole counts: the same tail as the binomial test of Przyborowski and Wilenski.
            whole = stats.binomtest(now["cases"], now["cases"] + base["cases"], part, alternative="greater").pvalue
            check("binomial tail", special.betainc(now["cases"], base["cases"] + 1, part), whole)
        check(f"{rise['article']} p", rise["p"], float(max(values)))
        check(f"{rise['article']} q is no smaller than p", rise["q"] >= rise["p"], True)


def main():
    with tempfile.TemporaryDirectory() as state:
        drift(fixtally(state, "drift"))
        rising(fixtally(state, "rising"))
    print(f"check_curate: {PASSED} passed, {FAILED} failed")
    return 1 if FAILED else 0


if __name__ == "__main__":
    sys.exit(main())
