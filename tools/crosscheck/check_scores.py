#!/usr/bin/env python3
"""Checks the scores of tools/measure against values worked out by hand."""

import math
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "measure"))
import scores  # noqa: E402  (found only by the line above)

RANKED = [("a", 0.5), ("b", 0.3), ("c", 0.2)]
# Twenty claims: ten of 0.2, of which three came true, and ten of 0.9, of which eight did.
CLAIMS = [(0.2, i < 3) for i in range(10)] + [(0.9, i < 8) for i in range(10)]
ROWS, ERROR = scores.calibration(CLAIMS, bins=2)

# What is checked, what it gives, what it must give.
CHECKS = [
    ("the first place is 1", scores.rank_of("a", RANKED), 1),
    ("the last place", scores.rank_of("c", RANKED), 3),
    ("an absent truth has no place", scores.rank_of("d", RANKED), None),
    ("half of the cases are first", scores.hit_at([1, 2, 1, None], 1), 0.5),
    ("three of four are among three", scores.hit_at([1, 2, 1, None], 3), 0.75),
    ("absent counts 0", scores.mean_reciprocal_rank([1, 2, 4, None]), 1.75 / 4),
    ("loss of certainty and of a half", scores.log_loss([1.0, 0.5])[0], math.log(2) / 2),
    ("a chance of 0 is clipped", scores.log_loss([0.0])[0], math.log(1e6)),
    ("and counted", scores.log_loss([0.0, 0.5])[1], 1),
    ("bins have equal counts", [row[0] for row in ROWS], [10, 10]),
    ("low claims that came true", ROWS[0][2], 0.3),
    ("high claims that came true", ROWS[1][2], 0.8),
    ("each bin is off by 0.1", ERROR, 0.1),
    ("fewer claims than bins", scores.calibration([(0.5, True)])[1], 0.5),
]


def same(found, expected):
    if isinstance(found, float) and expected is not None:
        return math.isclose(found, expected, rel_tol=1e-12, abs_tol=1e-12)
    return found == expected


def main():
    failed = [check for check in CHECKS if not same(check[1], check[2])]
    for name, found, expected in failed:
        print(f"  {name}: expected {expected}, but found {found}")
    print(f"check_scores: {len(CHECKS) - len(failed)} passed, {len(failed)} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
