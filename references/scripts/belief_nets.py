"""Checks networks.json, noisy_or_30x20.json and polybox.json: these are data of record, nothing is written.

Two libraries' worth of independence: pyAgrum's exact inference on the nets, plain enumeration on the polybox.
"""

import itertools
import json
import math
from fractions import Fraction

import pyagrum

from common import FOLDER


def load(name):
    return json.loads((FOLDER / name).read_text())


def build(nodes):
    """A net of yes/no nodes from (name, parents, P(yes | parents), first parent most significant)."""
    net = pyagrum.BayesNet()
    for name, _, _ in nodes:
        net.add(pyagrum.LabelizedVariable(name, name, 2))
    for name, parents, yes in nodes:
        for parent in parents:
            net.addArc(parent, name)
        for index, states in enumerate(itertools.product((0, 1), repeat=len(parents))):
            net.cpt(name)[dict(zip(parents, states))] = [1 - yes[index], yes[index]]
    return net


def noisy_or(priors, tests):
    """The same for independent faults and tests (leak, [(fault, sensitivity)])."""
    nodes = [(f"f{i}", [], [prior]) for i, prior in enumerate(priors)]
    for number, (leak, causes) in enumerate(tests):
        yes = []
        for states in itertools.product((0, 1), repeat=len(causes)):
            quiet = 1 - leak
            for (_, sensitivity), state in zip(causes, states):
                quiet *= 1 - sensitivity * state
            yes.append(1 - quiet)
        nodes.append((f"t{number}", [f"f{fault}" for fault, _ in causes], yes))
    return build(nodes)


def ask(net, evidence, names):
    inference = pyagrum.LazyPropagation(net)
    inference.setEvidence(evidence)
    inference.makeInference()
    return inference.evidenceProbability(), [inference.posterior(name)[1] for name in names]


def close(what, found, given, tolerance):
    assert abs(found - given) <= tolerance, (what, found, given)


def networks():
    data = load("networks.json")
    asia = build([(node["name"], node["parents"], node["yes"]) for node in data["asia"]["nodes"]])
    for row in data["asia"]["rows"]:
        weight, found = ask(asia, row["evidence"], row["yes"])
        close("asia evidence", weight, row["p_evidence"], 1e-9)
        for name, value in zip(row["yes"], found):
            close(name, value, row["yes"][name], 1e-10)
    small = data["vacuum"]
    net = noisy_or(small["priors"], [(test["leak"], test["causes"]) for test in small["tests"]])
    faults = [f"f{i}" for i in range(len(small["priors"]))]
    for row in small["rows"]:
        evidence = {f"t{test}": state for test, state in row["readings"]}
        weight, found = ask(net, evidence, faults)
        close("evidence", weight, row["p_evidence"], 1e-12)
        for name, value, given in zip(faults, found, row["posterior"]):
            close(name, value, given, 1e-10)
        for test, given in row.get("positive_next", []):
            close(f"t{test}", ask(net, evidence, [f"t{test}"])[1][0], given, 1e-10)


def thirty_by_twenty():
    for case in load("noisy_or_30x20.json")["cases"]:
        net = noisy_or(case["priors"], [(t["leak"], list(zip(t["faults"], t["sens"]))) for t in case["tests"]])
        faults = [f"f{i}" for i in range(30)]
        weight, found = ask(net, {f"t{i}": int(state) for i, state in enumerate(case["readings"])}, faults)
        close("log evidence", math.log(weight), case["log_evidence"], 1e-9)
        for name, value, given in zip(faults, found, case["posterior"]):
            close(name, value, given, 1e-9)
        close("exact log evidence", exact_log_evidence(case), case["log_evidence"], 1e-12)


def exact_log_evidence(case):
    """Inclusion and exclusion over the positive readings in exact fractions (the quickscore sum, Heckerman 1989)."""
    rational = lambda value: Fraction(str(value))
    positive = [t for t, state in zip(case["tests"], case["readings"]) if state]
    negative = [t for t, state in zip(case["tests"], case["readings"]) if not state]
    total = Fraction(0)
    for size in range(len(positive) + 1):
        for chosen in itertools.combinations(positive, size):
            term = Fraction((-1) ** size)
            quiet = [Fraction(1)] * 30
            for test in [*chosen, *negative]:
                term *= 1 - rational(test["leak"])
                for fault, sensitivity in zip(test["faults"], test["sens"]):
                    quiet[fault] *= 1 - rational(sensitivity)
            for prior, factor in zip(case["priors"], quiet):
                term *= 1 - rational(prior) + rational(prior) * factor
            total += term
    return math.log(total.numerator) - math.log(total.denominator)


def polybox():
    """All 32 candidates; X, Y, Z are what the healthy parts force them to be."""
    data = load("polybox.json")["polybox"]
    parts = ["M1", "M2", "M3", "A1", "A2"]
    outlooks = {good: forced(data, set(good)) for size in range(6) for good in itertools.combinations(parts, size)}
    bad_sets = [set(parts) - set(good) for good, values in outlooks.items() if values is not None]
    minimal = [sorted(bad) for bad in bad_sets if not any(other < bad for other in bad_sets)]
    assert sorted(minimal) == sorted(map(sorted, data["minimal_diagnoses"])), minimal
    assert len(bad_sets) == data["consistent"]
    for row in data["rows"]:
        weights = {}
        for good, values in outlooks.items():
            if values is not None:
                bad = 5 - len(good)
                weights[good] = row["prior"] ** bad * (1 - row["prior"]) ** (5 - bad)
                if row["unpredicted_reading_counts"]:
                    weights[good] *= (1 / 16) ** sum(not predicted(data, good, output) for output in "FG")
        total = sum(weights.values())
        weights = {good: weight / total for good, weight in weights.items()}
        close("A1", weights[("M1", "M2", "M3", "A2")], row["single"], 1e-9)
        close("M2 M3", weights[("M1", "A1", "A2")], row["double"], 1e-9)
        close("entropy", -sum(w * math.log2(w) for w in weights.values()), row["entropy"], 1e-6)
        for name, given in zip("XYZ", row["gain"]):
            close(name, gain(outlooks, weights, name), given, 1e-6)


def forced(data, good, readings=True):
    """Values that the healthy parts and the readings force on X, Y, Z, F, G; None if they contradict each other."""
    inputs, values = data["inputs"], {}
    products = {"M1": ("X", inputs["A"] * inputs["C"]), "M2": ("Y", inputs["B"] * inputs["D"]), "M3": ("Z", inputs["C"] * inputs["E"])}
    sums = {"A1": ("X", "Y", "F"), "A2": ("Y", "Z", "G")}
    if readings:
        values.update(data["read"])
    for part, (name, value) in products.items():
        if part in good:
            values[name] = value
    for _ in range(4):
        for part, (left, right, out) in sums.items():
            if part not in good:
                continue
            for target, value in (
                (out, values[left] + values[right] if left in values and right in values else None),
                (left, values[out] - values[right] if out in values and right in values else None),
                (right, values[out] - values[left] if out in values and left in values else None),
            ):
                if value is not None and values.setdefault(target, value) != value:
                    return None
    return values


def predicted(data, good, output):
    """Whether the healthy parts say what `output` must read, given the readings other than itself."""
    others = {"inputs": data["inputs"], "read": {name: value for name, value in data["read"].items() if name < output}}
    return output in forced(others, set(good))


def gain(outlooks, weights, name):
    """Expected information [bits] about the candidate from reading `name`; an open value is uniform over 16."""
    open_weight = sum(w for good, w in weights.items() if name not in outlooks[good])
    shares = {}
    for good, weight in weights.items():
        if name in outlooks[good]:
            shares[outlooks[good][name]] = shares.get(outlooks[good][name], 0) + weight
    outcomes = [share + open_weight / 16 for share in shares.values()] + [open_weight / 16] * (16 - len(shares))
    return -sum(p * math.log2(p) for p in outcomes if p > 0) - open_weight * math.log2(16)


def inverters():
    """Every set of faulty inverters and every value a faulty one may put out, weighed by the output that was read."""
    data = load("polybox.json")["inverters"]
    count, prior = data["inverters"], data["prior"]
    joint = {}
    for bad in itertools.product((False, True), repeat=count):
        for noise in itertools.product((0, 1), repeat=sum(bad)):
            values, free = [1], iter(noise)
            for broken in bad:
                values.append(next(free) if broken else 1 - values[-1])
            if values[-1] == 0:
                key = (bad, tuple(values[1:-1]))
                joint[key] = joint.get(key, 0) + math.prod(prior / 2 if b else 1 - prior for b in bad)
    total = sum(joint.values())
    weights = {key: weight / total for key, weight in joint.items()}
    share = lambda of: [sum(w for key, w in weights.items() if of(key) == value) for value in sorted({of(key) for key in weights})]
    bits = lambda shares: -sum(p * math.log2(p) for p in shares if p > 0)
    before = bits(share(lambda key: key[0]))
    singles = [sum(w for (bad, _), w in weights.items() if sum(bad) == 1 and bad[i]) for i in range(count)]
    for single in singles:
        close("single", single, data["single"], 1e-8)
    close("all singles", sum(singles), data["all_singles"], 1e-8)
    close("entropy", before, data["entropy"], 1e-6)
    for place, given in enumerate(data["gain"]):
        found = before + bits(share(lambda key: key[1][place])) - bits(share(lambda key: (key[0], key[1][place])))
        close(f"gain {place}", found, given, 1e-8)


if __name__ == "__main__":
    networks()
    thirty_by_twenty()
    polybox()
    inverters()
