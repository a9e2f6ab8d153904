#!/usr/bin/env python3
"""Holds the sheet's HTTP interface against its own description, src/sheet/openapi.json.

Schemathesis (PyPI) draws requests from the description, fitting and unfitting ones, and fails on
answers of another status, type or form than described, on server errors, and on unfitting requests
that are taken. The server runs on a copy of the demo; nothing else is touched.

Left out: `ignored_auth` (on one's own machine no token is asked for; Rust tests cover the token) and
`positive_data_acceptance` (ids drawn at random name nothing). Ends in `api: N passed, N failed`, an
operation being one case.
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import urllib.request

ROOT = pathlib.Path(__file__).resolve().parents[2]
BINARY = os.environ.get("FIXTALLY", ROOT / "target/debug/fixtally")
SECONDS = 60


def serve(kb):
    command = [BINARY, "--kb", kb, "-q", "sheet", "--listen", "127.0.0.1:0"]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    line = server.stdout.readline()
    return server, re.search(r"http://\S+:\d+", line).group()


def run(url):
    served = json_of(url)
    if served != (ROOT / "src/sheet/openapi.json").read_bytes():
        print("the server serves another description: build it anew")
        return [], 1
    command = [
        pathlib.Path(sys.executable).with_name("schemathesis"), "run", f"{url}/openapi.json",
        "--phases", "coverage,fuzzing", "--max-time", str(SECONDS), "--seed", "9", "--no-color",
        "--exclude-checks", "ignored_auth,positive_data_acceptance", "--continue-on-failure",
        # Waits for changes, 20 seconds each time.
        "--exclude-path", "/api/changes",
    ]
    with tempfile.TemporaryDirectory() as folder:
        ran = subprocess.run(command, cwd=folder, capture_output=True, text=True)
    print(ran.stdout)
    return re.findall(r"^_+ ([A-Z]+ /\S*) _+$", ran.stdout, re.M), ran.returncode


def json_of(url):
    with urllib.request.urlopen(f"{url}/openapi.json") as answer:
        return answer.read()


def main():
    with tempfile.TemporaryDirectory() as folder:
        kb = pathlib.Path(folder) / "kb"
        shutil.copytree(ROOT / "kb", kb, ignore=shutil.ignore_patterns(".state"))
        server, url = serve(kb)
        try:
            failed, code = run(url)
            alive = server.poll() is None
        finally:
            server.terminate()
            server.wait()
    bad = len(set(failed)) or (1 if code or not alive else 0)
    operations = len(re.findall(r'"operationId"', (ROOT / "src/sheet/openapi.json").read_text())) - 1
    print(f"api: {operations - bad} passed, {bad} failed")
    sys.exit(1 if bad else 0)


main()
