#!/usr/bin/env python3
"""Raw counts by DuckDB: resolved and tries of each fix, from tickets as `fixtally tickets export`
writes them.

    raw_counts.py EXPORT.jsonl

Prints one JSON object: `seconds` to group the tries, held as a table in memory (the best of three);
`read_seconds` to make that table of the file; `counts`, from fix to resolved and tries. Needs the
packages of tools/crosscheck/requirements.txt.
"""

import json
import sys
import time

import duckdb

READ = """
CREATE TABLE tries AS
SELECT article || '#' || try.fix AS fix, try.result AS result
FROM (SELECT article, unnest(tries) AS try
      FROM read_json(?, format = 'newline_delimited', columns = {
          article: 'VARCHAR', tries: 'STRUCT(fix VARCHAR, "result" VARCHAR)[]'}))
"""
GROUP = """
SELECT fix, count(*) FILTER (result = 'resolved'), count(*)
FROM tries WHERE result <> 'not-possible' GROUP BY fix
"""


def main():
    base = duckdb.connect()
    started = time.perf_counter()
    base.execute(READ, [sys.argv[1]])
    read = time.perf_counter() - started
    runs = []
    for _ in range(3):
        started = time.perf_counter()
        rows = base.execute(GROUP).fetchall()
        runs.append(time.perf_counter() - started)
    counts = {fix: [resolved, tries] for fix, resolved, tries in rows}
    print(json.dumps({"seconds": min(runs), "read_seconds": read, "counts": counts}))


if __name__ == "__main__":
    main()
