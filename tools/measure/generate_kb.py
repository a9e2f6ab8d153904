#!/usr/bin/env python3
"""Generates a knowledge base of any size with invented words, for timing only.

The same numbers give the same bytes. Words are made of syllables and drawn with the uneven
frequencies of real language (the r-th word about 1/r as often as the first), so that an index has
its usual few long lists and many short ones. Each article has some words of its own, which its
callers use among common ones.

    tools/measure/generate_kb.py FOLDER --articles 200 [--tickets 1000] [--seed 1]

Writes FOLDER/kb.toml, articles/, tickets/ and, beside them, questions.txt, one a line.
"""

import argparse
import itertools
import json
import pathlib
import random
import shutil
from datetime import datetime, timedelta, timezone

FIXES = 4
SYMPTOMS = 5
OWN_WORDS = 6
COMMON_WORDS = 8_000
TICKETS_IN_FILE = 2_000  # keeps each file below 1 MB
ARTICLES_IN_AREA = 250
KINDS = ["restart", "replace", "reseal", "tighten", "update", "clean", "set", "rewire"]
CODES = [f"Q{number:03}" for number in range(200)]
LAST_DAY = datetime(2026, 11, 1, 17, 0, tzinfo=timezone.utc)
DAYS = 730

KB_TOML = """\
# Made by tools/measure/generate_kb.py; every word in it is invented.
name = "Generated"
language = "en"
demo = true

[roles]
order = ["caller", "desk", "fitter"]

[devices.unit-a]
title = "Unit A"
firmware = ["1.0.0", "1.1.0"]
codes = [{codes}]
lamps = [{{ name = "lamp", states = ["off", "green", "red"] }}]

[devices.unit-b]
title = "Unit B"
firmware = ["2.0.0"]
codes = [{codes}]
lamps = [{{ name = "lamp", states = ["off", "green", "red"] }}]
"""


class Words:
    """Invented words: common ones by frequency, own ones each given out once."""

    def __init__(self, rng):
        self.rng = rng
        syllables = [a + b for a in "bdfgklmnprstvz" for b in "aeiou"]
        # Common words have two or three syllables, own ones four: they never meet.
        made = {}
        while len(made) < COMMON_WORDS:
            made["".join(rng.choices(syllables, k=rng.randint(2, 3)))] = None
        self.common = list(made)
        weights = (1 / rank for rank in range(1, COMMON_WORDS + 1))
        self.weights = list(itertools.accumulate(weights))
        self.syllables = syllables
        self.given = set()

    def draw(self, count):
        return self.rng.choices(self.common, cum_weights=self.weights, k=count)

    def own(self):
        while True:
            word = "".join(self.rng.choices(self.syllables, k=4))
            if word not in self.given:
                self.given.add(word)
                return word

    def said(self, own):
        """A caller's sentence: two own words among common ones, one word in ten mistyped."""
        sentence = self.draw(self.rng.randint(3, 8)) + self.rng.sample(own, 2)
        self.rng.shuffle(sentence)
        return " ".join(self.mistyped(w) if self.rng.random() < 0.1 else w for w in sentence)

    def mistyped(self, word):
        place = self.rng.randrange(len(word) - 1)
        return word[:place] + word[place + 1] + word[place] + word[place + 2:]


class Article:
    """What is invented about one article; its words are the key to its tickets."""

    def __init__(self, number, words, rng):
        self.id = f"topic-{number:05}"
        self.own = [words.own() for _ in range(OWN_WORDS)]
        self.kinds = rng.sample(KINDS, FIXES)
        self.code = rng.choice(CODES) if rng.random() < 0.25 else None
        self.device = rng.choice(["unit-a", "unit-b", None])
        # The author's order is a guess: how often each fix ends a case is drawn apart from it.
        self.shares = [rng.gammavariate(0.7, 1) + 0.01 for _ in range(FIXES)]

    def fix_id(self, place):
        return f"{self.kinds[place]}-{self.own[place]}"

    def text(self, words):
        symptoms = "".join(f"  - {words.said(self.own)}\n" for _ in range(SYMPTOMS))
        code = f"codes: [{self.code}]\n" if self.code else ""
        device = f"devices: [{self.device}]\n" if self.device else ""
        title = " ".join([*words.draw(3), self.own[0]]).capitalize()
        blocks = [
            f"---\nid: {self.id}\ntitle: {title}\n{device}symptoms:\n{symptoms}{code}"
            f"owner: nobody\nreviewed: 2026-10-01\nstate: live\n---\n{paragraph(words, 40)}\n\n"
            f"## Check: Is the {self.own[4]} {words.draw(1)[0]}? "
            f"{{#check-{self.own[4]} answers=yes,no minutes=2 who=caller}}\n{paragraph(words, 15)}\n"]
        for place, kind in enumerate(self.kinds):
            expect = f" expect=check-{self.own[4]}:yes" if place == 0 else ""
            blocks.append(
                f"\n## Fix: {kind.capitalize()} the {self.own[place]} {words.draw(1)[0]} "
                f"{{#{self.fix_id(place)} kind={kind} minutes={5 * (place + 1)} who=fitter{expect}}}\n"
                f"1. {paragraph(words, 10)}\n2. {paragraph(words, 10)}\n3. {paragraph(words, 8)}\n\n"
                f"Done when: {paragraph(words, 6)}\n")
        return "".join(blocks)


def paragraph(words, count):
    return " ".join(words.draw(count)).capitalize() + "."


def ticket(number, article, words, rng):
    closed = LAST_DAY - timedelta(minutes=rng.randrange(DAYS * 24 * 60))
    right = rng.choices(range(FIXES), weights=article.shares)[0]
    tried = [place for place in range(FIXES) if place < right and rng.random() < 0.6]
    tries = [{"fix": article.fix_id(place), "result": "no-change"} for place in tried]
    resolved = rng.random() < 0.8
    if resolved:
        tries.append({"fix": article.fix_id(right), "result": "resolved"})
    record = {"id": f"G-{number:06}", "closed": closed.strftime("%Y-%m-%dT%H:%M:%SZ"),
              "said": words.said(article.own), "article": article.id, "tries": tries,
              "outcome": "resolved" if resolved else "handed-on"}
    if article.device:
        record["device"] = article.device
    if article.code and rng.random() < 0.7:
        record["codes"] = [article.code]
    if rng.random() < 0.3:
        record["seen"] = {f"check-{article.own[4]}": "yes" if right == 0 else "no"}
    return record


def write_articles(folder, articles, words):
    for number, article in enumerate(articles):
        area = folder / "articles" / f"area-{number // ARTICLES_IN_AREA:03}"
        area.mkdir(parents=True, exist_ok=True)
        (area / f"{article.id}.md").write_text(article.text(words), encoding="utf-8")


def write_tickets(folder, articles, count, words, rng):
    (folder / "tickets").mkdir()
    # Some topics are far more common than others.
    weights = list(itertools.accumulate(1 / rank for rank in range(1, len(articles) + 1)))
    asked = rng.choices(articles, cum_weights=weights, k=count)
    records = sorted((ticket(number, article, words, rng)
                      for number, article in enumerate(asked)),
                     key=lambda record: (record["closed"], record["id"]))
    for start in range(0, count, TICKETS_IN_FILE):
        lines = (json.dumps(record) + "\n" for record in records[start:start + TICKETS_IN_FILE])
        path = folder / "tickets" / f"{start // TICKETS_IN_FILE:04}.jsonl"
        path.write_text("".join(lines), encoding="utf-8")


def generate(folder, articles, tickets, seed, questions=500):
    """Fills a folder, which is emptied first."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    rng = random.Random(seed)
    words = Words(rng)
    made = [Article(number, words, rng) for number in range(articles)]
    codes = ", ".join(f'"{code}"' for code in CODES)
    (folder / "kb.toml").write_text(KB_TOML.format(codes=codes), encoding="utf-8")
    write_articles(folder, made, words)
    write_tickets(folder, made, tickets, words, rng)
    asked = (words.said(rng.choice(made).own) + "\n" for _ in range(questions))
    (folder / "questions.txt").write_text("".join(asked), encoding="utf-8")


def main():
    line = argparse.ArgumentParser(description="Generate a knowledge base of invented words.")
    line.add_argument("folder", type=pathlib.Path)
    line.add_argument("--articles", type=int, required=True, metavar="N")
    line.add_argument("--tickets", type=int, metavar="N", help="5 for each article unless told")
    line.add_argument("--seed", type=int, default=1, metavar="N")
    typed = line.parse_args()
    tickets = 5 * typed.articles if typed.tickets is None else typed.tickets
    generate(typed.folder, typed.articles, tickets, typed.seed)
    print(f"{typed.articles} articles and {tickets} tickets in {typed.folder}")


if __name__ == "__main__":
    main()
