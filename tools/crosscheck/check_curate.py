#!/usr/bin/env python3
"""Tests of significance and likeness of the lead tech's reports, against scipy, statsmodels and the papers.

What fixtally prints on the demo is worked out again here from the same tickets: the strata of each change
it reports go through statsmodels' `StratifiedTable`, the counts of each rise through scipy's binomial test,
and the adjusted values are checked to be no smaller than the plain ones. Words that set texts apart, and
likeness by shingles, are worked out again from the papers for the made-up cases that `tests/crosscheck.rs`
wrote, and the likeness of the demo's own articles from their files. Ends in `name: N passed, N failed`.
"""

import json
import math
import re
import subprocess
import sys
import tempfile
import tomllib
import unicodedata
from collections import Counter
from pathlib import Path

import numpy as np
from scipy import stats
from statsmodels.stats.contingency_tables import StratifiedTable

ROOT = Path(__file__).resolve().parents[2]
PASSED = FAILED = 0


def check(name, found, expected, tolerance=1e-8):
    global PASSED, FAILED
    good = found == expected or isinstance(found, float) and abs(found - expected) <= tolerance * max(abs(expected), 1e-300)
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
            p = StratifiedTable(tables).test_null_odds(correction=False).pvalue
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
            exposure, cases = now["of"] + base["of"], now["cases"] + base["cases"]
            if phi < 1.0001:
                values.append(stats.binomtest(now["cases"], cases, now["of"] / exposure, alternative="greater").pvalue)
            else:
                # Negative binomial counts of variance phi times the mean, given their sum.
                shapes = [cases * of / exposure / (phi - 1) for of in (now["of"], base["of"])]
                values.append(stats.betabinom.sf(now["cases"] - 1, cases, *shapes))
        check(f"{rise['article']} p", rise["p"], float(max(values)))
        check(f"{rise['article']} q is no smaller than p", rise["q"] >= rise["p"], True)


def distinctive():
    """Monroe, Colaresi & Quinn 2008, "Fightin' Words", equations 15 (prior), 16 (log-odds), 19 and 20
    (variance as approximated there), 22 (z); numbers of equations from memory. Weights count as words."""
    prior = 500.0
    for at, row in enumerate(json.loads((ROOT / "target/crosscheck/distinctive.json").read_text())):
        inside, rest = Counter(), Counter()
        for number, text in enumerate(row["texts"]):
            for term in text["terms"]:
                (inside if number in row["which"] else rest)[term] += text["weight"]
        n, m = sum(inside.values()), sum(rest.values())
        expected = {}
        for word, y in inside.items():
            a = prior * (y + rest[word]) / (n + m)
            delta = math.log((y + a) / (n + prior - y - a)) - math.log((rest[word] + a) / (m + prior - rest[word] - a))
            z = delta / math.sqrt(1 / (y + a) + 1 / (rest[word] + a))
            if z > 0:
                expected[word] = z
        found = dict(row["found"])
        check(f"distinctive {at}: words", sorted(found), sorted(expected))
        for word in expected.keys() & found.keys():
            check(f"distinctive {at}: {word}", found[word], expected[word], 1e-6)
        check(f"distinctive {at}: order", [z for _, z in row["found"]], sorted(found.values(), reverse=True))


def shingles(words):
    """Broder 1997: the set of runs of three words."""
    size = min(3, len(words))
    return {tuple(words[at : at + size]) for at in range(len(words) - size + 1)} if words else set()


def jaccard(a, b):
    a, b = shingles(a), shingles(b)
    return len(a & b) / len(a | b) if a | b else 0.0


def split(text):
    """Folded words, as src/base/text.rs describes them."""
    text = unicodedata.normalize("NFKD", text)
    text = "".join(c for c in text if not unicodedata.combining(c)).lower().replace("ß", "ss")
    return re.findall(r"(?:[^\W_]|(?<=\d)[.-](?=\d))+", text)


def rewritten(text, table, longest):
    words, out, at = split(text), [], 0
    while at < len(words):
        for size in range(min(longest, len(words) - at), 0, -1):
            if (into := table.get(tuple(words[at : at + size]))) is not None:
                out += into
                at += size
                break
        else:
            out.append(words[at])
            at += 1
    return out


def likeness(state):
    """The texts of the demo's pairs, read from the files here and not by fixtally."""
    given = tomllib.loads((ROOT / "kb/words.toml").read_text(encoding="utf-8"))
    pairs = [(s, name) for name, all_of_it in given["same"].items() for s in all_of_it]
    table = {tuple(split(a)): split(b) for a, b in pairs + list(given["short"].items()) if split(a) != split(b)}
    longest = max(map(len, table))

    def article(name):
        text = next((ROOT / "kb/articles").glob(f"*/{name}.md")).read_text(encoding="utf-8")
        _, front, body = text.split("---\n", 2)
        title = re.search(r"^title: (.*)$", front, re.M)[1]
        symptoms = re.findall(r"^  - (.*)$", front, re.M)
        intro, *blocks = re.split(r"^## ", body, flags=re.M)
        parts = [title, *symptoms, intro]
        for block in blocks:
            head, _, rest = block.partition("\n")
            if "{#" in head:  # written here, not linked
                parts += [re.sub(r"^\w+: ", "", head.split("{#")[0]), rest]
        return [word for part in parts for word in rewritten(part, table, longest)]

    for pair in fixtally(state, "twins"):
        check(f"{pair['keep']} and {pair['other']}", pair["text"], jaccard(article(pair["keep"]), article(pair["other"])), 1e-9)


def main():
    distinctive()
    for at, row in enumerate(json.loads((ROOT / "target/crosscheck/shingles.json").read_text())):
        check(f"shingles {at}", row["found"], jaccard(row["a"], row["b"]), 1e-12)
    with tempfile.TemporaryDirectory() as state:
        drift(fixtally(state, "drift"))
        rising(fixtally(state, "rising"))
        likeness(state)
    print(f"check_curate: {PASSED} passed, {FAILED} failed")
    return 1 if FAILED else 0


if __name__ == "__main__":
    sys.exit(main())
