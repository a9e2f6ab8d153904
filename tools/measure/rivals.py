"""Other ways of answering the open work orders, on the same rows as fixtally.

An answer is a list of (class, chance), likeliest first; a class is "part#action". All of them, and
fixtally too, are scored on rows that a listed fix ended, so chances are shares among listed fixes.

- Label words: what the articles say themselves, and they say the labels. No ticket is read. The
  backtest's own rival (`src/backtest/rivals.rs`) answers.
- Frequency: how often a fix ended a case, whatever was said.
- The desk's order: by how often a fix was the first try of its article. A desk has habits; these
  records name one action each and no order of trying, so here it is the frequency within the
  article. It is told the right article, which all others must find.
- Logistic regression: see `logistic.py`.
"""

import csv
from collections import Counter

import logistic

OTHER = "~none of the listed"


def learning_rows(place):
    """[(text, class)] of the learning rows; OTHER where their class has no fix."""
    with (place / "learn.csv").open(encoding="utf-8", newline="") as table:
        return [(row["text"], named(row["part"], row["fix"]) if listed(row) else OTHER)
                for row in csv.DictReader(table)]


def listed(row):
    return row["result"] == "resolved" and row["fix"] != "other"


def named(article, fix):
    return f"{article}#{fix}"


def truth(question):
    return named(question["article"], question["fix"])


def among_listed(ranked):
    """An answer of `ask_many` as shares among listed fixes. `other` of an article is no fix."""
    fixes = [(named(article, fix), chance) for article, fix, chance in ranked if fix is not None]
    return shares(fixes)


def shares(weights):
    """Weights that sum to 1, in the same order."""
    total = sum(weight for _, weight in weights) or 1.0
    return [(each, weight / total) for each, weight in weights]


def frequency(classes, questions):
    """`classes` are those of the learning rows that a listed fix ended. Equals stand by name."""
    ranked = shares(commonest(Counter(classes)))
    return [ranked] * len(questions)


def desk_order(classes, questions):
    counts = Counter(classes)
    of_article = {}
    for each, count in counts.items():
        of_article.setdefault(each.split("#")[0], Counter())[each] = count
    return [shares(commonest(of_article[question["article"]])) for question in questions]


def commonest(counts):
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))


def logistic_regression(learned, questions):
    """(answers, the penalty that was chosen); `learned` as in `learning_rows`, without OTHER."""
    texts, classes = zip(*learned)
    penalty = logistic.chosen_penalty(texts, classes)
    said = [question["said"] for question in questions]
    return logistic.answers(penalty, texts, classes, said), penalty
