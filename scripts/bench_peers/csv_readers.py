"""How long polars and DuckDB take to read the table that FILE holds into typed columns; a JSON line for each, least of several tries.

Both with as many threads as they take by themselves, and with one: our own reader takes one.
"""

import json
import os
import subprocess
import sys
import time

TRIES = 25


def least(work):
    times = []
    for _ in range(TRIES):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return 1e3 * min(times)


def polars_millis(file):
    import polars

    return least(lambda: polars.read_csv(file, comment_prefix="#", infer_schema_length=1_000)), polars.__version__


def duckdb_millis(file, threads):
    import duckdb

    base = duckdb.connect()
    if threads == 1:
        base.execute("SET threads = 1")

    def work():
        # Into its own columns, as a table: a result that is not asked for would not be read.
        base.execute(f"CREATE OR REPLACE TABLE drive AS SELECT * FROM read_csv('{file}', comment = '#', header = true)")

    return least(work), duckdb.__version__


def main():
    if len(sys.argv) == 2:
        for threads in ("all", "1"):
            # polars reads how many threads it may have when it is first loaded.
            own = dict(os.environ, **({"POLARS_MAX_THREADS": "1"} if threads == "1" else {}))
            for reader in ("polars", "duckdb"):
                subprocess.run([sys.executable, __file__, sys.argv[1], reader, threads], check=True, env=own)
        return
    file, reader, threads = sys.argv[1:]
    millis, version = polars_millis(file) if reader == "polars" else duckdb_millis(file, 1 if threads == "1" else None)
    print(json.dumps({"name": f"csv, {reader} {version}, threads: {threads}", "millis": round(millis, 1)}), flush=True)


if __name__ == "__main__":
    main()
