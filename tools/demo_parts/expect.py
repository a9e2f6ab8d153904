"""The shares that the truth comes to: which fix ends how many cases of an article over the whole plan.

The tables state shares before the seasons of single causes and before fixes that lost their effect;
here both are averaged over the plan's weeks, as cases arrive in them.
"""

from . import times
from .settings import PLAN
from .simulate import effect, instead, shares


def ends(world, topic, device):
    """The share of a device's cases that each fix ends (`other` with them), expected over the plan."""
    spec, total, out = world.spec(topic), 0.0, {}
    for first, days in times.weeks():
        weight = times.season(spec["season"], first) * times.growth(first) * days * world.rise(topic, first)
        total += weight
        for fix, share in at(spec, topic, device, first).items():
            out[fix] = out.get(fix, 0.0) + weight * share
    return {fix: part / total for fix, part in out.items()}


def at(spec, topic, device, date):
    """The same for cases of one date."""
    drawn = shares(spec, device, topic, date)
    out = dict.fromkeys(drawn, 0.0)
    running = times.taken_up(device, date, topic)
    for fix, share in drawn.items():
        works = sum(part * effect(spec, fix, device, firmware) for firmware, part in running.items())
        out[fix] += share * works
        for other, part in instead(drawn, fix).items() if works < 1 - 1e-9 else ():
            out[other] += share * (1 - works) * part
    return out


def now(world, topic, device):
    """The same for cases of the plan's last day."""
    return at(world.spec(topic), topic, device, times.day(PLAN["last"]))
