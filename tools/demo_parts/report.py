"""The truth as files for tests, and the counts for whoever runs the generator."""

import json
from collections import Counter

from . import expect


def truth(world, entries):
    """What was stated: everything but the single tickets."""
    articles = {}
    for topic, spec in world.truth.items():
        plain = {key: spec[key] for key in ("weight", "season", "mix", "danger")}
        articles[topic] = plain | fixes(world, topic, spec)
    return {
        "seed": world.seed,
        "tickets": len(entries),
        "planted": world.planted,
        "unlisted": {topic: {key: spec[key] for key in ("weight", "season", "mix")} for topic, spec in world.unlisted.items()},
        "articles": articles,
    }


def fixes(world, topic, spec):
    """Shares by device and over the article's mix, minutes, and the orders that follow from them.

    The order by time is plain share over minutes: what must be done before another fix is left out.
    """
    if not spec["fixes"]:
        return {}
    article = world.base.articles[topic]
    by_device = {device: expect.ends(world, topic, device) for device in spec["mix"]}
    share = over_mix(spec, by_device)
    listed_fixes = [fix for fix in share if fix != "other"]
    minutes = {fix: spec["fixes"][fix]["minutes"] or world.base.fixes[article.full(fix)]["minutes"] for fix in listed_fixes}
    author = [article.short(fix) for fix in article.fixes if article.short(fix) in minutes]
    effects = {fix: own["effect"] for fix, own in spec["fixes"].items() if own["effect"]}
    out = {
        "share": rounded(share),
        "share_by_device": {device: rounded(of) for device, of in by_device.items()},
        "minutes": minutes,
        "order_author": author,
        "order_by_chance": sorted(minutes, key=lambda fix: (-share[fix], fix)),
        "order_by_time": sorted(minutes, key=lambda fix: (-share[fix] / minutes[fix], fix)),
        "habit": spec["habit"],
        "change": spec["change"],
    }
    if effects:
        out["effect"] = effects
        out["share_now"] = rounded(over_mix(spec, {device: expect.now(world, topic, device) for device in spec["mix"]}))
    return out


def over_mix(spec, by_device):
    total = sum(spec["mix"].values())
    return {fix: sum(spec["mix"][d] * of[fix] for d, of in by_device.items()) / total for fix in spec["fixes"]}


def rounded(shares):
    return {fix: round(share, 4) for fix, share in shares.items()}


def case_files(entries):
    """File name: text. The truth ticket by ticket, one object a line, one file a year of closing."""
    out = {}
    for entry in entries:
        name = f"cases-{entry.closed.year}.jsonl"
        out[name] = out.get(name, "") + json.dumps(of_ticket(entry), ensure_ascii=False, separators=(",", ":")) + "\n"
    return out


def of_ticket(entry):
    """What is left out is the usual: no `topic`, cause and words agree, words of the tables, no notes."""
    case, contact = entry.case, entry.contact
    out = {"id": entry.id, "article": case.topic if case.article else "unlisted"}
    if not case.article:
        out["topic"] = case.topic
    out |= {"cause": case.cause, "device": case.device, "ended": contact.ended, "tries": contact.tries}
    if case.looks_like != case.cause:
        out["looks_like"] = case.looks_like
    if contact.hand:
        out["hand"] = contact.hand
    if contact.bank:
        out["bank"] = True
    return out


def truth_text(stated):
    """One article a line: readable, and small differences stay small in a diff."""
    def dump(value):
        return json.dumps(value, ensure_ascii=False, separators=(", ", ": "))

    lines = []
    for key, value in stated.items():
        if key in ("articles", "planted"):
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
    resolved = [x for x in t if x["outcome"] == "resolved"]
    yield f"resolved ones reopened {share(resolved, lambda x: x['reopened'])}, danger {sum(e.case.spec['danger'] for e in entries)}"
    yield f"unlisted {share(entries, lambda e: not e.case.article)}, without article {share(t, lambda x: x['article'] is None)}"
    yield f"only notes {share(t, lambda x: x['notes'] and not x['tries'])}, with notes {share(t, lambda x: x['notes'])}"
    yield f"words of the bank {share(entries, lambda e: e.contact.bank)}; hands {listed(e.contact.hand or 'none' for e in entries)}"
    yield "planted " + ", ".join(f"{kind} {len(there)}" for kind, there in stated["planted"].items())
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
