"""Time of all posteriors by pyAgrum's exact inference: Asia, and the five nets of 30 faults and 20 tests.

The net and the inference object are built once; each round withdraws the evidence, gives it again, and asks for every
fault's posterior, so that nothing can be kept from the round before.
"""

import json
import sys
import time
from pathlib import Path

import pyagrum

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "references" / "scripts"))

from belief_nets import build, load, noisy_or  # noqa: E402


def micros(net, evidence, names, rounds):
    inference = pyagrum.LazyPropagation(net)
    total = 0.0
    for number in range(rounds + 1):
        inference.eraseAllEvidence()
        began = time.perf_counter()
        inference.setEvidence(evidence)
        inference.makeInference()
        for name in names:
            inference.posterior(name)
        if number:
            total += time.perf_counter() - began
    return total / rounds * 1e6


def report(name, value):
    print(json.dumps({"name": f"pyagrum LazyPropagation, {name}", "micros": value}))


def main():
    nodes = load("networks.json")["asia"]["nodes"]
    asia = build([(node["name"], node["parents"], node["yes"]) for node in nodes])
    names = [node["name"] for node in nodes if node["name"] not in ("asia", "dysp")]
    report("asia", micros(asia, {"asia": 1, "dysp": 1}, names, 2000))
    for number, case in enumerate(load("noisy_or_30x20.json")["cases"]):
        net = noisy_or(case["priors"], [(t["leak"], list(zip(t["faults"], t["sens"]))) for t in case["tests"]])
        evidence = {f"t{i}": int(state) for i, state in enumerate(case["readings"])}
        positives = sum(evidence.values())
        report(f"30 x 20 case {number} ({positives} positive)", micros(net, evidence, [f"f{i}" for i in range(30)], 20))


if __name__ == "__main__":
    main()
