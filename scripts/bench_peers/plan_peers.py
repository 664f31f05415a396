"""Time to the proven best plan of the tables in references/, by general programs: pystreed where no test errs, exact.py for all.

Tables of one kind and size are taken together, as `plan_bench` does. For pystreed only the fit is timed, not the making of the
data; exact.py, which is Python, leaves out what takes it longest.
"""

import json
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "references" / "scripts"))

from belief_nets import load  # noqa: E402
from exact import optimum  # noqa: E402
from trees import SHARES, fit, prepare  # noqa: E402

# Most causes that exact.py is given.
MOST = 12


def groups(file, name):
    found = {}
    for case in load(file)["cases"]:
        table = case["input"]
        found.setdefault(name(case, len(table["causes"]), len(table["tests"])), []).append(table)
    return found


def report(peer, name, seconds, tables):
    print(json.dumps({"name": f"{peer}, {name}", "micros": round(seconds * 1e6, 1), "tables": len(tables)}), flush=True)


def timed(work, tables):
    began = time.perf_counter()
    for table in tables:
        work(table)
    return time.perf_counter() - began


def pystreed(tables):
    total = 0.0
    for table in tables:
        counts = [round(cause["prior"] * SHARES) for cause in table["causes"]]
        solver, data, _ = prepare(counts, table)
        total += timed(lambda _: fit(solver, data), [table])
    return total


def main():
    for name, tables in groups("sequencing.json", lambda case, *_: case["kind"]).items():
        report("exact.py", name, timed(optimum, tables), tables)
    by_size = groups("sequencing_trees.json", lambda case, causes, tests: f"trees {case['kind']} {causes:02} x {tests:02}")
    for name, tables in by_size.items():
        report("pystreed", name, pystreed(tables), tables)
        if len(tables[0]["causes"]) <= MOST:
            report("exact.py", name, timed(optimum, tables), tables)


if __name__ == "__main__":
    main()
