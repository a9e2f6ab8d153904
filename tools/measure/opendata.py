#!/usr/bin/env python3
"""How well fixtally answers the open excavator work orders; fails below the bars.

`tools/opendata` makes the data. Here the learning rows are imported as closed tickets, every test
question is asked, and the answers are scored beside rivals on the same rows in the same run. A
question's truth is the pair (article, fix).

Run `tools/measure/opendata.py` with the Python of `target/venv`. FIXTALLY names another binary than
the one built for tests. It takes about two minutes on two free cores.

| file | question |
|---|---|
| `seen.py` | how good are the ranking and the chances where a listed fix is the truth? |
| `unseen.py` | and where none is? |
| `blocks.py` | and when training on the past again and again? |
| `rivals.py`, `logistic.py` | what else would answer? |
| `scores.py`, `bootstrap.py` | how is it measured? |
| `desk.py` | how is fixtally asked? |
"""

import json
import sys
import time

import blocks
import desk
import seen
import unseen
from bars import Bars

DATA = desk.ROOT / "target" / "opendata"


def main():
    lines = (DATA / "questions.jsonl").read_text(encoding="utf-8").splitlines()
    questions = [{**json.loads(line), "own_words": True} for line in lines]
    desk.built()
    started = time.perf_counter()
    given = desk.answers(DATA, questions)
    print(f"learned and {len(given)} questions answered in {time.perf_counter() - started:.1f} s")
    bars = Bars()
    penalty = seen.measure(DATA, questions, given, bars)
    unseen.measure(DATA, questions, given, penalty, bars)
    blocks.measure(DATA, bars)
    return bars.verdict()


if __name__ == "__main__":
    sys.exit(main())
