"""What a reader sees of the demo articles and drawings, line by line, and their tables."""

import dataclasses
import re

# A figure or a word that begins with one: `4.01`, `−12`, `1/3`, `8E1`, `169.254.0.0/16`.
TOKEN = re.compile(r"(?<![\w.])[+−-]?\d[\w/]*(?:\.\d[\w/]*)*")
# What a reader does not see: answers and settings behind a heading, link targets, step numbers.
HIDDEN = re.compile(r"\{#[^}]*\}|\]\([^)]*\)|^\d+\. ")
TAG = re.compile(r"<style.*?</style>|<[^>]*>", re.DOTALL)


@dataclasses.dataclass(frozen=True)
class Row:
    """One row of a table: its line, and for each cell the column's heading, the start, the text."""

    table: str
    line: int
    cells: tuple


@dataclasses.dataclass(frozen=True)
class Page:
    """An article or a drawing. `lines[n]` is line n of the file, blank where nothing is shown."""

    name: str
    lines: tuple

    @property
    def is_article(self):
        return self.name.endswith(".md")

    @property
    def text(self):
        return "\n".join(self.lines)

    def changed(self, line, start, end, text):
        """The same page with another text at one place."""
        old = self.lines[line]
        new = old[:start] + text + old[end:]
        return Page(self.name, self.lines[:line] + (new,) + self.lines[line + 1 :])

    def rows(self):
        """The rows of all tables, without the headings."""
        heading = None
        for number, line in enumerate(self.lines):
            if not line.startswith("|"):
                heading = None
                continue
            cells = cells_of(line)
            if heading is None:
                heading = [text for _, text in cells]
            elif not re.fullmatch(r"[|\-: ]+", line):
                named = tuple((column, *cell) for column, cell in zip(heading, cells))
                yield Row(heading[0], number, named)


def cells_of(line):
    """Start and text of each cell of a table line."""
    cells, start = [], 1
    for part in line.rstrip()[1:].removesuffix("|").split("|"):
        cells.append((start + len(part) - len(part.lstrip()), part.strip()))
        start += len(part) + 1
    return cells


def blank(match):
    return re.sub(r"[^\n]", " ", match.group())


def page(name, text):
    """Hides what is not shown, and keeps every line and column where it was."""
    if name.endswith(".svg"):
        lines = TAG.sub(blank, text).split("\n")
    else:
        lines = text.split("\n")
        end = lines.index("---", 1)
        lines = [""] * (end + 1) + [HIDDEN.sub(blank, line) for line in lines[end + 1 :]]
    return Page(name, ("", *lines))


def read_pages(folder):
    """All articles and drawings; a page is named by its path below the folder."""
    paths = sorted([*folder.glob("*/*.md"), *folder.glob("*/img/*.svg")])
    return [page(path.relative_to(folder).as_posix(), path.read_text("utf-8")) for path in paths]
