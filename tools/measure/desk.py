"""fixtally as a person uses it: import tickets into a fresh ledger, then ask.

Only this file knows how. Where FIXTALLY names a binary, it imports; else the one built for tests
does. Both leave what was learned in the state folder, from which `ask_many` answers with the code
that `fixtally ask` runs.
"""

import functools
import json
import os
import pathlib
import shutil
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


@functools.cache
def built():
    """(fixtally, ask_many), built where they are stale."""
    subprocess.run(["cargo", "build", "--locked", "--quiet", "--bin", "fixtally", "--example",
                    "ask_many"], check=True, cwd=ROOT, stdin=subprocess.DEVNULL)
    folder = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "debug"
    ask_many = folder / "examples" / "ask_many"
    return os.environ.get("FIXTALLY", str(folder / "fixtally")), str(ask_many)


def answers(place, questions):
    """Learns from the tickets at a place made by tools/opendata and answers each question:
    {"ranked": [[article, fix or None, chance], ...], "unlisted": chance that no article covers it}.
    """
    as_of = json.loads((place / "classes.json").read_text(encoding="utf-8"))["as_of"]
    import_tickets(place, as_of)
    lines = "".join(json.dumps(question) + "\n" for question in questions)
    ran = subprocess.run([built()[1], str(place / "kb"), str(place / "state"), as_of], check=False,
                         input=lines, stdout=subprocess.PIPE, text=True)
    given = [json.loads(line) for line in ran.stdout.splitlines()]
    if ran.returncode != 0 or len(given) != len(questions):
        sys.exit(f"error: {len(questions)} questions, but {len(given)} answers")
    return given


def import_tickets(place, as_of):
    state = place / "state"
    shutil.rmtree(state, ignore_errors=True)
    command = [built()[0], "--quiet", "--kb", str(place / "kb"), "--state", str(state),
               "--as-of", as_of, "tickets", "import", str(place / "learn.csv"),
               "--map", str(place / "map.toml")]
    if subprocess.run(command, check=False, stdin=subprocess.DEVNULL,
                      stdout=subprocess.DEVNULL).returncode != 0:
        sys.exit("error: the learning rows could not be imported without complaint")
