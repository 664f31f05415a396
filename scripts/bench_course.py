"""The plan of a whole job and practice, as they are started from a shell: one JSON line for each figure.

Usage: bench_course.py PROGRAM [JOBS]. The plan's cost is the one the program states: on samples it was not made on. Below 0.8 s
the program plans on fewer samples, so costs on either side of that are of different samples and scatter by a few per cent.
"""

import json
import subprocess
import sys
import time

CIRCUITS = ("vacuum-wastegate", "vacuum-variable-geometry", "starter-circuit")
ALLOWED = (0, 0.1, 0.3, 1, 2)
RUNS = 5


def answer(command):
    """Seconds of one process, and what it said."""
    began = time.perf_counter()
    said = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True).stdout
    return time.perf_counter() - began, json.loads(said)


def course(program, circuit):
    runs = []
    for allowed in ALLOWED:
        found = [answer([program, "plan", circuit, "--time", str(allowed), "--json"]) for _ in range(RUNS)]
        # All costs belong to the run of middling time.
        seconds, plan = sorted(found, key=lambda run: run[0])[RUNS // 2]
        run = {"allowed_s": allowed, "all_s": round(seconds, 3)}
        run |= {"cost": plan["expected_cost"], "lower": plan["lower_bound"], "parts_first": plan["parts_first"]}
        runs.append(run)
    print(json.dumps({"name": f"course from the shell, {circuit}", "runs": runs}), flush=True)


def practice(program, jobs):
    seconds, played = answer([program, "practice", "--all", "--jobs", str(jobs), "--seed", "1", "--json"])
    print(json.dumps({"name": "practice", "seconds": round(seconds, 1)} | played), flush=True)


def main():
    program = sys.argv[1]
    for circuit in CIRCUITS:
        course(program, circuit)
    practice(program, int(sys.argv[2]) if len(sys.argv) > 2 else 2000)


if __name__ == "__main__":
    main()
