"""What is hidden in the tickets for later work to find: checked against the truth before it is drawn."""

from . import times
from .settings import PLAN, PLANTED
from .simulate import shares, version


def check(base, truth, unlisted):
    """(planted things that are there, what stops, what is only said)."""
    there, wrong, said = {}, [], []
    for kind, test in TESTS.items():
        there[kind] = []
        for one in PLANTED[kind]:
            absent = [name for name in articles_of(kind, one) if name not in truth or name not in base.articles]
            if absent:
                said.append(f"planted as `{kind}`: `{absent[0]}` is not there, so this is left out")
                continue
            found = [f"planted as `{kind}`, {one}: {what}" for what in test(base, truth, unlisted, one)]
            wrong += found
            there[kind] += [] if found else [one]
    return there, wrong, said


def articles_of(kind, one):
    if kind == "uncovered":
        return []
    if kind == "twins":
        return one
    return [one["article"]] if "article" in one else [one["fix"].partition("#")[0]]


def uncovered(base, truth, unlisted, topic):
    if topic not in unlisted:
        yield "`truth_unlisted.py` does not have it"
    if topic in truth or topic in base.articles:
        yield "an article covers it"


def changed(better):
    """A test that a fix works worse (or better) from a firmware on, on each device named."""
    def test(base, truth, unlisted, one):
        article_id, _, short = one["fix"].partition("#")
        effects = truth[article_id]["fixes"].get(short, {"effect": []})["effect"]
        for device in one["devices"]:
            before, since = works(effects, device, one["firmware"], -1), works(effects, device, one["firmware"], 0)
            if not (since > before if better else since < before):
                yield f"on {device} it works with chance {before} before and {since} since"
    return test


def works(effects, device, firmware, side):
    """The chance that a fix works just below (`side` -1) or at (0) a firmware."""
    at = version(firmware) if side == 0 else version(firmware)[:-1] + (version(firmware)[-1] - 0.5,)
    for named, since, below, chance in effects:
        if named == device and version(since) <= at < version(below):
            return chance
    return 1.0


def rising(base, truth, unlisted, one):
    if not times.day(PLAN["first"]) < times.day(one["since"]) <= times.day(PLAN["last"]):
        yield f"{one['since']} is not in the plan"


def twins(base, truth, unlisted, pair):
    if not all(base.articles[name].live for name in pair):
        yield "not both are live"


def wrong_order(base, truth, unlisted, one):
    """The commonest fix, on every device, is one of the author's last two."""
    article, spec = base.articles[one["article"]], truth[one["article"]]
    stated = [article.short(fix) for fix in article.fixes if article.short(fix) in spec["fixes"]]
    if one["first"] not in stated or stated.index(one["first"]) < len(stated) - 2:
        yield f"the author's order is {', '.join(stated)}"
    for device in spec["mix"]:
        of = shares(spec, device)
        if max(of, key=of.get) != one["first"]:
            yield f"on {device} it is not the commonest"


TESTS = {
    "uncovered": uncovered,
    "stopped": changed(better=False),
    "started": changed(better=True),
    "rising": rising,
    "twins": twins,
    "wrong_order": wrong_order,
}
