"""Training on the past again and again: four blocks of time, each answered from all rows before it.

The blocks are the last four eighths of the rows by start date (tools/opendata). Knowledge base,
tickets and the regression's training rows are those before the block; classes are those with at
least 5 of them. fixtally imports and answers as it does for anybody; the regression chooses its
penalty anew, inside the past.
"""

import json

import bootstrap
import desk
import rivals
import scores

BLOCKS = 4


def measure(place, bars):
    print("\nBlocks of time, each answered from all rows before it. Asked: rows of classes with"
          "\n5 rows by then; chances are shares among listed fixes")
    print(f"{'':30}{'hit@1':>18}{'log loss':>20}")
    print(f"{'':8}{'learned':>8}{'classes':>8}{'asked':>6}{'fixtally':>10}{'regression':>12}"
          f"{'fixtally':>10}{'regression':>12}{'C':>5}")
    ours, theirs = [], []
    for number in range(1, BLOCKS + 1):
        us, them = block(place / f"block-{number}", number, bars)
        ours += us
        theirs += them
    print(f"{'all':8}{'':>8}{'':>8}{len(ours):6}" + columns(ours, theirs))
    of_us, of_them = scores.of_cases(ours), scores.of_cases(theirs)
    found = bootstrap.intervals({name: [a - b for a, b in zip(of_us[name], of_them[name])]
                                 for name in of_us})
    print("fixtally minus the regression, all blocks, 95 % of paired bootstrap means")
    for name, (mean, low, high) in found.items():
        print(f"  {name:10}{mean:+8.3f}   {low:+.3f} to {high:+.3f}")
    bars.at_most("blocks: log loss difference, upper end", found["log loss"][2], 0.0)


def block(place, number, bars):
    lines = (place / "questions.jsonl").read_text(encoding="utf-8").splitlines()
    questions = [question for question in map(json.loads, lines) if question["seen_class"]]
    given = desk.answers(place, questions)
    learned = [row for row in rivals.learning_rows(place) if row[1] != rivals.OTHER]
    regression, penalty = rivals.logistic_regression(learned, questions)
    truths = [rivals.truth(question) for question in questions]
    ours = [scores.judge(truth, rivals.among_listed(answer["ranked"]))
            for truth, answer in zip(truths, given)]
    theirs = [scores.judge(truth, ranked) for truth, ranked in zip(truths, regression)]
    classes = len({each for _, each in learned})
    print(f"block {number} {len(rivals.learning_rows(place)):8,}{classes:8}{len(questions):6}"
          + columns(ours, theirs) + f"{penalty:5}", flush=True)
    bars.at_least(f"block {number}: hit@1, beside the regression's", hit_1(ours), hit_1(theirs))
    return ours, theirs


def columns(ours, theirs):
    losses = [scores.mean(scores.of_cases(each)["log loss"]) for each in (ours, theirs)]
    return f"{hit_1(ours):10.3f}{hit_1(theirs):12.3f}{losses[0]:10.3f}{losses[1]:12.3f}"


def hit_1(cases):
    return scores.mean(scores.of_cases(cases)["hit@1"])
