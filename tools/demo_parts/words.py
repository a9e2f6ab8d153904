"""What callers say: an opening, the symptom, what speaks for the cause, a circumstance, slips of the pen."""

import re

from .settings import PLAN

FILL = {
    "box": {"charger": 5, "charge point": 3, "charging point": 2, "wallbox": 3, "box": 3, "post": 3, "station": 2,
            "charging station": 1, "unit": 1},
    "car": {"car": 7, "EV": 1, "vehicle": 2},
    "lead": {"cable": 5, "lead": 3, "charging cable": 2},
    "plug": {"plug": 6, "connector": 2},
    "ctl": {"site controller": 3, "controller": 5, "sc-2": 1},
    "meter": {"meter": 6, "energy meter": 2, "m-3": 1},
    "portal": {"portal": 7, "backend": 1, "app": 1},
}
FILL_GERMAN = {"box": {"Säule": 3, "Ladesäule": 3, "Wallbox": 2, "Box": 1}}

OPENINGS = {
    "caller": ["", "", "", "", "caller says", "caller:", "customer reports", "caretaker on the phone,", "driver:",
        "tenant says", "reports that", "again:", "quite upset,", "second person about it,"],
    "tech": ["", "", "", "installer calls,", "site manager:", "fitter on site:", "their IT says", "reports that", "again:",
        "electrician on the line,", "second call:"],
    "site": [""],
    "mail": ["Hello,", "Good morning,", "Dear team,", "Hi all,", "Hello support,", "Good evening,", "To whom it may concern:",
        "", "Once more:"],
    "portal": ["", "", "", "", "problem:", "fault:", "please help,", "urgent"],
    "visit": ["", "", "", "visit:", "on site:", "visit after call,", "second line:"],
}
CLOSINGS = ["Thanks", "Please advise.", "Kind regards", "What can we do?", "Please call back.", "Many thanks in advance",
    "Hope you can help"]

NEIGHBOURS = {"a": "s", "e": "r", "i": "o", "o": "p", "n": "m", "t": "r", "s": "a", "r": "t", "l": "k", "u": "i", "d": "f",
    "c": "v", "h": "g", "g": "h"}


# A doing that tells its own result: no way to say that it changed nothing.
TELLS_RESULT = re.compile(r"\b(ok|worked|works|passed|held$|all there|came\b(?! from)|gone|green|agrees|went through|says done"
    r"|then done|back now|fits now|all free|lock opened|(steady|online|clear|found|listed|listed at once|taken|solved)$)", re.I)


def neutral(doings):
    """Those that fit any result, or all where there are none."""
    return [doing for doing in doings if not TELLS_RESULT.search(doing)] or doings


def fill(dice, text, german=False):
    def one(match):
        if match.group(1) == "n":
            return str(dice.between(2, 24))
        table = FILL_GERMAN if german and match.group(1) in FILL_GERMAN else FILL
        return dice.weighted(table[match.group(1)])
    return re.sub(r"\{(\w+)\}", one, text)


def said(dice, spec, cause, channel, codes):
    """One caller's words for a case that looks like `cause`, a key of the article's fixes (or nothing)."""
    foreign = bool(spec["foreign"]) and dice.chance(PLAN["foreign"])
    core = fill(dice, dice.pick(spec["foreign"] if foreign else spec["says"]), foreign)
    parts, hint = [core], clue(dice, spec, cause)
    if hint:
        parts.insert(0 if dice.chance(0.22) else 1, fill(dice, hint))
    if spec["circumstances"] and dice.chance(0.4):
        parts.append(fill(dice, dice.pick(spec["circumstances"])))
    if codes and dice.chance(0.3):
        parts.append(dice.pick(["code {}", "it shows {}", "{} on the page", "{}"]).format(dice.pick(codes)))
    opening = dice.pick(OPENINGS[spec["voice"] if channel == "phone" or spec["voice"] == "site" else channel])
    text = join(dice, parts, opening)
    if channel == "mail":
        text = text[0].upper() + text[1:]
        if dice.chance(0.5):
            text = f"{text.rstrip('.')}. {dice.pick(CLOSINGS)}"
    return worn(dice, text, {"phone": 0.3, "mail": 0.2, "portal": 0.55, "visit": 0.3}[channel], channel == "portal")


def clue(dice, spec, cause):
    """What speaks for the cause, sometimes for another, often nothing."""
    own = spec["fixes"].get(cause, {}).get("says", [])
    others = [fix for fix in spec["fixes"] if fix != cause]
    if others and dice.chance(PLAN["cause_said_wrong"]):
        own = spec["fixes"][dice.pick(others)]["says"]
    return dice.pick(own) if own and dice.chance(PLAN["cause_said"]) else None


def join(dice, parts, opening):
    joint = dice.weighted({", ": 5, ". ": 3, " - ": 1, "; ": 1, " and ": 1})
    if joint == ". ":
        parts = [part if at == 0 and opening else part[0].upper() + part[1:] for at, part in enumerate(parts)]
    if opening == "caller:" and parts[0][1:2].islower():
        # `caller: Driver` would read as somebody's name.
        parts = [parts[0][0].lower() + parts[0][1:], *parts[1:]]
    return f"{opening} {joint.join(parts)}".strip()


def worn(dice, text, chance, hasty):
    """Typing slips; a hasty writer also drops capitals and points."""
    while dice.chance(chance):
        text = slip(dice, text)
        chance *= 0.5
    if hasty and dice.chance(0.6):
        text = text.lower().replace(". ", " ").replace(",", "" if dice.chance(0.5) else ",")
    if dice.chance(0.015):
        text = capitals(text)
    return text


def capitals(text):
    """In capitals, but for the Spanish word that would read as a leftover marker of a programmer."""
    return re.sub("todo", "todo", text.upper(), flags=re.I)


def slip(dice, text):
    words = text.split(" ")
    long_ones = [at for at, word in enumerate(words) if len(word) >= 5 and word.isalpha()]
    if not long_ones:
        return text
    at = dice.pick(long_ones)
    word, place = words[at], dice.between(1, len(words[at]) - 3)
    kind = dice.weighted({"swap": 4, "drop": 3, "double": 2, "neighbour": 2, "together": 1})
    if kind == "swap":
        word = word[:place] + word[place + 1] + word[place] + word[place + 2:]
    elif kind == "drop":
        word = word[:place] + word[place + 1:]
    elif kind == "double":
        word = word[:place] + word[place] + word[place:]
    elif kind == "neighbour":
        word = word[:place] + NEIGHBOURS.get(word[place], word[place]) + word[place + 1:]
    elif at + 1 < len(words):
        return " ".join(words[:at] + [word + words[at + 1]] + words[at + 2:])
    return " ".join(words[:at] + [word] + words[at + 1:])
