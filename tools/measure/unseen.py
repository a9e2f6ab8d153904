"""What is said where no listed fix ended the case: test rows of other classes.

Their class had fewer than 5 learning rows and so has no fix. Two kinds of them:
- with 1 to 4 learning rows: the learning tickets hold such cases, recorded as the article's `other`
  or, where their part has no article, as not covered by any;
- with none: nothing like them was ever recorded.

The answer gives `unlisted` (no article covers it) and, for each article, `(a,o)` (the article is
right, none of its fixes is). The log loss over all rows is stated for three readings of the truth
of a row of another class: `unlisted` alone; as a desk would record it, `(a,o)` of its article where
it has one, else `unlisted`; or anything that is no listed fix, all of these together. Chances are
those of the answer as given, not shares.
"""

import bootstrap
import rivals
import scores

READINGS = ["`unlisted`", "recorded", "no listed"]


def measure(place, questions, given, penalty, bars):
    rows = [(question, Chances(question, answer)) for question, answer in zip(questions, given)]
    seen = [row for row in rows if row[0]["seen_class"]]
    other = [row for row in rows if not row[0]["seen_class"]]
    print("\nAll test rows. Mean chance of `unlisted`, and that no listed fix ends the case; log"
          "\nloss of what did, by three readings of the truth of other classes: `unlisted`; as"
          "\nrecorded, `(a,o)` of the row's article if it has one, else `unlisted`; no listed fix")
    print(f"{'':38}{'mean chance':>17}{'log loss':>13}")
    print(f"{'':33}{'n':>5}{'unlisted':>9}{'no fix':>8} "
          + "".join(f"{reading:>10}" for reading in READINGS))
    for name, group in [("classes with >= 5 learning rows", seen), *groups(other),
                        ("all other classes", other), ("all rows", rows)]:
        print_group(name, [chances for _, chances in group])
    compare(place, rows, penalty)
    ratio = mean_unlisted(other) / mean_unlisted(seen)
    bars.at_least("mean `unlisted`, other classes / seen", ratio, 2.0)


class Chances:
    """What an answer gave to the truth, by each reading."""

    def __init__(self, question, answer):
        ranked = answer["ranked"]
        self.unlisted = answer["unlisted"]
        others = {article: chance for article, fix, chance in ranked if fix is None}
        self.none_listed = self.unlisted + sum(others.values())
        if question["seen_class"]:
            fix = (question["article"], question["fix"])
            self.truths = [sum(chance for *each, chance in ranked if tuple(each) == fix)] * 3
        else:
            recorded = (others.get(question["article"], 0.0) if question["article_listed"]
                        else self.unlisted)
            self.truths = [self.unlisted, recorded, self.none_listed]


def groups(rows):
    for rare, when in [(True, "1-4 learning rows"), (False, "no learning row")]:
        for listed, where in [(True, "article"), (False, "no article")]:
            yield (f"  {when}, {where}",
                   [row for row in rows if (row[0]["learning_rows"] > 0) == rare
                    and row[0]["article_listed"] == listed])


def print_group(name, chances):
    if not chances:
        return
    losses = [scores.mean([scores.loss(each.truths[reading]) for each in chances])
              for reading in range(len(READINGS))]
    print(f"{name:33}{len(chances):5}{scores.mean([each.unlisted for each in chances]):9.3f}"
          f"{scores.mean([each.none_listed for each in chances]):8.3f} "
          + "".join(f"{loss:10.3f}" for loss in losses))


def mean_unlisted(rows):
    return scores.mean([chances.unlisted for _, chances in rows])


def compare(place, rows, penalty):
    """The regression with one class more for all that is not listed, on all rows."""
    texts, classes = zip(*rivals.learning_rows(place))
    said = [question["said"] for question, _ in rows]
    answers = rivals.logistic.answers(penalty, texts, classes, said)
    theirs = []
    for (question, _), ranked in zip(rows, answers):
        truth = rivals.truth(question) if question["seen_class"] else rivals.OTHER
        theirs.append(scores.loss(scores.judge(truth, ranked).chance))
    ours = [scores.loss(chances.truths[-1]) for _, chances in rows]
    differences = [a - b for a, b in zip(ours, theirs)]
    mean, low, high = bootstrap.intervals({"log loss": differences})["log loss"]
    print(f"{rivals.logistic.NAME} regression with one class more, `no listed fix`: log loss over\n"
          f"all rows {scores.mean(theirs):.3f}; fixtally minus it {mean:+.3f}, "
          f"{low:+.3f} to {high:+.3f}")
