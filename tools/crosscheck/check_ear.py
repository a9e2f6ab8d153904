#!/usr/bin/env python3
"""Learns how dangers sound with scikit-learn and compares the chances with src/evidence/ear.rs.

First `cargo test crosscheck`, which writes target/crosscheck/ear.json; then this. The texts are cut into
words here anew, by the rules that src/evidence/letters.rs states. Prints what was found and ends in
`check_ear: N passed, N failed`.
"""

import collections
import json
import pathlib
import sys
import unicodedata

import numpy as np
from scipy.sparse import csr_matrix
from sklearn.linear_model import LogisticRegression

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
SEEN_FROM = 3
STRENGTH = 100.0
FEWEST_TERMS = 6
WINDOW = 60
# Weights are whole parts of 64, and the searches end a little apart.
ALLOWED = 0.02


def main():
    given = json.loads((ROOT / "target" / "crosscheck" / "ear.json").read_text(encoding="utf-8"))[0]
    learned, asked = given["learned"], given["asked"]
    terms = [terms_of(words(one["said"])) for one in learned]
    seen = collections.Counter(term for of in terms for term in of)
    places = {term: at for at, term in enumerate(sorted(t for t, n in seen.items() if n >= SEEN_FROM))}
    stops = np.array([one["stops"] for one in learned])
    model = LogisticRegression(C=STRENGTH, class_weight="balanced", tol=1e-8, max_iter=10_000)
    model.fit(rows(terms, places), stops)
    apart = 0.0
    agreed = silent = 0
    for one in asked:
        said = words(one["said"])
        starts = range(0, max(1, len(said) - WINDOW // 2), WINDOW // 2) if len(said) > WINDOW else [0]
        parts = [[t for t in terms_of(said[start:start + WINDOW]) if t in places] for start in starts]
        parts = [part for part in parts if len(part) >= FEWEST_TERMS]
        silent += not parts
        if not parts or one["chance"] is None:
            apart = max(apart, float((one["chance"] is None) != (not parts)))
            continue
        chance = model.predict_proba(rows(parts, places))[:, 1].max()
        apart = max(apart, abs(chance - one["chance"]))
        agreed += (chance >= 0.5) == one["stops"]
    print(f"{len(learned)} sayings learned from, {len(places)} terms; {len(asked)} others asked about")
    print(f"largest difference of a chance {apart:.4f}, allowed {ALLOWED}; right at one half {agreed}, {silent} too short")
    bad = int(apart > ALLOWED)
    print(f"check_ear: {len(asked) - bad} passed, {bad} failed")
    return bad


def words(text):
    """Folded; `/` and apostrophes inside words deleted; a run of digits is one 0; the rest parts words."""
    folded = unicodedata.normalize("NFKD", text)
    folded = "".join(c for c in folded if not unicodedata.combining(c)).lower().replace("ß", "ss")
    found, in_number = [""], False
    for at, letter in enumerate(folded):
        around = folded[at - 1:at] + folded[at + 1:at + 2]
        if letter in "/'’" and at > 0 and len(around) == 2 and around.isalnum():
            continue
        if not letter.isalnum():
            found.append("")
        elif not letter.isnumeric():
            found[-1] += letter
        elif not in_number:
            found[-1] += "0"
        in_number = letter.isnumeric()
    return [word for word in found if word]


def terms_of(of):
    return set(of) | {f"{a} {b}" for a, b in zip(of, of[1:])}


def rows(texts, places):
    """Each known term once, the whole scaled to length one."""
    values, columns, ends = [], [], [0]
    for text in texts:
        known = [places[term] for term in text if term in places]
        columns += known
        values += [1 / max(len(known), 1) ** 0.5] * len(known)
        ends.append(len(columns))
    return csr_matrix((values, columns, ends), shape=(len(texts), len(places)))


if __name__ == "__main__":
    sys.exit(main())
