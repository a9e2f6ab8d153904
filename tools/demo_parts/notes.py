"""What agents write: the same tries in several hands, each with its own way to say what came of them."""

import re

from .hands import HANDS, REMARKS, SHORT
from .words import capitals, worn

REMARKED = 0.3          # notes that begin with a fact
PAIRED = 0.6            # of the notes that can tell the last two tries in one sentence


def written(dice, hand, steps, outcome, facts):
    """One note. `steps`: (doing, result) in order; `facts`: what else can be mentioned, by placeholder."""
    style = HANDS[hand]
    lines = told(dice, hand, style, steps)
    if dice.chance(REMARKED):
        fitting = [r for r in REMARKS if all(key in facts for key in ("lamp", "firmware", "check") if "{" + key + "}" in r)]
        lines.insert(0, dice.pick(fitting).format(**facts))
    if "opening" in style:
        lines.insert(0, dice.pick(style["opening"]).format(**facts))
    ends = style["resolved-end" if outcome == "resolved" else outcome]
    lines = [line for line in [*lines, dice.pick(ends)] if line]
    if not lines:
        lines = [next((end for end in ends if end), facts["quote"])]
    return worn(dice, dressed(dice, hand, style, lines), 0.3, hand == "terse")


def told(dice, hand, style, steps):
    """A line a try, or one for the last two where a hand tells them together."""
    lines, rest = [], list(steps)
    if "pair" in style and [result for _, result in rest[-2:]] == ["no-change", "resolved"] and dice.chance(PAIRED):
        (first, _), (last, _) = rest[-2:]
        lines, rest = [dice.pick(style["pair"]).format(first=first, last=last)], rest[:-2]
    lines = [dice.pick(style[result]).format(did=did) for did, result in rest] + lines
    if hand == "clipped":
        lines = [clipped(dice, line) for line in lines]
    if hand == "numbered":
        lines = [f"{at}) {line}" for at, line in enumerate(lines, 1)]
    return lines[::-1] if style.get("latest_first") else lines


def dressed(dice, hand, style, lines):
    text = style["joint"].join(lines)
    if style["joint"].startswith("\n"):
        text = style["joint"].lstrip("\n") + text
    if hand == "loud":
        return " ".join(capitals(word) if dice.chance(0.4) else word for word in text.split(" "))
    return text[:1].upper() + text[1:] if hand == "chatty" else text


def clipped(dice, line):
    return re.sub(r"[a-z]+", lambda word: SHORT[word[0]] if word[0] in SHORT and dice.chance(0.6) else word[0], line)
