"""Operating points of three invented car circuits, healthy and with faults, solved by ngspice.

Currents are given as positive from the first to the second node of an element; a voltage source's current is positive when
it flows into its first node (SPICE's sign), so a battery that delivers has a negative current.
"""

import re
import subprocess
import tempfile
from pathlib import Path

from common import write_json

OPTIONS = ".options reltol=1e-11 abstol=1e-16 vntol=1e-13 gmin=1e-18 temp=27 tnom=27"
DIODE = ".model fly D(IS=1e-14 N=1)"


def solenoid(driver="0.15", coil="14.6", flyback="Dfly drive supply fly", ground="2m"):
    """Low-side driver: battery, fuse, wire, coil with flyback diode across it, wire back, driver, ground."""
    return [
        "Vbat emf 0 DC 13.8",
        "Rbat emf bat 10m",
        "Rfuse bat fused 5m",
        "Rfeed fused supply 78m",
        f"Rcoil supply drive {coil}",
        flyback,
        "Rback drive pin 104m",
        f"Rdriver pin case {driver}",
        f"Rground case 0 {ground}",
    ]


def starter(earth="0.5m", contact="0.5m", emf="12.6", inner="6m", back="5.5", strap=None):
    """Starter: battery, cable, solenoid contact, motor (brushes and winding, back-EMF), two earth paths to the battery."""
    net = [
        f"Vbat emf 0 DC {emf}",
        f"Rbat emf bat {inner}",
        "Rcable bat feed 0.665m",
        f"Rcontact feed motor {contact}",
        "Rmotor motor rotor 8m",
        f"Vback rotor engine DC {back}",
        f"Rearth engine body {earth}",
        "Rbody body 0 0.3m",
    ]
    return net + ([f"Rstrap engine 0 {strap}"] if strap else [])


def sensor(ground="50m", ref="1", signal="1k", short="1e12", share=0.38278260869565217):
    """Three wires: 5 V reference, ratiometric output through 1 kohm, pull-up in the module, sensor ground back to it."""
    return [
        "Vref ref5 0 DC 5",
        f"Rref ref5 plus {ref}",
        "Rsupply plus minus 700",
        f"Eout out minus plus minus {share!r}",
        f"Rout out wire {signal}",
        f"Rshort wire 0 {short}",
        "Rwire wire input 100m",
        "Rpull ref5 input 100k",
        "Rmeter input 0 10e6",
        f"Rground minus 0 {ground}",
    ]


NETS = [
    ("solenoid: driver on", "flyback diode blocks", solenoid()),
    ("solenoid: driver off", "driver leaks through 10 Mohm", solenoid(driver="10e6")),
    ("solenoid: flyback diode reversed", "diode conducts past the coil, driver on", solenoid(flyback="Dfly supply drive fly")),
    ("solenoid: flyback diode reversed, driver off", "10 Mohm", solenoid(flyback="Dfly supply drive fly", driver="10e6")),
    ("solenoid: flyback diode shorted", "10 mohm across the coil, driver on", solenoid(flyback="Rfly supply drive 10m")),
    ("solenoid: coil hot", "18.6 ohm at about 90 C", solenoid(coil="18.6")),
    ("solenoid: coil open", "1 Gohm", solenoid(coil="1e9")),
    ("solenoid: ground 2 ohm", "corroded module ground", solenoid(ground="2")),
    ("starter: healthy", "cranking at a steady speed", starter()),
    ("starter: earth path 9.5 mohm", "corroded earth between engine and body", starter(earth="9.5m")),
    ("starter: earth path 9.5 mohm, slower", "back-EMF of the lower speed", starter(earth="9.5m", back="3.9")),
    ("starter: earth path 9.5 mohm with second path", "current also returns through a thin strap of 20 mohm", starter(earth="9.5m", strap="20m")),
    ("starter: contact 5 mohm", "burnt solenoid contact", starter(contact="5m")),
    ("starter: weak battery", "11.8 V behind 20 mohm, slower", starter(emf="11.8", inner="20m", back="3.5")),
    ("starter: stalled", "no back-EMF", starter(back="0")),
    ("sensor: healthy", "101.3 kPa on a range of 20 to 250 kPa", sensor()),
    ("sensor: ground 50 ohm", "high resistance in the sensor ground", sensor(ground="50")),
    ("sensor: ground open", "1 Gohm", sensor(ground="1e9")),
    ("sensor: reference wire 200 ohm", "high resistance in the reference wire", sensor(ref="200")),
    ("sensor: signal wire open", "1 Gohm", sensor(signal="1e9")),
    ("sensor: signal leaks to ground", "5 kohm", sensor(short="5k")),
]


def nodes_of(net):
    names = []
    for line in net:
        words = line.split()
        names += words[1:5] if line[0] == "E" else words[1:3]
    return list(dict.fromkeys(name for name in names if name != "0"))


def solve(net):
    """Every node voltage and source current of the operating point, as ngspice prints them at twelve digits."""
    nodes = nodes_of(net)
    sources = [line.split()[0] for line in net if line[0] in "VE"]
    devices = [line.split()[0] for line in net if line[0] == "D"]
    wanted = [f"v({node})" for node in nodes] + [f"i({source})" for source in sources] + [f"@{name.lower()}[id]" for name in devices]
    deck = ["* operating point", *net, DIODE, OPTIONS, ".control", "set numdgt=12", "op", *(f"print {word}" for word in wanted), "quit", ".endc", ".end"]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "net.cir"
        path.write_text("\n".join(deck) + "\n")
        run = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, check=True)
    found = dict(re.findall(r"^(\S+) = (\S+)$", run.stdout, re.MULTILINE))
    missing = [word for word in wanted if word.lower() not in found]
    assert not missing, (missing, run.stdout, run.stderr)
    voltages = {node: float(found[f"v({node})".lower()]) for node in nodes}
    currents = {source: float(found[f"i({source})".lower()]) for source in sources}
    currents |= {name: float(found[f"@{name.lower()}[id]"]) for name in devices}
    return voltages, currents


def version():
    text = subprocess.run(["ngspice", "--version"], capture_output=True, text=True, check=True).stdout
    return re.search(r"ngspice-\S+", text).group(0)


def duty_average(on, off, share):
    """What a slow meter shows of a driver that spends `share` of the time on: the mean of the two states."""
    return {node: share * on[node] + (1 - share) * off[node] for node in on}


def main():
    solved = []
    for name, what, net in NETS:
        voltages, currents = solve(net)
        solved.append({"name": name, "what": what, "netlist": net, "nodes": voltages, "currents": currents})
    on, off = solved[0]["nodes"], solved[1]["nodes"]
    write_json(
        "electric_nets.json",
        "invented circuits, computed with ngspice (version below), operating point, numdgt 12; options reltol 1e-11, gmin 1e-18, 27 C. Component values: IEC 60228 class 5 copper, the rest common practice, no source.",
        {
            "ngspice": version(),
            "options": OPTIONS,
            "diode": "i = IS (exp(v / (N Vt)) - 1), IS 1e-14 A, N 1, Vt = k T / q at 300.15 K = 25.864917 mV",
            "signs": "a source's current is positive into its first node, a diode's from anode (first node) to cathode",
            "nets": solved,
            "duty": [{"name": "solenoid at half duty", "share": 0.5, "of": [NETS[0][0], NETS[1][0]], "mean": duty_average(on, off, 0.5)}],
        },
    )


if __name__ == "__main__":
    main()
