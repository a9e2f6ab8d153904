#!/usr/bin/env python3
"""Imports a large invented export and says what that costs.

    tools/measure/intake.py BINARY [--rows N] [--kills N]

A table of N rows with notes in which one in three holds personal data, from a fixed seed. Printed: the
seconds and the peak of memory of its import, scrubbing included; of a tenth of it, to show whether
memory grows with the rows; SQLite's own command line importing the same file as it stands, where
`sqlite3` is installed, and the ratio. Then the import is killed at moments spread over its time, run to
its end, and its export compared byte for byte with that of an undisturbed one.
"""

import argparse
import os
import pathlib
import random
import shutil
import subprocess
import sys
import tempfile
import time

SAID = ["box trips the breaker as soon as they plug in", "no lamp on the post after the storm",
        "card not accepted, red lamp", "charging stops after ten minutes", "portal says offline",
        "meter shows nonsense", "plug stuck in the socket", "very slow on hot days"]
NOTES = ["swapped the lead, no change. resealed the gland and all good", "restarted controller, back up",
         "checked the RCD, still trips; replaced it, ok now", "reset once, still dead, handed on",
         "asked Mr {name} for a picture to {name}{n}@example.com", "call back 020 7946 {n:04}",
         "site is 12 High Street, visit booked"]
NAMES = ["Miller", "Brown", "Weber", "Garcia"]
MAP = """zone = "UTC"
dates = ["%d.%m.%Y %H:%M"]
id = { column = "Number" }
[columns]
closed = "Closed at"
said = "Subject"
notes = "Log"
outcome = "State"
[values.outcome]
Done = "resolved"
Visit = "handed-on"
"""


def main():
    line = argparse.ArgumentParser(description="Measure the import of a large export.")
    line.add_argument("binary", type=pathlib.Path)
    line.add_argument("--rows", type=int, default=20_000)
    line.add_argument("--kills", type=int, default=20)
    typed = line.parse_args()
    with tempfile.TemporaryDirectory(prefix="fixtally-intake-") as place:
        return measure(typed, pathlib.Path(place))


def measure(typed, place):
    kb = place / "kb"
    kb.mkdir()
    (kb / "kb.toml").write_text('name = "intake"\n', encoding="utf-8")
    (place / "map.toml").write_text(MAP, encoding="utf-8")
    table, tenth = place / "all.csv", place / "tenth.csv"
    write(table, typed.rows)
    write(tenth, typed.rows // 10)

    def command(state, file):
        return [str(typed.binary.resolve()), "-q", "--kb", str(kb), "--state", str(place / state),
                "tickets", "import", str(file), "--map", str(place / "map.toml"), "--later"]

    small = run(command("small", tenth))
    ours = run(command("whole", table))
    size = table.stat().st_size / 2**20
    for rows, (seconds, megabytes, busy) in ((typed.rows // 10, small), (typed.rows, ours)):
        print(f"{rows:>10,} rows: {seconds:8.2f} s, {busy:8.2f} s of processor  {megabytes:6.0f} MB at most")
    print(f"  {size:.0f} MB of CSV; asked for at 1,000,000: 180 s, 400 MB")
    if shutil.which("sqlite3"):
        plain = run(["sqlite3", str(place / "plain.sqlite"), ".mode csv", f".import {table} rows"])
        print(f"sqlite3 .import of the same: {plain[0]:.2f} s; ratio {ours[0] / plain[0]:.1f}")
    else:
        print("sqlite3 is not installed: no ratio")
    return killed(typed, place, command, table, ours[0], kb)


def killed(typed, place, command, table, took, kb):
    """Kills at moments from a fixed seed, then imports to the end; 1 where the ledgers differ."""
    if not typed.kills:
        return 0
    dice = random.Random(20)
    for _ in range(typed.kills):
        with subprocess.Popen(command("killed", table), stdout=subprocess.DEVNULL) as process:
            time.sleep(took * dice.random())
            process.kill()
    subprocess.run(command("killed", table), check=True, stdout=subprocess.DEVNULL)
    exports = [place / f"{state}.jsonl" for state in ("whole", "killed")]
    for export in exports:
        with export.open("wb") as out:
            subprocess.run([str(typed.binary.resolve()), "-q", "--kb", str(kb), "--state",
                            str(place / export.stem), "tickets", "export"], check=True, stdout=out)
    same = exports[0].read_bytes() == exports[1].read_bytes()
    print(f"killed {typed.kills} times and imported: {'the same export' if same else 'ANOTHER EXPORT'}")
    return 0 if same else 1


def write(path, rows):
    dice = random.Random(7)
    with path.open("w", encoding="utf-8") as out:
        out.write("Number,Closed at,Subject,Log,State\n")
        for n in range(rows):
            day = f"{dice.randint(1, 28):02}.{dice.randint(1, 12):02}.{dice.randint(2022, 2026)}"
            notes = ". ".join(dice.choice(NOTES) for _ in range(3))
            notes = notes.format(name=dice.choice(NAMES), n=dice.randint(0, 9999))
            said = f"{dice.choice(SAID)}, bay {dice.randint(1, 99)}"
            out.write(f'{n},{day} 09:41,"{said}","{notes}",{dice.choice(["Done", "Visit"])}\n')


def run(command):
    """(seconds, peak megabytes, seconds of processor) of one command; ends the measurement where it goes wrong."""
    started = time.perf_counter()
    with subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL) as process:
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        sys.exit(f"error: exit {process.returncode} of {' '.join(command)}")
    return time.perf_counter() - started, usage.ru_maxrss / 1024, usage.ru_utime + usage.ru_stime


if __name__ == "__main__":
    sys.exit(main())
