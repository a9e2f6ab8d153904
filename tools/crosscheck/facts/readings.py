"""Finds the figures of a fact in the articles, and compares them."""

import dataclasses
import decimal
import re

NUMBER = r"(?<![\w.])([+−-]?\d+(?:\.\d+)?)(?!\w|\.\d)"
WORD = r"(?<![\w.])([+−-]?\d[\w/]*(?:\.\d[\w/]*)*)"


def compiled(template):
    """A template is a regular expression in which `#` stands for a number, `@` for any figure."""
    return re.compile(template.replace("#", NUMBER).replace("@", WORD), re.IGNORECASE)


@dataclasses.dataclass(frozen=True)
class Reading:
    """Figures found on one line. A span is the start and end of one figure in that line."""

    line: int
    figures: tuple
    spans: tuple


def same(found, expected):
    """Words are compared letter by letter, numbers as numbers: `1` is `1.0`, `+12` is `12`."""
    if isinstance(expected, str):
        return found == expected
    return decimal.Decimal(found.replace("−", "-")) == decimal.Decimal(str(expected))


def agrees(reading, values):
    return len(reading.figures) == len(values) and all(map(same, reading.figures, values))


def line_readings(template, page):
    pattern = compiled(template)
    for number, line in enumerate(page.lines):
        for match in pattern.finditer(line):
            spans = tuple(match.span(group) for group in range(1, pattern.groups + 1))
            yield Reading(number, match.groups(), spans)


def row_reading(columns, row):
    """The figures of one table row, or nothing where a column is missing or says something else."""
    figures, spans = [], []
    for heading, template in columns.items():
        cells = [cell for cell in row.cells if cell[0].startswith(heading)]
        match = cells and compiled(template).search(cells[0][2])
        if not match:
            return None
        start = cells[0][1]
        figures += match.groups()
        groups = range(1, len(match.groups()) + 1)
        spans += [(start + match.start(g), start + match.end(g)) for g in groups]
    return Reading(row.line, tuple(figures), tuple(spans))


def table_readings(fact, page):
    """The rows that say it with the right figures; without one, all rows of that form."""
    rows = [row for row in page.rows() if row.table == fact["table"]]
    found = [reading for row in rows if (reading := row_reading(fact["row"], row))]
    return [reading for reading in found if agrees(reading, fact.get("values", []))] or found


def readings(fact, page):
    """Everything that a page says of a fact."""
    found = [r for template in fact.get("read", []) for r in line_readings(template, page)]
    if "row" in fact:
        found += table_readings(fact, page)
    return found
