"""From cases to tickets: who is visited, who calls again, the times, the ids, the files."""

import datetime as dt
import json

from . import times
from .record import contact
from .settings import PLAN
from .simulate import Case, visited

KEYS = ["id", "ref", "follows", "opened", "closed", "device", "firmware", "channel", "said", "codes", "signs", "seen",
    "article", "tries", "outcome", "reopened", "not_danger", "notes"]
LARGEST_FILE = 950_000


class Entry:
    """A ticket on its way, with its truth."""

    def __init__(self, case, kind, closed, follows=None):
        self.case, self.closed, self.follows = case, closed, follows
        self.contact = contact(case, kind, closed.date())
        self.ticket, self.ended = self.contact.ticket, self.contact.ended
        waited = case.dice.between(1, 5) if self.contact.licensed else 0
        self.opened = times.opened(case.dice, closed, self.contact.minutes, waited)
        self.reopened = None


def tickets(world, count):
    """All tickets, in order of closing."""
    visits, seconds = round(count * PLAN["visits"]), round(count * PLAN["second_calls"])
    calls = []
    for number, (topic, date) in enumerate(world.arrivals(count - visits - seconds)):
        case = Case(world, number, topic, date)
        calls.append(Entry(case, "call", times.moment(case.dice, date)))
    last_day(calls)
    for entry in calls:
        returns(entry)
    dice = world.dice("follow")
    visitable = [e for e in calls if e.ended == "handed-on" and room(e.closed, 12)]
    back = [e for e in calls if e.reopened and room(e.reopened, 4)]
    called = dice.some(back, seconds)
    more = [visit(world, entry, len(calls) + at) for at, entry in enumerate(dice.some(visitable,
    visits + seconds - len(called)))]
    more += [second(entry) for entry in called]
    for entry in more:
        returns(entry)
    entries = sorted(calls + more, key=lambda e: (e.closed, e.opened, e.case.number))
    if len(entries) < count:
        raise SystemExit(f"tools/demo: only {len(entries)} of {count} tickets: too few cases are handed on for so many visits")
    give_ids(world, entries)
    return entries


def room(moment, days):
    return moment.date() + days * times.DAY <= times.day(PLAN["last"])


def last_day(calls):
    """Something closes on the very last day."""
    last = times.day(PLAN["last"])
    if calls and not any(e.closed.date() == last for e in calls):
        newest = max(calls, key=lambda e: e.closed)
        later = last - newest.closed.date()
        newest.closed, newest.opened = newest.closed + later, newest.opened + later


def returns(entry):
    """What only seemed to be fixed comes back within weeks; some comes back much later."""
    dice = entry.case.dice
    late = entry.ended == "resolved" and dice.chance(PLAN["late_return"])
    if entry.ended != "soothed" and not late:
        return
    days = dice.between(35, 80) if late else min(28, 1 + int(dice.exponential(8)))
    back = times.moment(dice, entry.closed.date() + days * times.DAY)
    if back.date() <= times.day(PLAN["last"]):
        entry.reopened = back


def visit(world, entry, number):
    case = visited(world, entry.case, number)
    date = entry.closed.date() + case.dice.between(1, 11) * times.DAY
    date += {5: 2, 6: 1}.get(date.weekday(), 0) * times.DAY
    case.date = date
    return Entry(case, "visit", times.moment(case.dice, date, 9, 17), entry)


def second(entry):
    case = entry.case
    closed = entry.reopened + dt.timedelta(minutes=case.dice.between(20, 2000))
    case.date = closed.date()
    return Entry(case, "second", closed, entry)


def give_ids(world, entries):
    """Ids in order of closing, office numbers in order of opening, with gaps."""
    dice, ref = world.dice("numbers"), 60_000
    for entry in sorted(entries, key=lambda e: (e.opened, e.closed, e.case.number)):
        ref += dice.between(3, 45)
        entry.ref = str(ref) if dice.chance(PLAN["ref_known"]) else None
    for at, entry in enumerate(entries):
        entry.id = f"T-{10_001 + at}"
    for entry in entries:
        full = entry.ticket | {
            "id": entry.id, "ref": entry.ref, "follows": entry.follows and entry.follows.id,
            "opened": times.stamp(entry.opened), "closed": times.stamp(entry.closed),
            "reopened": entry.reopened and times.stamp(entry.reopened),
        }
        entry.ticket = {key: full[key] for key in KEYS if key in full}


def files(entries):
    """File name: text. One file a quarter, or a month where a quarter is too large."""
    out, quarters = {}, {}
    for entry in entries:
        quarters.setdefault(f"{entry.closed.year}-q{(entry.closed.month + 2) // 3}", []).append(entry)
    for name, part in quarters.items():
        text = lines(part)
        if len(text.encode()) <= LARGEST_FILE:
            out[f"{name}.jsonl"] = text
            continue
        for month in sorted({entry.closed.month for entry in part}):
            out[f"{name[:4]}-{month:02}.jsonl"] = lines(e for e in part if e.closed.month == month)
    return out


def lines(entries):
    return "".join(json.dumps(e.ticket, ensure_ascii=False, separators=(",", ":")) + "\n" for e in entries)
