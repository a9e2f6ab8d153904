"""Writes a contact down as a ticket: what was said, the tries as somebody entered them, the notes."""

import math
from dataclasses import dataclass

from .hands import OF_DANGER
from .notes import written
from .settings import AGENTS, CHANNELS, NOT_DANGER, PLAN
from .words import fill, neutral, said

SLOWNESS = {"resolved": 1.0, "no-change": 0.9, "not-possible": 0.3}


@dataclass
class Contact:
    """One ticket without its times and ids, and the truth of it."""

    ticket: dict
    tries: list             # (fix, result) as they were, entered or not
    ended: str              # an outcome, or `soothed`: it only seemed to be resolved
    minutes: float
    licensed: bool          # an electrician worked
    hand: str               # who wrote the notes; empty without notes
    bank: bool              # the words are the phrase bank's


def contact(case, kind, closed):
    """`kind`: call, second (the same caller again) or visit; `closed`: the date."""
    visit, dice = kind == "visit", case.dice
    phrases, bank = case.world.phrases(case.topic, closed)
    channel = dice.weighted(CHANNELS) if kind == "call" else "phone"
    codes, signs, seen = case.codes(), case.signs(), case.asked(visit)
    tries, ended = tried(case, kind, seen)
    ticket = {
        "device": case.device,
        "firmware": told_firmware(case),
        "channel": channel,
        "said": said(dice, phrases, case.looks_like, "visit" if visit else channel, codes),
        "codes": codes,
        "signs": signs,
        "seen": {case.article.short(check): answer for check, answer in seen.items()},
        "article": case.topic if case.article else "unlisted",
        "tries": [entered(case, fix, result) for fix, result in tries],
        "outcome": "resolved" if ended == "soothed" else ended,
        "reopened": None,
        "notes": None,
    }
    if case.topic in NOT_DANGER and channel == "phone" and not visit and dice.chance(PLAN["not_danger"]):
        words, danger = NOT_DANGER[case.topic]
        ticket["said"] += f", {words}"
        ticket["not_danger"] = [danger]
    hand = noted(case, ticket, tries, seen, phrases, visit)
    licensed = any(fix != "other" and case.known(fix)["who"] == "electrician" for fix, _ in tries)
    return Contact(ticket, tries, ended, sum(case.minutes_of(fix) for fix, _ in tries), licensed, hand, bank)


def tried(case, kind, seen):
    """(tries, how it ended); a check that must come before a fix is added to `seen`."""
    if case.spec["danger"]:
        return [], "handed-on"
    again = kind != "call"
    knows = again and case.dice.chance(PLAN["visit_knows"])
    tries, ended = case.attempt(case.order(seen, knows), again)
    for fix, _ in tries:
        for before in [] if fix == "other" else case.known(fix)["after"]:
            if before in case.article.checks and before not in seen:
                seen[before] = case.answer(before)
    return tries, ended


def told_firmware(case):
    about_it = case.article and case.article.path.parent.name == "firmware"
    if not case.dice.chance(PLAN["firmware_asked" if about_it else "firmware_told"]):
        return None
    return ("v" if case.dice.chance(0.05) else "") + case.firmware


def entered(case, fix, result):
    """A try as the form has it. Minutes are lognormal with the true mean; less where nothing could be done."""
    dice, spread = case.dice, PLAN["minutes_spread"]
    mean = case.minutes_of(fix) * SLOWNESS[result]
    minutes = mean * math.exp(spread * dice.normal() - spread * spread / 2)
    if dice.chance(PLAN["minutes_slip"]):
        minutes *= 4
    out = {"fix": fix, "result": result}
    if not dice.chance(PLAN["minutes_missing"]):
        out["minutes"] = max(1, round(minutes))
    return out


def noted(case, ticket, tries, seen, phrases, visit):
    """Adds the notes, takes out what this agent does not enter; the hand, empty without notes."""
    dice = case.dice
    agent = AGENTS[dice.weighted({at: agent["weight"] for at, agent in enumerate(AGENTS)})]
    only_notes = not tries or dice.chance(agent["only_notes"])
    if not only_notes and not dice.chance(PLAN["visit_notes"] if visit else agent["notes"]):
        return ""
    if case.spec["danger"]:
        ticket["notes"] = dice.pick(OF_DANGER)
        return agent["hand"]
    steps = [(doing(dice, phrases, fix, result), result) for fix, result in tries]
    ticket["notes"] = written(dice, agent["hand"], steps, ticket["outcome"], facts(case, ticket, seen, phrases))
    if only_notes:
        ticket["tries"] = []
        if dice.chance(PLAN["no_article"]):
            ticket["article"], ticket["seen"] = None, {}
    return agent["hand"]


def doing(dice, phrases, fix, result):
    doings = phrases["fixes"][fix]["did"]
    return dice.pick(doings if result == "resolved" else neutral(doings))


def facts(case, ticket, seen, phrases):
    """What a note may mention besides the tries."""
    dice = case.dice
    out = {"firmware": case.firmware, "quote": fill(dice, dice.pick(phrases["says"]))}
    if seen:
        check = dice.pick(list(seen))
        out |= {"check": check.partition("#")[2].replace("-", " "), "answer": seen[check].replace("-", " ")}
    if ticket["signs"]:
        out["lamp"] = dice.pick(list(ticket["signs"].values())).replace("-", " ")
    return out
