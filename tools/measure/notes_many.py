"""Many tickets with notes: how long reading them takes, timed for tools/bench.

The demo's tickets are taken again and again under other ids, as tickets of an office that closes many
of a kind. Every tenth copy of a note ends in words of its own, so that it is a text of its own; the
others are texts that were read before. Timed is a process in which nothing but the reading is missing: it
reads the ledger, counts, reads the notes and counts again.
"""

import json
import os
import shutil
import subprocess
import time

ROWS = {True: 1_000_000, False: 24_000}
# Seconds and memory asked for on two cores.
WISHES = {True: "600 s, 400 MB", False: "-"}


def measure(full, place, programs, root):
    kb, state = place / f"notes-{ROWS[full]}", place / f"notes-{ROWS[full]}-state"
    distinct = fill(kb, ROWS[full], root)
    shutil.rmtree(state, ignore_errors=True)
    command = [str(programs / "fixtally"), "-q", "--kb", str(kb), "--state", str(state), "tickets"]
    run([*command, "list", "--limit", "1"])
    first = run([*command, "confirm", "--list", "--limit", "1"])
    for name in ("readings", "evidence"):
        (state / name).unlink()
    seconds, megabytes = run([*command, "confirm", "--list", "--limit", "1"])
    print(f"{ROWS[full]:,} tickets, learning and reading: {first[0]:.1f} s, {first[1]:.0f} MB")
    print(f"{ROWS[full]:,} tickets, {distinct:,} texts to read: {seconds:.1f} s, {megabytes:.0f} MB,"
          f" {1000 * seconds / distinct:.3f} ms a text  {WISHES[full]}", flush=True)


def run(command):
    """(seconds, peak megabytes) of one command."""
    started = time.perf_counter()
    with subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL) as process:
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1):
        raise SystemExit(f"error: exit {process.returncode} of {' '.join(command)}")
    return time.perf_counter() - started, usage.ru_maxrss / 1024


def fill(kb, rows, root):
    """A demo with so many tickets; gives how many texts of its tickets are to be read."""
    shutil.rmtree(kb, ignore_errors=True)
    shutil.copytree(root / "kb", kb, ignore=shutil.ignore_patterns(".state", "tickets"))
    (kb / "tickets").mkdir()
    own = [json.loads(line) for path in sorted((root / "kb" / "tickets").glob("*.jsonl"))
           for line in path.open(encoding="utf-8")]
    texts = set()
    with (kb / "tickets" / "many.jsonl").open("w", encoding="utf-8") as out:
        for number in range(rows):
            copy, ticket = number // len(own), dict(own[number % len(own)])
            ticket["id"] = f"{ticket['id']}-{copy}"
            ticket.pop("ref", None)
            if ticket.get("follows"):
                ticket["follows"] = f"{ticket['follows']}-{copy}"
            if copy and number % 10 == 0 and ticket.get("notes"):
                ticket["notes"] += f" told by pass {copy} of {number}"
            if not ticket.get("article") or (ticket.get("notes") and not ticket.get("tries")):
                read = ("said", "notes", "codes", "signs", "device", "firmware", "article", "outcome")
                texts.add(json.dumps([ticket.get(key) for key in read]))
            out.write(json.dumps(ticket, ensure_ascii=False) + "\n")
    return len(texts)
