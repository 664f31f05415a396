"""Time of one operating point of ngspice inside one process run, for nets of references/electric_nets.json.

Two figures for each net. "op": a loop that alters the supply and asks for an operating point, less the same loop without the
`op`: what a caller pays for one point. "dc": a `.dc` sweep of the supply, less a shorter one: the bare solving, each point
started from its neighbour. Start, reading and set-up fall out of the differences.
"""

import json
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT / "references" / "scripts"))

from electric_nets import DIODE  # noqa: E402

NETS = ("solenoid: driver on", "solenoid: flyback diode reversed", "starter: earth path 9.5 mohm", "sensor: ground 50 ohm")
OPS = 2_000
MANY, FEW = 200_000, 2_000


def run(net, control):
    """Seconds of one process and what it wrote."""
    deck = ["* many points", *net, DIODE, ".control", *control, "quit", ".endc", ".end"]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "net.cir"
        path.write_text("\n".join(deck) + "\n")
        began = time.perf_counter()
        output = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, check=True).stdout
        return time.perf_counter() - began, output


def supply(net):
    """Name and volts of the first source."""
    words = net[0].split()
    return words[0], float(words[-1])


def sweep(net, steps):
    source, volts = supply(net)
    low, high = 0.9 * volts, 1.1 * volts
    node = net[1].split()[2]
    seconds, output = run(net, [f"save v({node})", f"dc {source} {low} {high} {(high - low) / steps}", f"print length(v({node}))"])
    solved = float(re.search(r"length\(\S+\) = (\S+)", output).group(1))
    assert abs(solved - steps) <= 2, (solved, steps)
    return seconds


def loop(net, body):
    source, volts = supply(net)
    node = net[1].split()[2]
    control = [f"save v({node})", "let count = 0", "set plot0 = $curplot", "let volts = 0", f"while count < {OPS}",
               f"let volts = {0.9 * volts} + {0.2 * volts / OPS} * count", f"alter {source} dc = $&volts", *body, "let count = count + 1", "end", "print count"]
    seconds, output = run(net, control)
    assert re.search(r"count = 2.0+e\+03", output), output[-500:]
    return seconds


def main():
    known = {entry["name"]: entry["netlist"] for entry in json.loads((ROOT / "references" / "electric_nets.json").read_text())["nets"]}
    for name in NETS:
        net = known[name]
        with_op = min(loop(net, ["op", "destroy $curplot", "setplot $plot0"]) for _ in range(3))
        without = min(loop(net, []) for _ in range(3))
        print(json.dumps({"name": f"ngspice op, {name}", "micros": (with_op - without) / OPS * 1e6, "points": OPS}))
        many, few = (min(sweep(net, steps) for _ in range(3)) for steps in (MANY, FEW))
        print(json.dumps({"name": f"ngspice dc sweep, {name}", "micros": (many - few) / (MANY - FEW) * 1e6, "points": MANY}))


if __name__ == "__main__":
    main()
