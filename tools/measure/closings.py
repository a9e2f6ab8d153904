#!/usr/bin/env python3
"""Several agents at once on one ledger, and agents that are killed: what was confirmed is in, once.

    closings.py BINARY [--processes 8] [--cases 500] [--kills 100]

Each process closes its cases by `fixtally call` from a pipe; then processes are killed (SIGKILL) at
random moments while they close more. A case counts as confirmed when its `closed` state was read.
"""

import argparse
import collections
import json
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import threading
import time

ARTICLE = """---
id: dark
title: It is dark
symptoms: [no light at all]
reviewed: 2026-05-01
---
Dark.

## Fix: Switch it on {#on kind=switch minutes=5 who=anyone}
1. Switch it on.

Done when: it is light.
"""


def main():
    line = argparse.ArgumentParser(description="Close cases from several processes, and kill some.")
    line.add_argument("binary")
    line.add_argument("--processes", type=int, default=8)
    line.add_argument("--cases", type=int, default=500)
    line.add_argument("--kills", type=int, default=100)
    typed = line.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        kb = pathlib.Path(folder) / "kb"
        (kb / "articles" / "a").mkdir(parents=True)
        (kb / "kb.toml").write_text('name = "one"\n', encoding="utf-8")
        (kb / "articles" / "a" / "dark.md").write_text(ARTICLE, encoding="utf-8")
        desk = Desk(os.path.abspath(typed.binary), kb)
        wrong = desk.together(typed.processes, typed.cases)
        wrong += desk.killed(typed.kills)
    print("\n".join(wrong) if wrong else "nothing lost, nothing doubled")
    return 1 if wrong else 0


class Desk:
    def __init__(self, binary, kb):
        self.command = [binary, "--kb", str(kb), "-q"]
        self.confirmed = []

    def start(self):
        return subprocess.Popen([*self.command, "--json", "call"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                stderr=subprocess.DEVNULL, text=True)

    def together(self, processes, cases):
        started = time.perf_counter()
        running = [self.start() for _ in range(processes)]
        threads = [threading.Thread(target=self.feed, args=(p, n, cases)) for n, p in enumerate(running)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        seconds = time.perf_counter() - started
        print(f"{processes} processes, {cases} cases each: {len(self.confirmed)} confirmed in {seconds:.0f} s")
        wrong = [f"a process ended with {p.returncode}" for p in running if p.wait() != 0]
        if len(self.confirmed) != processes * cases:
            wrong.append(f"{processes * cases - len(self.confirmed)} were not confirmed")
        return wrong + self.compare()

    def feed(self, process, number, cases):
        def write():
            for case in range(cases):
                process.stdin.write(f"no light at all, lamp {case} of row {number}\nfixed 1\n")
            process.stdin.close()

        writer = threading.Thread(target=write)
        writer.start()
        for line in process.stdout:
            self.note(line)
        writer.join()

    def note(self, line):
        try:
            closed = json.loads(line)["closed"]
        except ValueError:
            return      # the half line of a killed process
        if closed:
            self.confirmed.append(closed["ticket"])

    def killed(self, kills):
        dice, before = random.Random(11), len(self.confirmed)
        for kill in range(kills):
            process = self.start()
            reader = threading.Thread(target=lambda p=process: [self.note(line) for line in p.stdout])
            reader.start()
            try:
                for case in range(50):
                    process.stdin.write(f"no light at all, lamp {case} killed {kill}\nfixed 1\n")
                process.stdin.flush()
            except BrokenPipeError:
                pass
            time.sleep(dice.uniform(0.01, 0.6))
            process.kill()
            process.wait()
            reader.join()
        print(f"{kills} processes killed: {len(self.confirmed) - before} more cases confirmed")
        subprocess.run([*self.command, "call"], check=True, input="", stdout=subprocess.DEVNULL, text=True)
        return self.compare()

    def compare(self):
        """Every confirmed id is in the ledger once, and no case is in it twice."""
        out = subprocess.run([*self.command, "tickets", "export"], check=True, stdout=subprocess.PIPE, text=True).stdout
        tickets = [json.loads(line) for line in out.splitlines()]
        ids = collections.Counter(ticket["id"] for ticket in tickets)
        said = collections.Counter(ticket["said"] for ticket in tickets)
        wrong = [f"{id} was confirmed and is in the ledger {ids[id]} times" for id in self.confirmed if ids[id] != 1]
        return wrong + [f"`{text}` is in the ledger {n} times" for text, n in said.items() if n > 1]


if __name__ == "__main__":
    sys.exit(main())
