#!/usr/bin/env python3
"""Minutes to the end of simulated calls: ours against the author's order and the desk's habit.

Cases are drawn anew from the demo's stated truth, 2,000 for each of six seeds with `--full`, 40
otherwise; dangers, `after` and roles hold for all policies (`play_calls.rs` says how each plays).
Fails where an interval of the difference to either rival does not lie below zero. The intervals
are percentile bootstraps over cases, all seeds together, 2,000 draws, seeded.
"""

import argparse
import json
import os
import pathlib
import random
import shutil
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
BUILT = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
STATE = BUILT / "calls-state"
SEEDS = range(101, 107)
SMALL, FULL = 40, 2000
RIVALS = {"author": "the author's order", "habit": "the desk's habit", "author_stop": "the author's order, best stop"}
BARS = ("author", "habit")
DRAWS = 2000


def main():
    line = argparse.ArgumentParser(description="Play simulated calls.")
    line.add_argument("--full", action="store_true", help=f"{FULL:,} cases a seed, not {SMALL}")
    line.add_argument("--release", action="store_true", help="use the release build")
    typed = line.parse_args()
    count = FULL if typed.full else SMALL
    program = build(typed.release)
    # A ledger of older demo tickets would answer for them.
    shutil.rmtree(STATE, ignore_errors=True)
    played, steps, slowest = [], 0, 0.0
    print(f"{count} cases a seed; minutes to the end, handing on included\n")
    print(f"{'seed':6}{'ours':>8}" + "".join(f"{name:>13}" for name in RIVALS))
    for seed in SEEDS:
        of_seed = play(program, seed, count)
        print(f"{seed:<6}{mean(of_seed, 'ours'):8.1f}" + "".join(f"{mean(of_seed, name):13.1f}" for name in RIVALS))
        played += of_seed
        steps += sum(case["steps"] for case in of_seed)
        slowest = max(slowest, *(case["slowest_ms"] for case in of_seed))
    print(f"all   {mean(played, 'ours'):8.1f}" + "".join(f"{mean(played, name):13.1f}" for name in RIVALS))
    print(f"\n{steps / len(played):.1f} steps a case; the slowest advice took {slowest:.0f} ms\n")
    return verdict(played)


def build(release):
    profile = ["--release"] if release else []
    subprocess.run(["cargo", "build", "--locked", "--quiet", "--example", "play_calls", *profile],
                   check=True, cwd=ROOT, stdin=subprocess.DEVNULL)
    return BUILT / ("release" if release else "debug") / "examples" / "play_calls"


def play(program, seed, count):
    drawn = subprocess.run([sys.executable, str(ROOT / "tools" / "measure" / "call_cases.py"), str(seed), str(count)],
                           check=True, stdout=subprocess.PIPE, text=True).stdout
    command = [str(program), str(ROOT / "kb"), str(STATE)]
    out = subprocess.run(command, check=True, input=drawn, stdout=subprocess.PIPE, text=True).stdout
    return [json.loads(line) for line in out.splitlines()]


def mean(played, name):
    return sum(case[name] for case in played) / len(played)


def verdict(played):
    failed = 0
    for name, what in RIVALS.items():
        low, high = interval([case["ours"] - case[name] for case in played])
        saved = mean(played, "ours") - mean(played, name)
        asked = name in BARS
        good = high < 0
        failed += asked and not good
        print(f"against {what}: {saved:+.1f} min a case, 95 % interval {low:+.1f} to {high:+.1f}"
              + ("" if good else "  DOES NOT EXCLUDE ZERO" if asked else "  (no bar)"))
    return 1 if failed else 0


def interval(differences):
    dice, size = random.Random(7), len(differences)
    means = sorted(sum(dice.choices(differences, k=size)) / size for _ in range(DRAWS))
    return means[int(0.025 * DRAWS)], means[int(0.975 * DRAWS) - 1]


if __name__ == "__main__":
    sys.exit(main())
