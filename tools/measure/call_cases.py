"""Draws new cases of the demo's stated truth, as a person on the telephone would meet them.

One object a line: what is said and shown, who is on site, and hidden from the agent the cause, every
answer, the true minutes of every fix, and in what order the author and the desk's habit would go.
"""

import json
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.dont_write_bytecode = True
sys.path.insert(0, str(ROOT / "tools"))
from demo_parts import kb, planted, times  # noqa: E402
from demo_parts.bank import Bank  # noqa: E402
from demo_parts.simulate import Case, World  # noqa: E402
from demo_parts.tables import TRUTH, UNLISTED  # noqa: E402
from demo_parts.words import said  # noqa: E402

# Who does the work: the desk with a caller, an installer, an electrician.
ROLES = {"desk": 0.55, "installer": 0.3, "electrician": 0.15}
# A day inside the demo's tickets, after every change of habit.
DAY = "2026-10-20"


def cases(seed, count):
    base = kb.Base(ROOT / "kb")
    hidden, *_ = planted.check(base, TRUTH, UNLISTED)
    world = World(base, TRUTH, UNLISTED, Bank(ROOT / "tests" / "data" / "demo" / "bank"), hidden, seed)
    weights = {topic: world.spec(topic)["weight"] for topic in [*world.truth, *world.unlisted]}
    dice = world.dice("calls")
    for number in range(count):
        yield drawn(Case(world, number, dice.weighted(weights), times.day(DAY)), dice)


def drawn(case, dice):
    """One case; `cause` is none in a danger, `other` where no article lists what ends it."""
    codes = case.codes()
    article, spec = case.article, case.spec
    phrases, _ = case.world.phrases(case.topic, case.date)
    known = article is not None and not spec["danger"]
    return {
        "topic": case.topic,
        "danger": bool(spec["danger"]),
        "device": case.device,
        "firmware": case.firmware,
        "said": said(case.dice, phrases, case.looks_like, "phone", codes),
        "codes": codes,
        "signs": case.signs(),
        "role": dice.weighted(ROLES),
        "cause": None if spec["danger"] else case.name(case.cause),
        "answers": {check: case.answer(check) for check in article.checks} if known else {},
        "minutes": {case.name(fix): case.minutes_of(fix) for fix in spec["fixes"] if fix != "other"},
        "habit": habits(case) if known else [],
    }


def habits(case):
    """What this desk tries first, in full ids."""
    first = case.spec["habit"]
    if case.spec["change"] and case.date >= times.day(case.spec["change"][0]):
        first = case.spec["change"][1]
    return [case.name(fix) for fix in first]


def main():
    seed, count = int(sys.argv[1]), int(sys.argv[2])
    for case in cases(seed, count):
        print(json.dumps(case, ensure_ascii=False))


if __name__ == "__main__":
    main()
