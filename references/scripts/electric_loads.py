"""Glow plugs and a fan as operating points, and an alternator's bridge as a transient, solved by ngspice.

Plugs and fan repeat the laws of DERIVATIONS.md in another form: the fan's speed is a node of its own, found with the voltages.
The bridge is six diodes behind three sources with inductance, feeding a battery: nothing of the mean-value law is in it.
"""

import math
import re
import subprocess
import tempfile
from pathlib import Path

from common import write_csv, write_json
from electric_nets import OPTIONS, version

INDUCTANCE, RESISTANCE = 120e-6, 1e-3
BATTERY, INNER = 14.0, 10e-3
# Amplitude of a phase, V, and its frequency, Hz: both grow with speed.
POINTS = [(12, 180), (16, 240), (24, 360), (40, 600), (60, 900)]


def spice(lines):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "net.cir"
        path.write_text("\n".join(lines) + "\n")
        return subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, check=True).stdout


def plug(name, hot=1.05, cold=0.45, nominal=11.5, exponent=0.75):
    x2 = f"((v(bus,head)/{nominal})*(v(bus,head)/{nominal}))"
    rise = f"{hot - cold!r}*{x2}*pow((1+0.0025)/({x2}+0.0025),{0.5 * (1 + exponent)!r})"
    return f"B{name} bus head I = v(bus,head)/({cold!r}+{rise})"


def glow(plugs, feed="12m"):
    return ["Vbat emf 0 DC 12.4", "Rbat emf feed 6m", f"Rfeed feed bus {feed}", "Rstrap head 0 2m", *plugs]


def fan(socket="3m", drags=0.0, voltage=12.5, current=20.0, speed=40.0, resistance=0.2):
    radians = speed * 2 * math.pi
    constant = (voltage - current * resistance) / radians
    torque = constant * current
    load, drag, square = torque * (0.08 + drags), torque * 0.07 / radians, torque * 0.85 / radians**2
    return [
        "Vbat emf 0 DC 12.6",
        "Rbat emf feed 6m",
        f"Rsocket feed motor {socket}",
        f"Bmotor motor back I = (v(motor,back)-{constant!r}*v(turns))/{resistance!r}",
        "Rback back 0 5m",
        # What drives the shaft less what brakes it is nothing at a steady speed; a stop keeps it from turning backwards.
        f"Bturn 0 turns I = {constant!r}*(v(motor,back)-{constant!r}*v(turns))/{resistance!r}-{load!r}-{drag!r}*v(turns)-{square!r}*v(turns)*v(turns)",
        "Dstop 0 turns stop",
        ".model stop D(IS=1e-12 N=0.01)",
    ]


def high(name):
    """A carboned plug: 4.6 ohm hot, and as much more cold."""
    return plug(name, hot=4.6, cold=0.45 + 4.6 - 1.05)


NETS = [
    ("glow: four sound plugs", glow([plug(f"p{n}") for n in range(4)])),
    ("glow: one open", glow([plug(f"p{n}") for n in range(3)])),
    ("glow: two open", glow([plug(f"p{n}") for n in range(2)])),
    ("glow: one of 4.6 ohm", glow([plug(f"p{n}") for n in range(3)] + [high("p3")])),
    ("glow: 30 mohm more in the feed", glow([plug(f"p{n}") for n in range(4)], feed="42m")),
    ("fan: sound", fan()),
    ("fan: socket 0.3 ohm", fan(socket="0.3")),
    ("fan: drags", fan(drags=1.2)),
    ("fan: drags, socket 0.3 ohm", fan(drags=1.2, socket="0.3")),
]


def operating_point(net):
    nodes = sorted({word for line in net if line[0] in "VRB" for word in line.split()[1:3]} - {"0"})
    found = spice(["* operating point", *net, OPTIONS, ".control", "set numdgt=12", "op", *(f"print v({node})" for node in nodes), "print i(Vbat)", "quit", ".endc", ".end"])
    values = dict(re.findall(r"^(\S+) = (\S+)$", found, re.MULTILINE))
    return {node: float(values[f"v({node})"]) for node in nodes}, -float(values["i(vbat)"])


def bridge(amplitude, frequency, missing=None, broken=None):
    """Mean and alternating current into the battery, and the mean voltage before it, in the steady state."""
    net = [f"V{p} {p}0 n SIN(0 {amplitude} {frequency} 0 0 {120 * i})" for i, p in enumerate("abc")]
    for p in "abc":
        net += [f"L{p} {p}0 {p}1 {INDUCTANCE}", f"R{p} {p}1 {p} {1e6 if p == broken else RESISTANCE}"]
        for side, (anode, cathode) in {"up": (p, "out"), "down": ("0", p)}.items():
            if p + side != missing:
                net.append(f"D{p}{side} {anode} {cathode} d")
            net.append(f"Rleak{p}{side} {anode} {cathode} 100k")
    net += ["Rstar n 0 1e6", f"Rinner out battery {INNER}", f"Vbattery battery 0 {BATTERY}"]
    period = 1 / frequency
    measure = [f"meas tran {name} {what}" for name, what in (("mean", "AVG i(Vbattery)"), ("all", "RMS i(Vbattery)"), ("volts", "AVG v(out)"))]
    model = [".model d D(IS=1e-9 N=1.6 RS=2m)", ".options method=gear reltol=1e-4", f".tran {period / 400} {period * 40} {period * 30} {period / 400}"]
    text = spice(["* bridge", *net, *model, ".control", "run", *measure, "quit", ".endc", ".end"])
    mean, everything, volts = (float(re.search(rf"^{name}\s+=\s+(\S+)", text, re.MULTILINE).group(1)) for name in ("mean", "all", "volts"))
    return mean, math.sqrt(max(everything**2 - mean**2, 0.0)), volts


def main():
    solved = []
    for name, net in NETS:
        nodes, current = operating_point(net)
        solved.append({"name": name, "netlist": net, "nodes": nodes, "battery": current})
    source = "invented circuits, operating points computed with ngspice (version below); laws of DERIVATIONS.md 9 and 21, the fan's speed (rad/s) as a node"
    write_json("electric_loads.json", source, {"ngspice": version(), "options": OPTIONS, "nets": solved})
    rows = []
    for amplitude, frequency in POINTS:
        for state, fault in (("sound", {}), ("diode open", {"missing": "aup"}), ("phase open", {"broken": "a"})):
            mean, alternating, volts = bridge(amplitude, frequency, **fault)
            rows.append([state, amplitude, frequency, round(mean, 3), round(alternating, 3), round(volts, 4)])
    write_csv(
        "alternator.csv",
        f"source: {version()}, transient of a six-pulse bridge of diodes (1.6 x 25.9 mV, 1 nA, 2 mohm) behind three sources of 120 uH and 1 mohm, into 14 V behind 10 mohm",
        ["state", "amplitude_v", "frequency_hz", "mean_a", "alternating_a", "volts"],
        rows,
    )


if __name__ == "__main__":
    main()
