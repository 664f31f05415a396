"""Worked examples of test sequencing, troubleshooting with repairs, bounds and calibration, each recomputed by brute force."""

import heapq
import itertools
import math

from common import rounded, write_json
from exact import case, optimum

SIX = [[0, 0, 0, 0, 0], [0, 1, 0, 0, 1], [0, 0, 1, 1, 0], [1, 0, 0, 1, 1], [1, 1, 0, 0, 0], [1, 1, 1, 1, 0]]
SIX_PRIORS = [0.70, 0.01, 0.02, 0.10, 0.05, 0.12]
CHAIN = [[0, 0, 0, 0], [0, 0, 0, 1], [0, 0, 1, 1], [0, 1, 1, 1], [1, 1, 1, 1]]


def entropy(priors):
    return -sum(p * math.log2(p) for p in priors if p > 0)


def huffman(priors):
    """Least expected number of yes/no tests if every split were on offer."""
    heap, total = list(priors), 0.0
    heapq.heapify(heap)
    while len(heap) > 1:
        pair = heapq.heappop(heap) + heapq.heappop(heap)
        total += pair
        heapq.heappush(heap, pair)
    return total


def identity(size):
    return [[int(i == j) for j in range(size)] for i in range(size)]


def forced_first(priors, matrix, test):
    """Optimum if this unit-cost test must come first."""
    total = 1.0
    for outcome in (0, 1):
        members = [i for i, row in enumerate(matrix) if row[test] == outcome]
        if members:
            share = sum(priors[i] for i in members)
            left = [j for j in range(len(matrix[0])) if j != test]
            rows = [[matrix[i][j] for j in left] for i in members]
            total += share * optimum(case([priors[i] / share for i in members], [1.0] * len(left), rows))
    return total


def greedy(priors, matrix):
    """Expected number of unit-cost tests when the largest information gain is always taken, first of equals."""

    def cost(members):
        if len(members) == 1:
            return 0.0
        whole = sum(priors[i] for i in members)
        best = None
        for test in range(len(matrix[0])):
            yes = [i for i in members if matrix[i][test]]
            if 0 < len(yes) < len(members):
                share = sum(priors[i] for i in yes) / whole
                gain = entropy([share, 1 - share])
                if best is None or gain > best[0] + 1e-12:
                    best = (gain, yes)
        no = [i for i in members if i not in best[1]]
        return whole + cost(best[1]) + cost(no)

    return cost(list(range(len(priors))))


def sequencing():
    gains = [entropy([share, 1 - share]) for share in (sum(p for p, row in zip(SIX_PRIORS, SIX) if row[t]) for t in range(5))]
    six = {
        "name": "six states, five tests",
        "source": "Pattipati and Alexandridis, IEEE Trans. SMC 20(4) 872-887, 1990, for the problem; priors and matrix from memory, not seen: a computed example",
        "case": case(SIX_PRIORS, [1.0] * 5, SIX),
        "optimal_cost": optimum(case(SIX_PRIORS, [1.0] * 5, SIX)),
        "optimal_cost_if_first": [forced_first(SIX_PRIORS, SIX, test) for test in range(5)],
        "greedy_cost": greedy(SIX_PRIORS, SIX),
        "gains_bits": gains,
        "entropy_bits": entropy(SIX_PRIORS),
        "huffman": huffman(SIX_PRIORS),
    }
    chain_source = "Balakrishnan and Semmelbauer, Decision Support Systems 25, 1999, tables 1-3 (case base seen); optima computed"
    chains = []
    for name, priors in (("uniform", [0.2] * 5), ("peaked", [0.1, 0.1, 0.6, 0.1, 0.1])):
        table = case(priors, [1.0] * 4, CHAIN)
        chains.append({"name": f"chain of five defects, {name}", "source": chain_source, "case": table, "optimal_cost": optimum(table), "entropy_bits": entropy(priors), "huffman": huffman(priors)})
    singles = []
    for name, costs in (("unit costs", [1.0] * 5), ("costs 3 1 2 1 4", [3.0, 1.0, 2.0, 1.0, 4.0])):
        table = case([0.4, 0.3, 0.15, 0.1, 0.05], costs, identity(5))
        singles.append({"name": f"one test a defect, {name}", "source": chain_source, "case": table, "optimal_cost": optimum(table)})
    return [six, *chains, *singles]


def classes():
    """Objects with the same repair need not be told apart: least cost until one class is left."""
    objects = [((1, 1, 2), "A", 0.10), ((1, 2, 1), "A", 0.20), ((2, 2, 1), "B", 0.40), ((1, 2, 2), "C", 0.25), ((2, 2, 2), "C", 0.05)]

    def least(members, costs, apart):
        if len({objects[i][1] for i in members}) == 1 and not apart or len(members) == 1:
            return 0.0
        best = math.inf
        for test in range(3):
            split = [[i for i in members if objects[i][0][test] == answer] for answer in (1, 2)]
            if all(split):
                weight = sum(objects[i][2] for i in members)
                best = min(best, costs[test] * weight + sum(least(part, costs, apart) for part in split))
        return best

    rows = [{"costs": list(costs), "to_the_class": least(range(5), costs, False), "to_the_object": least(range(5), costs, True)} for costs in ((1, 1, 1), (1, 2, 3), (3, 2, 1))]
    return {
        "source": "Cicalese, Laber and Saettler, ICML 2014 (arXiv 1309.2796), data set of page 3 as transcribed in public code (seen); costs computed",
        "objects": [{"answers": list(answers), "class": group, "prior": prior} for answers, group, prior in objects],
        "rows": rows,
    }


def repair_order(priors, costs):
    """Expected cost of repair of each order, each action curing its one fault."""
    found = {}
    for order in itertools.permutations(range(len(priors))):
        left, total = 1.0, 0.0
        for index in order:
            total += left * costs[index]
            left -= priors[index]
        found[order] = total
    return found


def one_based(order):
    return [index + 1 for index in order]


def repairs():
    priors, costs = [0.20, 0.45, 0.10, 0.25], [6.0, 12.0, 1.0, 4.0]
    orders = repair_order(priors, costs)
    best = min(orders, key=orders.get)
    table = case(priors, [], [[] for _ in priors], repairs=costs)
    rule = {
        "name": "p over C", "source": "Kadane and Simon, Annals of Statistics 1977; Heckerman, Breese and Rommelse, CACM 38(3) 1995 (formula from memory); numbers computed",
        "case": table, "optimal_cost": optimum(table), "order": one_based(best), "worst_order_cost": max(orders.values()),
    }
    faults, cures = [0.20, 0.25, 0.40, 0.15], [{0, 1}, {1, 2}, {2, 3}]
    dependent = []
    for size in (2, 3):
        for order in itertools.permutations(range(3), size):
            left, total = set(range(4)), 0.0
            for action in order:
                total += sum(faults[i] for i in left)
                left -= cures[action]
            if not left:
                dependent.append({"order": one_based(order), "cost": total})
    dependent_actions = {
        "name": "dependent actions", "source": "example of Jensen and others, as in Ottosen's thesis 2012 (from memory); recomputed",
        "faults": faults, "cures": [sorted(one_based(cure)) for cure in cures], "action_cost": 1.0, "orders": dependent,
        "optimal_cost": min(entry["cost"] for entry in dependent), "greedy_cost": greedy_actions(faults, cures),
    }
    looks, fixes, share = [4.0, 1.0, 3.0], [10.0, 20.0, 15.0], [0.5, 0.3, 0.2]
    look_orders = {order: value + sum(p * fix for p, fix in zip(share, fixes)) for order, value in repair_order(share, looks).items()}
    look_table = case(share, looks, identity(3), repairs=fixes)
    look = {
        "name": "look, then repair if bad", "source": "form of Heckerman, Breese and Rommelse 1995 (from memory); numbers computed", "case": look_table,
        "orders": [{"order": one_based(order), "cost": cost} for order, cost in sorted(look_orders.items(), key=lambda entry: entry[1])],
        "optimal_cost": optimum(look_table),
    }
    return [rule, dependent_actions, look, *clusters(), *tests_and_repairs()]


def greedy_actions(faults, cures):
    left, total, tried = set(range(len(faults))), 0.0, set()
    while left:
        action = max((a for a in range(len(cures)) if a not in tried), key=lambda a: sum(faults[i] for i in left & cures[a]))
        total += sum(faults[i] for i in left)
        left -= cures[action]
        tried.add(action)
    return total


def clusters():
    priors, costs = [0.14, 0.20, 0.13, 0.17, 0.09, 0.11, 0.16], [1.0, 1.0, 3.0, 2.0, 2.0, 4.0, 1.0]
    member, opening = [None, 0, 0, 1, 1, None, 0], [4.0, 3.0]
    source = "cost clusters: Ottosen and Jensen, UAI 2010 (arXiv 1203.3502, abstract seen); numbers computed"
    best, rule_cost = (math.inf, None), None
    for order in itertools.permutations(range(7)):
        cost = opened_order(order, priors, costs, member, opening)
        best = min(best, (cost, order))
    plain = sorted(range(7), key=lambda i: -priors[i] / costs[i])
    rule_cost = opened_order(plain, priors, costs, member, opening)
    table = case(priors, [], [[] for _ in priors], repairs=costs, setups=opening, repair_setups=member)
    inside = {"name": "panels stay open", "source": source, "case": table, "optimal_cost": optimum(table), "order": one_based(best[1]), "order_cost": best[0], "p_over_c_order_cost": rule_cost}
    closed = {
        "name": "panels closed before each check", "source": source + "; members done in one opening are checked together", "priors": priors, "costs": costs,
        "panel": [None if k is None else k + 1 for k in member], "opening": opening, "optimal_cost": closing(priors, costs, member, opening),
    }
    return [inside, closed]


def opened_order(order, priors, costs, member, opening):
    left, total, opened = 1.0, 0.0, set()
    for index in order:
        if member[index] is not None and member[index] not in opened:
            opened.add(member[index])
            total += left * opening[member[index]]
        total += left * costs[index]
        left -= priors[index]
    return total


def closing(priors, costs, member, opening):
    """Optimum over batches: the members of one panel done together cost one opening and get one check."""
    batches = []
    for panel in {k for k in member}:
        inside = [i for i, k in enumerate(member) if k == panel]
        sizes = range(1, len(inside) + 1) if panel is not None else (1,)
        batches += [(set(batch), 0.0 if panel is None else opening[panel]) for size in sizes for batch in itertools.combinations(inside, size)]
    known = {}

    def value(done):
        if len(done) == len(priors):
            return 0.0
        if done not in known:
            left = sum(p for i, p in enumerate(priors) if i not in done)
            known[done] = min(left * (cost + sum(costs[i] for i in batch)) + value(done | batch) for batch, cost in batches if not batch & done)
        return known[done]

    return value(frozenset())


def tests_and_repairs():
    priors, fixes, costs = [0.4, 0.3, 0.2, 0.1], [30.0, 40.0, 10.0, 60.0], [5.0, 2.0]
    perfect = [[1, 1], [1, 0], [0, 1], [0, 0]]
    noisy = [[0.95 if a else 0.05, 0.90 if b else 0.10] for a, b in perfect]
    source = "invented; computed by exact dynamic program"
    tables = {"perfect tests": case(priors, costs, perfect, repairs=fixes), "noisy tests": case(priors, costs, noisy, repairs=fixes), "no tests": case(priors, [], [[]] * 4, repairs=fixes)}
    found = [{"name": f"tests and repairs, {name}", "source": source, "case": table, "optimal_cost": optimum(table)} for name, table in tables.items()]
    looks = [[0.95 if (cause >> bit) & 1 else 0.05 for bit in (0, 0, 0, 1, 1, 1)] for cause in range(4)]
    table = case([0.25] * 4, [1.0] * 6, looks, wrong=100.0)
    missed = 1 - (1 - 0.00725) ** 2
    found.append({
        "name": "three noisy looks a bit", "source": source + "; closed form 2 (2 + 0.095) + 100 (1 - (1 - 0.00725)^2)", "case": table, "optimal_cost": optimum(table),
        "tests_cost": 4.19, "closed_form": 4.19 + 100 * missed, "share_wrong": missed, "bound_on_tests": noisy_bound(2.0, missed, 4, 0.05),
    })
    return found


def noisy_bound(bits, missed, causes, error):
    """Fano: (H0 - h(Pe) - Pe log2(n - 1)) looks, each worth at most the capacity 1 - h(e)."""
    flip = lambda p: entropy([p, 1 - p])
    return (bits - flip(missed) - missed * math.log2(causes - 1)) / (1 - flip(error))


def calibration():
    said = [0.05, 0.15, 0.15, 0.35, 0.35, 0.55, 0.65, 0.75, 0.85, 0.95]
    was = [0, 0, 1, 0, 1, 0, 1, 1, 1, 1]
    count = len(said)

    def bins(number):
        groups = {}
        for p, y in zip(said, was):
            groups.setdefault(min(int(p * number), number - 1), []).append((p, y))
        return [(len(g), sum(p for p, _ in g) / len(g), sum(y for _, y in g) / len(g)) for g in groups.values()]

    rate = sum(was) / count
    ten = bins(10)
    return {
        "source": "definitions: Brier score; Murphy 1973 decomposition; expected calibration error of Naeini 2015 and Guo and others 2017, equal-width bins; log score in nats. Instance invented, computed",
        "said": said, "was": was,
        "error_10_bins": sum(n * abs(p - y) for n, p, y in ten) / count, "error_5_bins": sum(n * abs(p - y) for n, p, y in bins(5)) / count,
        "largest_error_10_bins": max(abs(p - y) for _, p, y in ten),
        "brier": sum((p - y) ** 2 for p, y in zip(said, was)) / count,
        "reliability": sum(n * (p - y) ** 2 for n, p, y in ten) / count, "resolution": sum(n * (y - rate) ** 2 for n, _, y in ten) / count, "uncertainty": rate * (1 - rate),
        "log_score": -sum(math.log(p if y else 1 - p) for p, y in zip(said, was)) / count,
    }


if __name__ == "__main__":
    write_json(
        "diagnosis_examples.json",
        "Worked examples, each with its own source; `case` is the table `halfsplit sequence` reads; every number recomputed by brute force or exact.py",
        rounded({"sequencing": sequencing(), "classes": classes(), "repairs": repairs(), "calibration": calibration()}),
    )
