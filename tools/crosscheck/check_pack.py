#!/usr/bin/env python3
"""Checks that a pack answers as the terminal does: the same words, order and numbers.

Four hundred questions on the demo (callers of its tickets, blind questions, dangers; with slips,
half-typed words, codes, signs, umlauts, emoji, tries, answers, roles, both orders) and a hundred on a
generated knowledge base, where more articles match than are taken up, go through the code of
`fixtally ask --json` and, by Debian's Node, through the ranking modules of a pack. Numbers may differ
by 1e-9, anything else by nothing. A pack for one device is asked about that device.
"""

import json
import pathlib
import random
import shutil
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT / "tools" / "measure"))
import desk  # noqa: E402  (found only by the line above)

PLACE = ROOT / "target" / "pack"
TOLERANCE = 1e-9
QUESTIONS = 400
GENERATED = 100
ARTICLES = 200
DEVICE = "post-22"
HARD = [
    "", "   ", "🙂🙂 ⚡ no power 🙂", "Gerät öffnet nicht, Straße naß, Lämpchen rot", "ﬁre in the box",
    "K31 and k31 and M03", "shows K-31", "k 12 or m.10, not post 22 nor K  31",
    "169.254.3.7 not found on 3.0.1", "ΣΑΣ ΟΔΟΣ ς", "İstanbul ıstakoz ǅ",
    "zzzz qqqq xxxx", "trip", "tri", "braeker", "rcdtripps", "no smoke, no sparks, just dead",
    "is it burning? no. smell? none", "smoke: none, but it smells burnt", "won't charge w/o card",
    "it's 12,5 A… or 13.5?", "a" * 400, "word " * 500, "no. 4 smokes", "es qualmt nicht",
    "n/a / none / ok", "\u0000tab\tand\u00a0space", "e\u0301cran noir", "½ power x² 10⁻³",
    "nothing to tell of it. " * 300 + "and smoke comes out of it. " + "nothing else. " * 100,
    "constructor toString __proto__", "stinks of melted plastic; he says it doesn't smell",
]
ROLES = [None, "caller", "desk", "installer", "electrician"]


def read_lines(path):
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def slip(text, dice):
    """One finger error: a letter lost, doubled, exchanged or replaced; or the end not typed yet."""
    if len(text) < 6:
        return text
    at = dice.randrange(1, len(text) - 2)
    return dice.choice([
        text[:at] + text[at + 1:],
        text[:at] + text[at] + text[at:],
        text[:at] + text[at + 1] + text[at] + text[at + 2:],
        text[:at] + "e" + text[at + 1:],
        text[:max(at, 5)],
    ])


def questions():
    dice = random.Random(8)
    tickets = [t for f in sorted((ROOT / "kb" / "tickets").glob("*.jsonl")) for t in read_lines(f)]
    said = [{"said": q["ask"]} for q in read_lines(ROOT / "tests/data/questions/forty.jsonl")]
    said += [{"said": text} for text in HARD]
    sayings = read_lines(ROOT / "kb/sayings/own.jsonl")
    said += [{"said": s["said"]} for s in dice.sample(sayings, 90)]
    while len(said) < QUESTIONS:
        said.append(of_ticket(dice.choice(tickets), dice))
    for question in said:
        question["whole"] = True
        question.setdefault("role", dice.choice(ROLES))
        question.setdefault("by", dice.choice(["chance", "time"]))
        if dice.random() < 0.1:
            question["not_danger"] = ["burning-smell-or-smoke"]
        if not question["said"].strip():
            question.setdefault("codes", ["K31"])
    return said


def of_ticket(ticket, dice):
    """What a caller of the demo said, told more or less well, with some of what was found since."""
    question = {"said": ticket["said"] or ""}
    for _ in range(dice.randrange(3)):
        question["said"] = slip(question["said"], dice)
    for key in ("device", "firmware"):
        if ticket[key] and dice.random() < 0.6:
            question[key] = ticket[key]
    if dice.random() < 0.7:
        question["codes"] = ticket["codes"]
        question["signs"] = ticket["signs"]
    article = ticket["article"]
    full = lambda name: name if "#" in name else f"{article}#{name}"  # noqa: E731
    if article and dice.random() < 0.6:
        question["seen"] = {full(check): answer for check, answer in ticket["seen"].items()}
    if article and dice.random() < 0.5:
        tries = [t["fix"] for t in ticket["tries"] if t["result"] == "no-change"]
        question["tried"] = [full(fix) for fix in tries if fix != "other"]
    return question


def generated_questions(place):
    """Makes a knowledge base of invented words and gives questions on it."""
    shutil.rmtree(place, ignore_errors=True)
    maker = ROOT / "tools" / "measure" / "generate_kb.py"
    subprocess.run([sys.executable, str(maker), str(place), "--articles", str(ARTICLES),
                    "--tickets", "1000"], check=True, stdout=subprocess.DEVNULL)
    dice = random.Random(9)
    lines = (place / "questions.txt").read_text(encoding="utf-8").splitlines()
    asked = []
    for at in range(GENERATED):
        # Two questions in one match far more articles than one.
        said = slip(" ".join(dice.sample(lines, 1 + at % 2)), dice)
        asked.append({"said": said, "whole": True, "by": dice.choice(["chance", "time"])})
    return asked


def run(command, given=""):
    ran = subprocess.run([str(part) for part in command], check=False, input=given, text=True,
                         stdout=subprocess.PIPE)
    if ran.returncode > 1:
        sys.exit(f"error: {command[0]} failed")
    return [json.loads(line) for line in ran.stdout.splitlines() if line.startswith("{")]


def compare(ours, theirs, where=""):
    """The first difference in words; none where there is none."""
    if isinstance(ours, dict) and isinstance(theirs, dict):
        if not where:
            # A pack shows its danger cards above all else, so it says no line of what to ask first.
            ours, theirs = ({key: part for key, part in side.items() if key != "hardly_known"} for side in (ours, theirs))
        if ours.keys() != theirs.keys():
            return f"{where}: keys {sorted(ours.keys() ^ theirs.keys())}"
        pairs = [(ours[key], theirs[key], f"{where}.{key}") for key in ours]
    elif isinstance(ours, list) and isinstance(theirs, list):
        if len(ours) != len(theirs):
            return f"{where}: {len(ours)} and {len(theirs)}"
        pairs = [(a, b, f"{where}[{i}]") for i, (a, b) in enumerate(zip(ours, theirs))]
    elif isinstance(ours, float) or isinstance(theirs, float):
        near = abs(ours - theirs) <= TOLERANCE * max(1.0, abs(ours))
        return None if near else f"{where}: {ours} and {theirs}"
    else:
        return None if ours == theirs else f"{where}: {ours!r} and {theirs!r}"
    return next(filter(None, (compare(*pair) for pair in pairs)), None)


def largest_gap(ours, theirs):
    gaps = [abs(a["chance"] - b["chance"]) for a, b in zip(ours["fixes"], theirs["fixes"])]
    return max(gaps, default=0.0)


def judge(name, asked, knowledge, options=()):
    """Answers both ways; prints what differs; (passed, failed)."""
    fixtally, ask_many = desk.built()
    pack, state = PLACE / f"{name}.html", PLACE / f"state-{knowledge.name}"
    run([fixtally, "--quiet", "--kb", knowledge, "--state", state, "pack", "-o", pack, *options])
    lines = "".join(json.dumps(question) + "\n" for question in asked)
    terminal = run([ask_many, knowledge, state], lines)
    page = run(["node", ROOT / "tools/crosscheck/pack/ask.mjs", pack], lines)
    if not len(asked) == len(terminal) == len(page):
        sys.exit(f"error: {len(asked)} questions, {len(terminal)} and {len(page)} answers")
    failed, gap = 0, 0.0
    for question, ours, theirs in zip(asked, terminal, page):
        ours["answer"]["similar"] = []
        found = compare(ours["answer"], theirs["answer"])
        if found:
            failed += 1
            print(f"{name}: {found}\n  {json.dumps(question, ensure_ascii=False)[:300]}")
        else:
            gap = max(gap, largest_gap(ours["answer"], theirs["answer"]))
    millis = sorted(answer["millis"] for answer in page)
    print(f"{name}: {len(asked)} questions, largest gap of a chance {gap:.1e}, "
          f"{millis[len(millis) // 2]:.1f} ms half of the time, {millis[-len(millis) // 20]:.1f} ms 19 of 20")
    return len(asked) - failed, failed


def main():
    PLACE.mkdir(parents=True, exist_ok=True)
    asked = questions()
    of_device = [dict(q, device=DEVICE) for q in asked[::8]]
    generated = PLACE / "generated"
    results = [
        judge("whole", asked, ROOT / "kb"),
        judge("one-device", of_device, ROOT / "kb", ["--devices", DEVICE]),
        judge("many", generated_questions(generated), generated),
    ]
    passed, failed = (sum(numbers) for numbers in zip(*results))
    print(f"check_pack: {passed} passed, {failed} failed")
    sys.exit(failed > 0)


if __name__ == "__main__":
    main()
