"""Reads what the simulation needs from a knowledge base: ids, order, minutes, roles, answers.

Only the plain forms that the demo's own articles use are understood; it is no general reader.
"""

import re
import tomllib
from pathlib import Path

from .settings import NOT_DANGER, VISITED_AS
from .words import TELLS_RESULT

HEADING = re.compile(r"^## (Check|Fix): (.*?)\s*$")
ATTRIBUTES = re.compile(r"^(.*?)\s*\{#([\w-]+)([^}]*)\}$")
LINK = re.compile(r"^\[(.*)\]\((.*)#([\w-]+)\)$")


class Unfit(Exception):
    """The knowledge base and the truth do not fit each other."""


class Article:
    def __init__(self, path):
        self.path = path
        text = path.read_text(encoding="utf-8")
        parts = re.split(r"^---\s*$", text, maxsplit=2, flags=re.M)
        if len(parts) < 3:
            raise Unfit(f"{path}: no front matter")
        front = parts[1]
        self.id = self.plain(front, "id")
        self.live = self.plain(front, "state") == "live"
        self.devices = self.listed(self.plain(front, "devices"))
        self.codes = self.listed(self.plain(front, "codes"))
        signs = self.plain(front, "signs").strip("{} ")
        pairs = (part.partition(":") for part in signs.split(",") if part.strip())
        self.signs = {name.strip(): state.strip(' "') for name, _, state in pairs}
        self.headings = [m.groups() for m in map(HEADING.match, parts[2].splitlines()) if m]
        self.fixes, self.checks = [], []    # full ids, in the author's order

    @staticmethod
    def plain(front, key):
        found = re.search(rf"^{key}:\s*(.*)$", front, flags=re.M)
        return found.group(1).strip() if found else ""

    @staticmethod
    def listed(text):
        return [part.strip() for part in text.strip("[]").split(",") if part.strip()]

    def full(self, short):
        return short if "#" in short else f"{self.id}#{short}"

    def short(self, full):
        """As tickets write it: short where it is the article's own."""
        return full.removeprefix(f"{self.id}#")


class Base:
    def __init__(self, folder):
        folder = Path(folder)
        settings = folder / "kb.toml"
        if not settings.is_file():
            raise Unfit(f"{settings}: not found; `--kb` names the folder that holds it")
        self.devices = tomllib.loads(settings.read_text(encoding="utf-8"))["devices"]
        paths = sorted((folder / "articles").rglob("*.md"))
        found = [Article(path) for path in paths]
        self.articles = {article.id: article for article in found}
        self.fixes, self.checks = {}, {}    # full id: its attributes
        by_path = {article.path.resolve(): article for article in found}
        for article in found:
            for kind, rest in article.headings:
                self.heading(article, kind, rest, by_path)

    def heading(self, article, kind, rest, by_path):
        order = article.fixes if kind == "Fix" else article.checks
        own, link = ATTRIBUTES.match(rest), LINK.match(rest)
        if link:
            target = by_path.get((article.path.parent / link.group(2)).resolve())
            if target is None:
                raise Unfit(f"{article.path}: the link to `{link.group(2)}` leads nowhere")
            order.append(target.full(link.group(3)))
        elif own:
            title, short, attributes = own.groups()
            known = dict(pair.split("=", 1) for pair in attributes.split())
            known["title"] = title
            for key in ("after", "answers"):
                known[key] = [part for part in known.get(key, "").split(",") if part]
            known["after"] = [article.full(part) for part in known["after"]]
            if "expect" in known:
                check, _, answer = known["expect"].partition(":")
                known["expect"] = (article.full(check), answer)
            known["minutes"] = float(known.get("minutes", 1))
            known.setdefault("who", "caller")
            known["kind"] = known.get("kind") or title.split()[0].lower()
            (self.fixes if kind == "Fix" else self.checks)[article.full(short)] = known
            order.append(article.full(short))

    def fits(self, device, code):
        return code in self.devices[device]["codes"]

    def lit(self, device, lamp, state):
        return any(lamp == known["name"] and state in known["states"] for known in self.devices[device]["lamps"])


def check_truth(base, truth):
    """Everything that does not fit, as lines: what stops (first list) and what is only said (second)."""
    wrong, said = [], []
    for article_id, spec in truth.items():
        article = base.articles.get(article_id)
        if article is None:
            wrong.append(f"article `{article_id}` is not in the knowledge base")
            continue
        if not article.live:
            wrong.append(f"article `{article_id}` is not live")
        fixes = {article.full(fix) for fix in spec["fixes"] if fix != "other"}
        where = f"article `{article_id}`"
        wrong += [f"fix `{fix}` is not in {where}" for fix in sorted(fixes - set(article.fixes))]
        said += [f"fix `{fix}` of {where} has no truth, nobody will try it" for fix in article.fixes if fix not in fixes]
        wrong += [f"{what} of article `{article_id}`: {why}" for what, why in tables(base, article, spec)]
        for fix in spec["habit"] + (spec["change"][1] if spec["change"] else []):
            if article.full(fix) not in fixes:
                wrong.append(f"habit of article `{article_id}`: fix `{fix}` is not in it")
        said += [f"fix `{fix}` of {where}: `did` tells the result: {phrase}" for fix, phrase in telling(spec)]
        for device in spec["mix"]:
            if device not in base.devices or (article.devices and device not in article.devices):
                wrong.append(f"article `{article_id}` does not apply to device `{device}`")
    named = [danger for _, danger in NOT_DANGER.values()] + list(VISITED_AS.values())
    wrong += [f"article `{name}` is not in the knowledge base" for name in named if name not in base.articles]
    untold = [a.id for a in base.articles.values() if a.live and a.id not in truth]
    said += [f"article `{name}` has no truth, no ticket will be of it" for name in untold]
    return wrong, said


def telling(spec):
    """Doings that tell a result: they cannot be written where the fix changed nothing."""
    return [(fix, phrase) for fix, truth in spec["fixes"].items() if fix != "other"
        for phrase in truth["did"] if TELLS_RESULT.search(phrase)]


def tables(base, article, spec):
    """What is wrong with the answers, codes and signs that a truth names."""
    codes = {code for device in base.devices.values() for code in device["codes"]}
    answered = [spec["checks"], *(fix["seen"] for fix in spec["fixes"].values())]
    for check, answers in [pair for table in answered for pair in table.items()]:
        full = article.full(check)
        if full not in article.checks:
            yield f"check `{check}`", "not in it"
        else:
            unknown = set(answers) - set(base.checks[full]["answers"])
            if unknown:
                yield f"check `{check}`", f"no answer `{', '.join(sorted(unknown))}`"
    for fix, truth in spec["fixes"].items():
        for device, *_ in truth["effect"]:
            if device not in base.devices:
                yield f"fix `{fix}`", f"its effect changes on `{device}`, which is no device"
        for code in truth["codes"] or []:
            if code not in codes:
                yield f"fix `{fix}`", f"no device has the code `{code}`"
        for sign in truth["signs"] or []:
            if not any(base.lit(device, *sign.split("=")) for device in spec["mix"]):
                yield f"fix `{fix}`", f"no device has the sign `{sign}`"
