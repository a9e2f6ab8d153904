#!/usr/bin/env python3
"""Learns the weights of the note reader's second look, and says what it gains in sets it has not seen.

    tools/measure/second_look.py            a table: each set of hard notes read by what the others teach
    tools/measure/second_look.py --write    writes src/notes/look_weights.rs too

Two models, as src/notes/look.rs says: a conditional logit of what ended a resolved ticket, and a multinomial logistic
regression of what came of the other fixes, both with a quadratic penalty over features of unit variance, fitted
by L-BFGS (SciPy). The sets `hard.jsonl` and `hard5.jsonl` are no part of it. Hard notes count once as a desk that was
taught reads them, and a little as one that was not, and as told of an article that they are not of; the demo's tickets a part each, as they are many.
"""

import argparse
import json
import pathlib
import subprocess
import sys
from collections import Counter

import numpy as np
from scipy.optimize import minimize

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
WEIGHTS = ROOT / "src" / "notes" / "look_weights.rs"
SETS = ("hard2", "hard3", "hard4", "hard6", "hard7")
RESULTS = (None, "resolved", "no-change", "not-possible")
# What an example counts.
COUNTS = {"tickets": 0.3, "untaught": 0.3, "stranger": 0.1}
PENALTY = 20.0
# How far the second look is believed, and the walk for the rest; the walk's features, by place.
LOOK_COUNTS = 0.48
SURE, EXPECTED, LEAST = 1, slice(2, 5), 0.02
BARS = (0.2, 0.25, 0.3, 0.4)


def main():
    line = argparse.ArgumentParser(description="Learn the weights of the second look.")
    line.add_argument("--write", action="store_true", help="write src/notes/look_weights.rs")
    args = line.parse_args()
    sights = Sights(look())
    walk = sights.walk()
    apart = np.zeros_like(walk)
    for left_out in SETS:
        here = np.char.endswith(sights.sets, left_out)
        apart[here] = sights.chances(here, sights.fit(~here))
    tickets = sights.sets == "tickets"
    folds = np.array([sum(note.encode()) % 2 for note in sights.notes])
    for fold in (0, 1):
        here = tickets & (folds == fold)
        apart[here] = sights.chances(here, sights.fit(~here))
    print("set              read by      bar  told  right  other result  not told")
    together = LOOK_COUNTS * apart + (1 - LOOK_COUNTS) * walk
    for name in (*SETS, *(f"{how} {name}" for how in ("untaught", "stranger") for name in SETS), "tickets"):
        for read_by, chance in (("walk", walk), ("second look", apart), ("both", together)):
            for bar in BARS:
                told, *found = sights.score(chance, name, bar)
                print(f"{name:<16} {read_by:<11} {bar:.2f} {told:5} {found[0]:6} {found[1]:13} {found[2]:9}")
    if args.write:
        write(sights.fit(np.ones(len(sights.sets), bool)))
    return 0


def look():
    """The examples, one dictionary each."""
    notes = [str(ROOT / "tests" / "data" / "notes" / f"{name}.jsonl") for name in SETS]
    program = ["cargo", "run", "--locked", "--quiet", "--example", "sights", "--", str(ROOT / "kb"), *notes]
    made = subprocess.run(program, cwd=ROOT, check=True, capture_output=True, text=True)
    return [json.loads(row) for row in made.stdout.splitlines()]


class Sights:
    def __init__(self, rows):
        self.missed = Counter(row["set"] for row in rows if "missed" in row)
        rows = [row for row in rows if "features" in row]
        self.sets = np.array([row["set"] for row in rows])
        self.notes = [row["note"] for row in rows]
        self.other = np.array([row["fix"] == "other" for row in rows])
        self.told = np.array([RESULTS.index(row["told"]) for row in rows])
        self.features = np.array([row["features"] for row in rows])
        self.resolved = np.array([row["outcome"] == "resolved" for row in rows])
        self.counts = np.array([COUNTS.get(name.split()[0], 1.0) for name in self.sets])
        self.keys = np.array([f"{row['set']} {row['note']}" for row in rows])

    def walk(self):
        """The walk's own chances, from its features."""
        tried = 1 / (1 + np.exp(-2 * self.features[:, SURE]))
        expected = np.exp(self.features[:, EXPECTED]) - LEAST
        expected *= (tried / np.maximum(expected.sum(1), 1e-9))[:, None]
        return np.column_stack([1 - tried, expected])

    def fit(self, taught_by):
        """Weights of what ended resolved tickets, by feature; and of the rest by result and feature, the first
        result being not told."""
        rest = taught_by & ~(self.resolved & (self.told == 1))
        return self.fit_ends(taught_by & self.resolved), self.fit_results(rest)

    def fit_ends(self, here):
        ended = (self.told[here] == 1).astype(float)
        _, first, note = np.unique(self.keys[here], return_index=True, return_inverse=True)
        counts = self.counts[here][first]
        several = np.bincount(note, ended)
        ended /= np.maximum(several, 1)[note]
        untold = (several == 0).astype(float)
        scaled, back = unit(self.features[here])

        def loss(weights):
            chance, none = ends(scaled @ weights, note)
            value = -(counts[note] * ended * np.log(np.maximum(chance, 1e-300))).sum()
            value -= (counts * untold * np.log(np.maximum(none, 1e-300))).sum()
            slope = (counts[note] * (chance - ended)) @ scaled
            slope[1:] += PENALTY * weights[1:]
            return value + PENALTY * (weights[1:] ** 2).sum() / 2, slope

        return back(least(loss, np.zeros(scaled.shape[1]))[None])[0]

    def fit_results(self, here):
        told, counts = self.told[here], self.counts[here]
        scaled, back = unit(self.features[here])
        names = np.eye(len(RESULTS))[told]

        def loss(flat):
            weights = flat.reshape(len(RESULTS), -1)
            chance = logits(scaled, weights)
            right = chance[np.arange(len(told)), told]
            value = -(counts * np.log(np.maximum(right, 1e-300))).sum() + PENALTY * (weights[:, 1:] ** 2).sum() / 2
            slope = ((chance - names) * counts[:, None]).T @ scaled
            slope[:, 1:] += PENALTY * weights[:, 1:]
            return value, slope.ravel()

        return back(least(loss, np.zeros(len(RESULTS) * scaled.shape[1])).reshape(len(RESULTS), -1))

    def chances(self, here, weights):
        """By example: not told, resolved, no change, not possible."""
        of_ends, of_results = weights
        features, resolved = self.features[here], self.resolved[here]
        chance = logits(features, of_results)
        chance[resolved, 1] = 0
        chance /= chance.sum(1, keepdims=True)
        _, note = np.unique(self.keys[here][resolved], return_inverse=True)
        ended, _ = ends(features[resolved] @ of_ends, note)
        chance[resolved] *= (1 - ended)[:, None]
        chance[resolved, 1] += ended
        return chance

    def score(self, chance, name, bar):
        """Of one set: tries told, right, with another result, and read though not told."""
        here = self.sets == name
        chance, told, other = chance[here], self.told[here], self.other[here]
        likeliest = 1 + chance[:, 1:].argmax(1)
        read = (1 - chance[:, 0] >= bar) & ~(other & (likeliest != 1))
        return (
            (told > 0).sum() + self.missed[name],
            (read & (told == likeliest)).sum(),
            (read & (told != likeliest) & (told > 0)).sum(),
            (read & (told == 0)).sum(),
        )


def unit(features):
    """Features of unit variance, the first left as it is; and what turns weights of these into weights of those."""
    mean, spread = features.mean(0), features.std(0) + 1e-9
    mean[0], spread[0] = 0, 1

    def back(weights):
        weights = weights / spread
        weights[:, 0] -= weights[:, 1:] @ mean[1:]
        return weights

    return (features - mean) / spread, back


def least(loss, start):
    return minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 1000}).x


def logits(features, weights):
    scores = features @ weights.T
    likely = np.exp(scores - scores.max(1, keepdims=True))
    return likely / likely.sum(1, keepdims=True)


def ends(scores, note):
    """The chance of each example to have ended its note's ticket, and by note that none of them did."""
    most = np.zeros(note.max() + 1)
    np.maximum.at(most, note, scores)
    likely, none = np.exp(scores - most[note]), np.exp(-most)
    sums = np.bincount(note, likely) + none
    return likely / sums[note], none / sums


def write(weights):
    """Replaces the numbers; names and all else in the file stay."""
    of_ends, of_results = weights
    against = np.vstack([of_ends, of_results[1:] - of_results[0]]).T
    text = WEIGHTS.read_text()
    head, rows = text.split("FEATURES] = [\n")
    names = [row.split('"')[1] for row in rows.splitlines() if '"' in row]
    if len(names) != len(against):
        sys.exit(f"{WEIGHTS} names {len(names)} features, and {len(against)} are looked at")
    lines = [f'    ("{name}", [{", ".join(f"{w + 0.0:.3f}" for w in row)}]),\n' for name, row in zip(names, against)]
    WEIGHTS.write_text(f"{head}FEATURES] = [\n{''.join(lines)}];\n")


if __name__ == "__main__":
    sys.exit(main())
