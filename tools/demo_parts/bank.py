"""The phrase bank: how callers and agents of the newer tickets put it.

One file an article, in the form that `tests/data/demo/README.md` shows. Its authors knew neither the
articles' symptoms nor `words.toml` nor this generator, so that what was learned from the older tickets
is tried on words nobody fitted it to. The files are never edited: what does not fit is said here.
"""

import json
from pathlib import Path

from .kb import Unfit


class Bank:
    def __init__(self, folder):
        """Reads what is there; an absent folder is an empty bank."""
        self.folder, self.topics = Path(folder), {}
        for path in sorted(self.folder.glob("*.json")):
            try:
                read = json.loads(path.read_text(encoding="utf-8"))
            except ValueError as error:
                raise Unfit(f"{path}: no JSON: {error}") from error
            for what in malformed(read, path.stem):
                raise Unfit(f"{path}: {what}")
            self.topics[read["article"]] = read

    def check(self, specs):
        """Everything that does not fit the truth: what stops (first list) and what is only said (second)."""
        wrong, said = [], []
        for topic, read in self.topics.items():
            where = self.folder / f"{topic}.json"
            if topic not in specs:
                wrong.append(f"{where}: `{topic}` has no truth")
                continue
            fixes = set(specs[topic]["fixes"])
            wrong += [f"{where}: `{topic}` has no fix `{fix}`" for fix in sorted(set(read["fixes"]) - fixes)]
            said += [f"{where}: nothing for the fix `{fix}`, the truth's own phrases stand in"
                for fix in sorted(fixes - set(read["fixes"]))]
        missing = [topic for topic in specs if topic not in self.topics]
        if missing:
            said.append(f"no phrases in {self.folder} for {', '.join(missing)}: the truth's own stand in")
        return wrong, said

    def phrases(self, topic, spec):
        """The truth's table with the bank's phrases in place of its own, or None where the bank has none."""
        read = self.topics.get(topic)
        if read is None:
            return None
        fixes = {fix: own | read["fixes"].get(fix, {}) for fix, own in spec["fixes"].items()}
        return spec | {key: read[key] for key in ("says", "foreign", "circumstances")} | {"fixes": fixes}


def malformed(read, name):
    """What is wrong with the form of a file, in words."""
    if not isinstance(read, dict) or read.get("article") != name:
        yield f"expected an object whose `article` is `{name}`, as the file is called"
        return
    if not isinstance(read.get("fixes"), dict):
        yield "expected `fixes`, an object"
        return
    lists = {key: read.get(key) for key in ("says", "foreign", "circumstances")}
    for fix, own in read["fixes"].items():
        lists |= {f"fixes.{fix}.{key}": own.get(key) for key in ("says", "did")}
    for key, value in lists.items():
        if not isinstance(value, list) or not value or not all(isinstance(one, str) and one.strip() for one in value):
            yield f"expected `{key}`, a list of phrases"
