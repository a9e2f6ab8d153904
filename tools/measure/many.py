"""Many tickets: evidence, raw counts beside DuckDB's, and learning, timed for tools/bench.

Tickets are invented (`generate_kb.py`) and imported as those of a demo are. `count_many` then
measures inside one process, with the tickets already in memory: seconds, and the peak of memory
beyond them.
"""

import json
import pathlib
import shutil
import subprocess
import sys
from typing import NamedTuple

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


class Size(NamedTuple):
    articles: int
    tickets: int


# 625,000 generated tickets have a little more than 1,000,000 tries. The small ones are about 1/50,
# but for the articles of learning: below 81 of them all fixes stand against each other, which is
# another way through the code.
EVIDENCE = {True: Size(1_000, 625_000), False: Size(20, 12_500)}
LEARN = {True: Size(1_000, 100_000), False: Size(100, 2_000)}
WISHES = {"evidence": "5 s, 500 MB", "learn": "60 s"}


def measure(full, place, programs):
    """`programs` is the folder of the release build."""
    evidence(EVIDENCE[full], place, programs, WISHES if full else {})
    learning(LEARN[full], place, programs, WISHES if full else {})


def evidence(size, place, programs, wishes):
    kb, state, export = filled(size, place, programs)
    found = count(programs, kb, state)
    name = f"{size.articles:,} articles, {found['tries']:,} tries"
    line(f"{name}: the ledger read", found["read"])
    line(f"{name}: evidence", found["evidence"], wishes.get("evidence"))
    ours = found["evidence"]["seconds"]
    raw_counts(export, ours, {fix: counts for fix, counts in found["counts"].items() if counts[1]})


def learning(size, place, programs, wishes):
    kb, state, _ = filled(size, place, programs)
    found = count(programs, kb, state, "learn")
    line(f"{size.articles:,} articles, {size.tickets:,} tickets: learning", found["learn"],
         wishes.get("learn"))


def filled(size, place, programs):
    """(knowledge base, state, export) with the tickets in the ledger; made anew each time."""
    kb = place / f"many-{size.articles}-{size.tickets}"
    state, export = kb.with_name(kb.name + "-state"), kb.with_name(kb.name + ".jsonl")
    maker = ROOT / "tools" / "measure" / "generate_kb.py"
    subprocess.run([sys.executable, str(maker), str(kb), "--articles", str(size.articles),
                    "--tickets", str(size.tickets)], check=True, stdout=subprocess.DEVNULL)
    shutil.rmtree(state, ignore_errors=True)
    # The first command takes a demo's tickets into its ledger.
    with export.open("wb") as out:
        subprocess.run([str(programs / "fixtally"), "-q", "--kb", str(kb), "--state", str(state),
                        "tickets", "export"], check=True, stdin=subprocess.DEVNULL, stdout=out)
    return kb, state, export


def count(programs, kb, state, *words):
    command = [str(programs / "examples" / "count_many"), str(kb), str(state), *words]
    return json.loads(subprocess.run(command, check=True, stdin=subprocess.DEVNULL,
                                     stdout=subprocess.PIPE, text=True).stdout)


def raw_counts(export, ours, expected):
    python = ROOT / "target" / "venv" / "bin" / "python"
    if not python.exists():
        print("  DuckDB is not installed: `tools/test crosscheck` once makes target/venv")
        return
    script = ROOT / "tools" / "measure" / "raw_counts.py"
    ran = subprocess.run([str(python), str(script), str(export)], check=True,
                         stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, text=True)
    theirs = json.loads(ran.stdout)
    same = "the same counts" if theirs["counts"] == expected else "OTHER COUNTS"
    print(f"{'  raw counts alone by DuckDB, tries in memory':50}{theirs['seconds']:8.3f} s  {same}")
    print(f"{'  the same with reading the export':50}"
          f"{theirs['read_seconds'] + theirs['seconds']:8.3f} s")
    print(f"{'  ratio: evidence by counting':50}{ours / theirs['seconds']:8.1f}")
    print(f"{'  ratio: evidence by reading and counting':50}"
          f"{ours / (theirs['read_seconds'] + theirs['seconds']):8.1f}", flush=True)


def line(name, took, wish=None):
    print(f"{name:50}{took['seconds']:8.3f} s  {took['cpu_seconds']:7.2f} CPU s"
          f"{took['megabytes']:8.1f} MB" + (f"  {wish}" if wish else ""), flush=True)
