"""Checks that an article names where its figures come from, and brings none from nowhere."""

import re

from facts import articles, readings

PRACTICE = "common practice"
# Sources as articles name them; each must be the source of some fact that is told there.
SOURCE = re.compile(
    r"RFC \d+(?:, [\d.]+)?|(?:ISO/)?IEC \d+(?:-\d+)*(?:, Annex [A-Z])?|EN \d{5}"
    r"|BS \d+(?:, [\d.]*\d)?|TIA-\d+|IEEE [\d.]+\d|OCPP \d\.\d(?: over JSON|, \d\.\d)?"
    r"|Modbus over serial line V\d\.\d+|Modbus application protocol|Modbus/TCP"
)
# A time in a sentence tells how long to wait or to watch: our own, unless a fact reads it.
TIME = re.compile(r" (?:s|h|minutes?|hours?|days?|weeks?)\b")


def missing(fact, page, found):
    """What the article lacks: names of sources, or the mark of common practice where it is told."""
    if not page.is_article:
        return []
    if fact["mark"] == "practice":
        told = [page.lines[reading.line] for reading in found]
        return [] if any(PRACTICE in line for line in told) else [PRACTICE]
    return [name for name in fact.get("names", []) if not named(name, page.text)]


def named(name, text):
    """`IEC 60364-6` is not named by `IEC 60364-6-1`, `RFC 952` not by `RFC 9520`."""
    return re.search(rf"{re.escape(name)}(?![-\w])", text) is not None


def unknown_sources(page, told):
    """Lines that name a source, or common practice, for which no fact is told in this article."""
    names = [name for fact in told for name in fact.get("names", [])]
    for number, line in enumerate(page.lines):
        for match in SOURCE.finditer(line):
            # A longer name of a fact counts for the short form: `IEC 61851-1, Annex A`.
            if not any(match.group() in name or name in match.group() for name in names):
                yield number, match.group()


def unknown_practice(page, practice_lines):
    """Lines that speak of common practice where no such fact is told."""
    for number, line in enumerate(page.lines):
        if PRACTICE in line and number not in practice_lines:
            yield number


def loose_figures(page, facts, own):
    """Figures that neither a fact nor our own settings account for."""
    held = set()
    for entry in facts + own:
        for reading in readings.readings(entry, page):
            for start, end in reading.spans:
                held |= {(reading.line, column) for column in range(start, end)}
    for number, line in enumerate(page.lines):
        masked = SOURCE.sub(lambda match: " " * len(match.group()), line)
        for match in articles.TOKEN.finditer(masked):
            in_sentence = not line.startswith("|") and TIME.match(masked, match.end())
            if (number, match.end() - 1) not in held and not in_sentence:
                yield number, match.group()


def unconfirmed(page, entries):
    """Figures that nobody has confirmed."""
    for entry in entries:
        pattern = re.compile(entry["never"], re.IGNORECASE)
        for number, line in enumerate(page.lines):
            if pattern.search(line):
                yield number, entry["id"]
