"""Test tables without error, solved by a general library for optimal decision trees: pystreed (MIT), cost-sensitive trees.

A cause of prior k/1000 becomes k rows of data, a test a feature with a cost, a set-up a group of features of which the first
used pays; naming the wrong cause costs so much that it never pays, or `wrong_cost` where a table has one. The library's own
score is scaled, so the cost is counted again from its tree. What it needs to be right, found by comparing it with exact.py:
its solver of depth two switched off where tests share set-ups, and of tests that say the same only the cheapest handed over, and
causes that no test tells apart under one name (under two, its dear mistakes drown the costs: .7 % too dear once).
"""

import random
import warnings

import numpy
from pystreed import CostSpecifier, STreeDCostSensitiveClassifier
from pystreed.cstreed import FeatureCostSpecifier

from common import rounded, write_json
from exact import case, optimum

SHARES = 1000
NEVER_PAYS = 1e5
# Its deepest tree; with so few tests none is deeper.
DEEPEST = 20
# What exact.py solves within a second or two.
CHECKED = 12

SOURCE = (
    "Invented tables, drawn at random with the seed given; optimal cost of the tree found by pystreed 1.4.0 (van der Linden, de Weerdt and Demirovic, "
    "NeurIPS 2023: dynamic programming for optimal decision trees), counted again from the tree; up to 12 causes exact.py agrees"
)
# kind: (causes, tests, set-ups), how many
WANTED = {
    "plain": [((6, 6, 0), 4), ((8, 8, 0), 4), ((10, 10, 0), 4), ((12, 12, 0), 4), ((15, 12, 0), 4), ((20, 12, 0), 1), ((20, 15, 0), 1)],
    "setups": [((6, 7, 2), 4), ((8, 8, 2), 4), ((10, 10, 3), 4), ((12, 10, 2), 4), ((15, 12, 3), 2)],
    "priced": [((6, 7, 0), 3), ((8, 8, 0), 3), ((10, 10, 0), 3)],
    "twins": [((7, 8, 0), 3), ((9, 9, 0), 3), ((12, 10, 0), 2)],
}


def draw(kind, size, seed):
    """One table; every cause has a row of its own unless the kind is `twins`, where two causes and two tests are alike."""
    causes, tests, setups = size
    rng = random.Random(f"{kind} {size} {seed}")
    shares = [rng.uniform(0.05, 1) ** 2 for _ in range(causes)]
    counts = [max(1, round(SHARES * share / sum(shares))) for share in shares]
    counts[counts.index(max(counts))] += SHARES - sum(counts)
    while True:
        matrix = [[int(rng.random() < 0.4) for _ in range(tests)] for _ in range(causes)]
        if kind == "twins":
            matrix[1] = list(matrix[0])
            for row in matrix:
                row[1] = 1 - row[0]
        alone = len({tuple(row) for row in matrix}) == causes - (kind == "twins")
        if alone and len(cheapest(matrix, [0] * tests)) == tests - (kind == "twins"):
            break
    costs = [float(rng.randint(1, 12)) for _ in range(tests)]
    needs = [rng.randrange(setups) if setups and rng.random() < 0.6 else None for _ in range(tests)]
    opening = [float(rng.randint(1, 12)) for _ in range(setups)]
    wrong = float(rng.randint(10, 60)) if kind == "priced" else None
    return counts, case([count / SHARES for count in counts], costs, matrix, setups=opening, test_setups=needs, wrong=wrong)


def cheapest(matrix, costs):
    """Of the tests that split causes alike, the cheapest; none that splits nothing."""
    found = {}
    for test, column in enumerate(zip(*matrix)):
        split = min(column, tuple(1 - answer for answer in column))
        if any(split) and (split not in found or costs[test] < costs[found[split]]):
            found[split] = test
    return sorted(found.values())


def prepare(counts, table, limit=600):
    """The library's solver, the data to fit, and which test each of its features is."""
    tests, setups = table["tests"], {setup["name"]: setup["cost"] for setup in table["setups"]}
    matrix = [list(row) for row in zip(*(test["positive"] for test in tests))]
    kept = cheapest(matrix, [test["cost"] for test in tests])
    features = []
    for feature, number in enumerate(kept):
        test = tests[number]
        group = test["setup"] or f"alone {feature}"
        features.append(FeatureCostSpecifier(test["cost"] + setups.get(test["setup"], 0.0), test["cost"], group, feature, feature))
    wrong = table["wrong_cost"] or NEVER_PAYS
    names = [matrix.index(row) for row in matrix]
    names = [sorted(set(names)).index(name) for name in names]
    count = max(names) + 1
    priced = CostSpecifier([[0.0 if a == b else wrong for b in range(count)] for a in range(count)], features)
    rows = numpy.repeat(numpy.array(matrix)[:, kept], counts, axis=0)
    labels = numpy.repeat(names, counts)
    solver = STreeDCostSensitiveClassifier(max_depth=min(DEEPEST, len(kept), len(counts) - 1), use_terminal_solver=False, time_limit=limit)
    return solver, (rows, labels, priced), kept


def fit(solver, data):
    """The library's best tree, as its root node."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        solver.fit(*data)
    assert solver.fit_result.is_optimal(), "no proof within the time"
    return solver.tree_


def cost(tree, kept, table, members, opened=frozenset()):
    """Expected cost of a tree, from the table alone."""
    priors = [table["causes"][cause]["prior"] for cause in members]
    if tree.is_leaf_node():
        if table["wrong_cost"] is not None:
            return table["wrong_cost"] * (sum(priors) - max(priors))
        assert all(len({test["positive"][cause] for cause in members}) == 1 for test in table["tests"]), "a leaf holds causes that can be told apart"
        return 0.0
    test = table["tests"][kept[tree.feature]]
    entering = {setup["name"]: setup["cost"] for setup in table["setups"]}.get(test["setup"], 0.0)
    here = test["cost"] + (0.0 if test["setup"] in opened else entering)
    sides = [[cause for cause in members if test["positive"][cause] == answer] for answer in (1, 0)]
    assert all(sides), "a test that tells nothing"
    opened = opened | {test["setup"]}
    return here * sum(priors) + sum(cost(child, kept, table, side, opened) for child, side in zip((tree.right_child, tree.left_child), sides))


def main():
    cases = []
    for kind, sizes in WANTED.items():
        for size, times in sizes:
            for seed in range(times):
                counts, table = draw(kind, size, seed)
                solver, data, kept = prepare(counts, table)
                found = cost(fit(solver, data), kept, table, range(len(counts)))
                if len(counts) <= CHECKED:
                    exact = optimum(table)
                    assert abs(found - exact) < 1e-9 * exact, f"{kind} {size} {seed}: {found}, exact.py {exact}"
                cases.append({"kind": kind, "seed": seed, "input": table, "optimal_cost": rounded(found)})
    write_json("sequencing_trees.json", SOURCE, {"cases": cases})


if __name__ == "__main__":
    main()
