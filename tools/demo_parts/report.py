"""The truth as a file for tests, and the counts for whoever runs the generator."""

import json
from collections import Counter

from .simulate import shares


def truth(world, entries):
    """What was stated and, ticket by ticket, what was drawn."""
    articles = {}
    for topic, spec in world.truth.items():
        plain = {key: spec[key] for key in ("weight", "season", "mix", "danger")}
        articles[topic] = plain | fixes(world, topic, spec)
    return {
        "seed": world.seed,
        "tickets": len(entries),
        "articles": articles,
        "unlisted": {topic: {"weight": spec["weight"]} for topic, spec in world.unlisted.items()},
        "cases": {e.id: e.truth() for e in entries},
        "only_seemed_fixed": [e.id for e in entries if e.ended == "soothed"],
    }


def fixes(world, topic, spec):
    """Shares by device and over the article's mix, minutes, and the orders that follow from them.

    The order by time is plain share over minutes: what must be done before another fix is left out.
    """
    if not spec["fixes"]:
        return {}
    article, total = world.base.articles[topic], sum(spec["mix"].values())
    by_device = {device: shares(spec, device) for device in spec["mix"]}
    share = {fix: sum(spec["mix"][d] * of[fix] for d, of in by_device.items()) / total for fix in spec["fixes"]}
    listed_fixes = [fix for fix in share if fix != "other"]
    minutes = {fix: spec["fixes"][fix]["minutes"] or world.base.fixes[article.full(fix)]["minutes"] for fix in listed_fixes}
    author = [article.short(fix) for fix in article.fixes if article.short(fix) in minutes]
    return {
        "share": {fix: round(value, 4) for fix, value in share.items()},
        "share_by_device": {d: {fix: round(part, 4) for fix, part in of.items()} for d, of in by_device.items()},
        "minutes": minutes,
        "order_author": author,
        "order_by_chance": sorted(minutes, key=lambda fix: (-share[fix], fix)),
        "order_by_time": sorted(minutes, key=lambda fix: (-share[fix] / minutes[fix], fix)),
        "habit": spec["habit"],
        "change": spec["change"],
    }


def truth_text(stated):
    """One article and one ticket a line: readable, and small differences stay small in a diff."""
    def dump(value):
        return json.dumps(value, ensure_ascii=False, separators=(", ", ": "))

    lines = []
    for key, value in stated.items():
        if key in ("articles", "cases"):
            inner = ",\n".join(f"  {dump(k)}: {dump(v)}" for k, v in value.items())
            lines.append(f"{dump(key)}: {{\n{inner}\n}}")
        else:
            lines.append(f"{dump(key)}: {dump(value)}")
    return "{\n" + ",\n".join(lines) + "\n}\n"


def counts(world, entries, texts, stated):
    """A few lines about what was made."""
    t = [e.ticket for e in entries]
    tries = [one for x in t for one in x["tries"]]
    ended = {e.case.number: e.ticket["outcome"] for e in entries if not e.case.spec["danger"]}
    ordered = [of for of in stated["articles"].values() if "order_author" in of]
    not_first = sum(of["order_author"][0] != of["order_by_chance"][0] for of in ordered)
    by_time = sum(of["order_by_time"] != of["order_by_chance"] for of in ordered)
    follows = [e.follows for e in entries if e.follows]
    yield f"tickets {len(t)}, from {t[0]['closed']} to {t[-1]['closed']}"
    yield "outcomes " + listed(x["outcome"] for x in t)
    yield f"cases without danger {len(ended)}, unresolved at their end {share(ended.values(), lambda end: end != 'resolved')}"
    yield f"tries {listed(one['result'] for one in tries)}; with `other` {sum(one['fix'] == 'other' for one in tries)}"
    yield f"visits {sum(f.ended == 'handed-on' for f in follows)}, second calls {sum(f.ended != 'handed-on' for f in follows)}"
    yield f"reopened {share(t, lambda x: x['reopened'])}, danger {sum(e.case.spec['danger'] for e in entries)}"
    yield f"unlisted {share(t, lambda x: x['article'] == 'unlisted')}, without article {sum(x['article'] is None for x in t)}"
    yield f"without tries {share(t, lambda x: not x['tries'])}, with notes {share(t, lambda x: x['notes'])}"
    yield f"the commonest fix is not the author's first in {not_first} of {len(ordered)} articles"
    yield f"the order by time is not the order by chance in {by_time}"
    yield "articles " + listed(e.case.topic for e in entries)
    yield "files " + ", ".join(f"{name} {len(text.encode()):,} B" for name, text in texts.items())


def share(values, test):
    values = list(values)
    part = sum(bool(test(value)) for value in values)
    return f"{part} ({100 * part / max(len(values), 1):.1f} %)"


def listed(values):
    return ", ".join(f"{key} {count}" for key, count in Counter(values).most_common())
