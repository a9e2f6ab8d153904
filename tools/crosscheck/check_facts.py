#!/usr/bin/env python3
"""Compares the figures in kb/articles with tests/data/facts.toml, and that list with calculations
and open libraries.

Every figure that an article shows is read by a fact or declared as our own in the list. Then the
same checks run on articles with changed figures, where they must fail.
"""

import pathlib
import sys
import tomllib

from facts import articles, libraries, mutation, recompute, sources
from facts.readings import agrees, readings

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
FOLDER = ROOT / "kb" / "articles"
LIST = ROOT / "tests" / "data" / "facts.toml"
UNSOURCED = {"practice", "own"}
MARKS = {"primary", "secondary", "library", "calculated"} | UNSOURCED


class Report:
    """Prints each check as it is made, and counts."""

    def __init__(self):
        self.passed = self.failed = 0

    def add(self, good, text):
        self.passed += good
        self.failed += not good
        print(f"{'ok  ' if good else 'FAIL'} {text}")

    def all_of(self, exceptions, text):
        """One check that holds where there are no exceptions."""
        self.add(not exceptions, f"{text}, but not: {exceptions}" if exceptions else text)


def figures(values):
    return ", ".join(map(str, values)) or "the words"


def problems_of_fact(fact, page, found):
    """What is wrong with a fact in one page."""
    if not found:
        return ["not told here any more; mend the reading in facts.toml, or the article"]
    wrong = [r for r in found if not agrees(r, fact["values"]) and (r.figures or "row" in fact)]
    said = [f"line {r.line} says {figures(r.figures)}" for r in wrong]
    return said + [f"names no `{name}`" for name in sources.missing(fact, page, found)]


def page_checks(page, facts, own, unconfirmed):
    """Whether it is good, and a line of text, for every check on one page."""
    told, practice_lines = [], set()
    for fact in facts:
        found = readings(fact, page)
        if not found and page.name not in fact.get("in", []):
            continue
        told.append(fact)
        if fact["mark"] == "practice":
            practice_lines |= {reading.line for reading in found}
        wrong = problems_of_fact(fact, page, found)
        lines = ",".join(str(n) for n in sorted({reading.line for reading in found})) or "-"
        said = " ".join(filter(None, [figures(fact["values"]), fact.get("unit")]))
        text = f"{page.name}:{lines} {fact['id']}: {said} - {fact['source']} ({fact['mark']})"
        yield not wrong, "; ".join([text, *wrong])
    lost = sources.loose_figures(page, facts, own)
    loose = [f"line {line} shows `{figure}` from nowhere" for line, figure in lost]
    lost = sources.unconfirmed(page, unconfirmed)
    loose += [f"line {line} tells `{entry}`, from memory only" for line, entry in lost]
    if page.is_article:
        lost = sources.unknown_sources(page, told)
        loose += [f"line {line} names `{source}` for no known fact" for line, source in lost]
        lost = sources.unknown_practice(page, practice_lines)
        loose += [f"line {line} calls an unknown thing {sources.PRACTICE}" for line in lost]
    text = f"{page.name} every figure has its place, every source its fact"
    yield not loose, "; ".join([text, *loose])


def check_list(report, facts, unconfirmed, pages):
    """The list itself: names once, known marks, a source; the patterns of what must not appear."""
    names = [fact["id"] for fact in facts]
    report.add(len(names) == len(set(names)), f"facts.toml: {len(names)} facts, each name once")
    odd = [f["id"] for f in facts if f["mark"] not in MARKS or not f["says"] or not f["source"]]
    report.all_of(odd, "facts.toml: every fact has a mark, a source and words")
    told = [f for f in facts if any(name.endswith(".md") for name in f.get("in", []))]
    bare = [f["id"] for f in told if f["mark"] not in UNSOURCED and not f.get("names")]
    report.all_of(bare, "facts.toml: every told fact says what an article must name")
    places = {name for fact in facts for name in fact.get("in", [])}
    gone = sorted(places - {page.name for page in pages})
    report.all_of(gone, "facts.toml: every article and drawing that it names is there")
    for entry in unconfirmed:
        sample = articles.Page("sample.md", ("", entry["example"]))
        caught = any(sources.unconfirmed(sample, [entry]))
        report.add(caught, f"facts.toml: `{entry['id']}` would be noticed in an article")


def check_pages(report, pages, facts, own, unconfirmed):
    for page in pages:
        for good, text in page_checks(page, facts, own, unconfirmed):
            report.add(good, text)


def check_values(report, pages, facts):
    """Calculations and libraries; every fact marked so must be met by one."""
    values = {fact["id"]: fact["values"] for fact in facts}
    done, used = set(), set()
    for fact, said, found, good in recompute.results(values.__getitem__):
        done.add(fact)
        report.add(good, f"calculated {fact}: {said}, comes out as {found}")

    def value(name):
        used.add(name)
        return values[name]

    for what, library, told, known, good in libraries.results(value, pages):
        against = "" if good else f", but the library has {known}"
        report.add(good, f"{library}: {what}: {told}{against}")
    marked = {mark: [f["id"] for f in facts if f["mark"] == mark and f["values"]] for mark in MARKS}
    left = [name for name in marked["calculated"] if name not in done]
    report.all_of(left, "every calculated figure is worked out again")
    left = [name for name in marked["library"] if name not in used]
    report.all_of(left, "every figure of a library is compared with it")


def check_mutations(report, pages, facts, own, unconfirmed):
    """The same checks on changed articles."""

    def fails(page):
        return not all(good for good, _ in page_checks(page, facts, own, unconfirmed))

    for page in pages:
        found = [reading for fact in facts for reading in readings(fact, page)]
        made, unseen = mutation.unseen_changes(page, found, fails)
        if made:
            report.all_of(unseen, f"self-test: {made} changed figures of {page.name} are noticed")
    made, unseen = mutation.unseen_in_list(facts)
    report.all_of(unseen, f"self-test: {made} changed figures of facts.toml are noticed")
    values = {fact["id"]: fact["values"] for fact in facts}
    made, unseen = mutation.unseen_names(pages, values.__getitem__)
    report.all_of(unseen, f"self-test: {made} misspelt names of OCPP are noticed")
    for page in pages:
        told = [fact for fact in facts if page.is_article and readings(fact, page)]
        names = {name for fact in told for name in fact.get("names", [])}
        names |= {sources.PRACTICE for fact in told if fact["mark"] == "practice"}
        unseen = [name for name in names if not fails(without(page, name))]
        if names:
            text = f"self-test: {len(names)} lost sources of {page.name} are noticed"
            report.all_of(unseen, text)


def without(page, name):
    lines = tuple(line.replace(name, " " * len(name)) for line in page.lines)
    return articles.Page(page.name, lines)


def main():
    content = tomllib.loads(LIST.read_text("utf-8"))
    facts, own, unconfirmed = content["fact"], content["own"], content["unconfirmed"]
    for fact in facts:
        fact.setdefault("values", [])
    pages = articles.read_pages(FOLDER)
    report = Report()
    check_list(report, facts, unconfirmed, pages)
    check_pages(report, pages, facts, own, unconfirmed)
    check_values(report, pages, facts)
    check_mutations(report, pages, facts, own, unconfirmed)
    print(f"check_facts: {report.passed} passed, {report.failed} failed")
    return 1 if report.failed else 0


if __name__ == "__main__":
    sys.exit(main())
