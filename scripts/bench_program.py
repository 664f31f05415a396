"""Time of the program as it is started from a shell, and the most memory it takes: one JSON line for each figure.

The kernel counts what a process held before it became another program, which for a child of Python is Python itself; so
`/usr/bin/time` (Debian: time) starts it where memory is measured.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import time

STARTS = 41
READINGS = """
[[reading]]
check = "deadhead:valve.source@idle"
value = "27 inHg"
"""


def run(command):
    """Milliseconds of one process."""
    began = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    return 1e3 * (time.perf_counter() - began)


def peak(command):
    """Most memory of one process, MB."""
    timed = ["/usr/bin/time", "-f", "%M", *command]
    said = subprocess.run(timed, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=True).stderr
    return int(said.split()[-1]) / 1024


def report(name, command, times):
    millis, memory = statistics.median(run(command) for _ in range(times)), peak(command)
    print(json.dumps({"name": name, "millis": round(millis, 2), "megabytes": round(memory, 1)}))


def main():
    program = sys.argv[1]
    report("program start, circuits", [program, "circuits"], STARTS)
    with tempfile.NamedTemporaryFile("w", suffix=".toml") as file:
        file.write(READINGS)
        file.flush()
        for circuit in ("vacuum-wastegate", "vacuum-variable-geometry", "starter-circuit"):
            report(f"suspects without readings, {circuit}", [program, "suspects", circuit], 5)
        report("suspects after one reading, vacuum-wastegate", [program, "suspects", "vacuum-wastegate", "--readings", file.name], 5)


if __name__ == "__main__":
    main()
