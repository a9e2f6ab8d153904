"""Seasons, weeks that clump, opening hours, and which firmware runs when."""

import datetime as dt
import math

from .settings import PLAN

DAY = dt.timedelta(days=1)

# Factor for each month, January first.
SEASONS = {
    "": [1.0] * 12,
    "heat": [0.5, 0.5, 0.6, 0.8, 1.0, 1.6, 2.2, 2.0, 1.0, 0.7, 0.5, 0.5],
    "summer": [0.04, 0.04, 0.1, 0.3, 1.0, 2.6, 3.6, 3.0, 0.9, 0.15, 0.04, 0.04],
    "rain": [1.0, 0.9, 0.9, 0.8, 0.7, 0.6, 0.6, 0.7, 1.1, 1.8, 2.0, 1.4],
    "frost": [3.0, 2.6, 1.2, 0.5, 0.4, 0.4, 0.4, 0.4, 0.5, 0.6, 1.0, 2.4],
    "cold": [1.7, 1.6, 1.2, 0.9, 0.7, 0.6, 0.6, 0.6, 0.7, 1.0, 1.3, 1.7],
    "thunder": [0.7, 0.7, 0.8, 0.9, 1.2, 1.6, 1.7, 1.5, 1.0, 0.8, 0.8, 0.8],
    "spring": [0.8, 0.9, 2.2, 2.2, 1.2, 0.8, 0.6, 0.6, 0.7, 0.8, 0.8, 0.8],
}

# The same cause is not as likely in every month. Article: fix: season.
CAUSE_SEASONS = {
    "plug-locked-in": {"thaw-by-hand": "deep-frost"},
    "rcd-trips-on-plug-in": {"reseal-gland": "rain"},
    "no-lights-at-all": {"replace-control-supply": "thunder"},
    "charges-too-slowly": {"reduced-on-hot-days#shade-and-clear": "summer"},
}
SEASONS["deep-frost"] = [3.4, 3.0, 0.8, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0, 0.1, 1.0, 3.0]

# From when each firmware is out; devices take it up one by one after that.
RELEASED = {
    "post-7": {"2.4.0": "2023-03-01", "2.5.1": "2024-06-15", "3.0.1": "2025-05-20", "3.1.0": "2026-03-10"},
    "post-22": {"2.4.0": "2023-03-01", "2.5.1": "2024-06-15", "3.0.1": "2025-05-20", "3.1.0": "2026-03-10"},
    "sc-2": {"1.8.2": "2023-02-01", "2.0.0": "2024-11-12", "2.1.3": "2025-12-02"},
    "m-3": {"1.2.0": "2023-02-01", "1.3.1": "2025-09-16"},
}
UPTAKE_DAYS = 110

# What follows an update happens to the newest firmware. Article: chance that it runs.
AFTER_UPDATE = {"settings-changed-by-update": 0.8}

WEEKDAYS = {0: 1.3, 1: 1.1, 2: 1.0, 3: 1.0, 4: 1.05, 5: 0.3, 6: 0.12}


def day(text):
    return dt.date.fromisoformat(text)


def season(name, date):
    return SEASONS[name][date.month - 1]


def weeks():
    """(first day, number of days) of each week of the plan. The last one is whole, the first may be short."""
    first, last = day(PLAN["first"]), day(PLAN["last"])
    out = []
    while last >= first:
        days = min(7, (last - first).days + 1)
        out.append((last - (days - 1) * DAY, days))
        last -= days * DAY
    return out[::-1]


def growth(date):
    """More posts are out every year: 1 at the start of the plan, `PLAN["growth"]` at its end."""
    first, last = day(PLAN["first"]), day(PLAN["last"])
    return 1 + (PLAN["growth"] - 1) * (date - first).days / (last - first).days


def firmware(dice, device, date, topic):
    """The newest one that this device has taken up by then."""
    at_once = dice.chance(AFTER_UPDATE.get(topic, 0))
    delay = 0 * DAY if at_once else dice.exponential(UPTAKE_DAYS) * DAY
    versions = list(RELEASED[device])
    fitting = [v for v in versions if day(RELEASED[device][v]) + delay <= date]
    return fitting[-1] if fitting else versions[0]


def taken_up(device, date, topic):
    """The chance of each firmware on a device at a date: what `firmware` draws from."""
    out, newer, at_once = {}, 0.0, AFTER_UPDATE.get(topic, 0)
    for known in reversed(RELEASED[device]):
        days = (date - day(RELEASED[device][known])).days
        by_then = at_once + (1 - at_once) * (1 - math.exp(-days / UPTAKE_DAYS)) if days >= 0 else 0.0
        out[known] = max(by_then - newer, 0.0)
        newer = max(by_then, newer)
    out[next(iter(RELEASED[device]))] += 1 - newer
    return out


def date_in(dice, first, days):
    dates = {first + n * DAY: WEEKDAYS[(first + n * DAY).weekday()] for n in range(days)}
    return dice.weighted(dates)


def moment(dice, date, early=7, late=18):
    seconds = dice.between(early * 3600, late * 3600)
    return dt.datetime.combine(date, dt.time()) + dt.timedelta(seconds=seconds)


def opened(dice, closed, minutes, waited_days):
    """Before the work, never at night."""
    start = closed - dt.timedelta(minutes=minutes + dice.between(1, 25)) - waited_days * DAY
    if start.hour < 6:
        start = dt.datetime.combine(start.date() - DAY, dt.time(15, dice.between(0, 59), dice.between(0, 59)))
    return start


def stamp(moment_):
    return moment_.strftime("%Y-%m-%dT%H:%M:%SZ")
