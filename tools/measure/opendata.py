#!/usr/bin/env python3
"""How well fixtally answers the open excavator work orders; fails below the bars.

`tools/opendata` makes the data. Here the learning rows are imported as closed tickets, every test
question is asked, and the answers are scored. A question's truth is the pair (article, fix).

Run `tools/measure/opendata.py`. FIXTALLY names another binary than the one built for tests.
"""

import json
import os
import pathlib
import shutil
import subprocess
import sys
import time

import scores

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
DATA = ROOT / "target" / "opendata"
STATE = DATA / "state"

# What plainer methods reach on the same questions, choosing among the classes seen at least 5
# times: hit@1, hit@3, MRR. fixtally chooses among all fixes, which is harder; a line of its own
# says what it reaches among the same few.
REFERENCE = [
    ("words of the labels alone", 0.41, 0.56, 0.52),
    ("callers' words of each class", 0.73, 0.88, 0.82),
]
BARS = {"hit@1": 0.73, "hit@3": 0.88, "MRR": 0.82}


def main():
    questions = [json.loads(line) for line in (DATA / "questions.jsonl").open(encoding="utf-8")]
    import_tickets()
    started = time.perf_counter()
    given = answers(questions)
    print(f"{len(given)} questions answered in {time.perf_counter() - started:.1f} s")
    pairs = list(zip(questions, given, strict=True))
    classes = {(each["article"], each["fix"])
               for each in json.loads((DATA / "classes.json").read_text(encoding="utf-8"))["classes"]}
    kept = [case(*pair) for pair in pairs if pair[0]["seen_class"]]
    among = [case(*pair, classes) for pair in pairs if pair[0]["seen_class"]]
    others = [case(*pair) for pair in pairs if not pair[0]["seen_class"]]

    print(f"\n{'':32}{'n':>5}{'hit@1':>8}{'hit@3':>8}{'MRR':>8}{'log loss':>10}{'clipped':>9}")
    measured = print_scores("classes seen at least 5 times", kept)
    print_scores("  the same, among these alone", among)
    print_scores("all other classes", others)
    for name, *values in REFERENCE:
        print(f"{name:32}{len(kept):5}" + "".join(f"{value:8.2f}" for value in values))
    print_calibration(kept)
    return verdict(measured)


def import_tickets():
    """A fresh ledger with the learning rows."""
    binary = os.environ.get("FIXTALLY")
    if binary is None:
        subprocess.run(["cargo", "build", "--locked", "--quiet"], check=True, cwd=ROOT)
        built = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
        binary = str(built / "debug" / "fixtally")
    as_of = json.loads((DATA / "classes.json").read_text(encoding="utf-8"))["as_of"]
    shutil.rmtree(STATE, ignore_errors=True)
    command = [binary, "--kb", str(DATA / "kb"), "--state", str(STATE), "--as-of", as_of,
               "tickets", "import", str(DATA / "learn.csv"), "--map", str(DATA / "map.toml")]
    if subprocess.run(command, check=False, stdin=subprocess.DEVNULL).returncode != 0:
        sys.exit("error: the learning rows could not be imported without complaint")


def answers(questions):
    """One answer for each question, in one process: {"ranked": [[article, fix, chance], …],
    "unlisted": chance that nothing listed covers it}. Only this function knows how.
    """
    as_of = json.loads((DATA / "classes.json").read_text(encoding="utf-8"))["as_of"]
    built = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "debug" / "examples"
    subprocess.run(["cargo", "build", "--locked", "--quiet", "--example", "ask_many"], check=True,
                   cwd=ROOT, stdin=subprocess.DEVNULL)
    command = [str(built / "ask_many"), str(DATA / "kb"), str(STATE), as_of]
    lines = "".join(json.dumps(question) + "\n" for question in questions)
    ran = subprocess.run(command, check=False, input=lines, stdout=subprocess.PIPE, text=True)
    given = [json.loads(line) for line in ran.stdout.splitlines()]
    if ran.returncode != 0 or len(given) != len(questions):
        sys.exit(f"error: {len(questions)} questions, but {len(given)} answers")
    # The desk's "none of the listed" of an article is no fix to rank.
    return [{**each, "ranked": [r for r in each["ranked"] if r[1] is not None]} for each in given]


def case(question, answer, among=None):
    """(rank of the truth, chance of the truth, claim of the first fix).

    The claim is the first fix's chance given that a listed fix ends the case, since every scored
    case was ended by one. `among` leaves only these alternatives and shares the chances anew.
    """
    ranked = [((article, fix), chance) for article, fix, chance in answer["ranked"]]
    if among is not None:
        ranked = [each for each in ranked if each[0] in among]
        left = sum(chance for _, chance in ranked) or 1.0
        ranked = [(each, chance / left) for each, chance in ranked]
    truth = (question["article"], question["fix"])
    listed = sum(chance for _, chance in ranked)
    first = ranked[0][1] / listed if listed > 0 else 0.0
    rank = scores.rank_of(truth, ranked)
    return rank, ranked[rank - 1][1] if rank else 0.0, (first, rank == 1)


def print_scores(name, cases):
    ranks = [rank for rank, _, _ in cases]
    loss, clipped = scores.log_loss([chance for _, chance, _ in cases])
    measured = {"hit@1": scores.hit_at(ranks, 1), "hit@3": scores.hit_at(ranks, 3),
                "MRR": scores.mean_reciprocal_rank(ranks)}
    print(f"{name:32}{len(cases):5}" + "".join(f"{value:8.3f}" for value in measured.values())
          + f"{loss:10.3f}{clipped:9}")
    return measured


def print_calibration(cases):
    rows, error = scores.calibration([claim for _, _, claim in cases])
    print("\nfirst fix, classes seen at least 5 times, ten bins of equal count")
    print(f"{'n':>5}{'chance':>9}{'right':>9}")
    for count, said, came in rows:
        print(f"{count:5}{said:9.3f}{came:9.3f}")
    print(f"calibration error {error:.3f}\n")


def verdict(measured):
    below = [f"{name} {measured[name]:.3f} is below {bar}"
             for name, bar in BARS.items() if measured[name] < bar]
    print("\n".join(below) if below else "hit@1, hit@3 and MRR reach their bars")
    return 1 if below else 0


if __name__ == "__main__":
    sys.exit(main())
