"""A plain, slow, exact solver of test-and-repair tables: the yardstick for every planned cost in these files.

A case is the table that `halfsplit sequence` reads: causes (prior, repair, repair_setup), tests (cost, setup, positive),
setups, setup_mode, verify, wrong_cost. Costs here are unnormalised: each is weighted with the probability of getting there.
"""

from functools import lru_cache

TINY = 1e-15


class Table:
    def __init__(self, case):
        self.causes, self.tests = case["causes"], case["tests"]
        self.setups = {setup["name"]: setup["cost"] for setup in case.get("setups", [])}
        self.stays = case.get("setup_mode", "stays") == "stays"
        self.verify, self.wrong = case.get("verify", 0.0), case.get("wrong_cost")
        self.repairs = any(cause.get("repair") is not None for cause in self.causes)

    def enter(self, opened, setup):
        """Cost of the set-up and the set-ups open afterwards."""
        if setup is None or setup in opened:
            return 0.0, opened
        return self.setups[setup], (opened | {setup}) if self.stays else frozenset({setup})

    def weights(self, outcomes, removed):
        """Joint probability of the outcomes so far and each cause that has not been repaired."""
        found = []
        for index, cause in enumerate(self.causes):
            weight = 0.0 if index in removed else cause["prior"]
            for test, outcome in outcomes:
                positive = self.tests[test]["positive"][index]
                weight *= positive if outcome else 1 - positive
            found.append(weight)
        return tuple(found)


def optimum(case):
    """Least expected cost of a case."""
    table = Table(case)

    @lru_cache(maxsize=None)
    def value(weights, used, opened):
        total = sum(weights)
        if total < TINY:
            return 0.0
        best = stop(table, weights, used, total)
        for number, test in enumerate(table.tests):
            if number in used:
                continue
            yes = tuple(weight * p for weight, p in zip(weights, test["positive"]))
            no = tuple(weight * (1 - p) for weight, p in zip(weights, test["positive"]))
            if sum(yes) < TINY or sum(no) < TINY:
                continue
            cost, after = table.enter(opened, test["setup"])
            best = min(best, (cost + test["cost"]) * total + value(yes, used | {number}, after) + value(no, used | {number}, after))
        if table.repairs:
            for index, cause in enumerate(table.causes):
                if weights[index] < TINY:
                    continue
                cost, after = table.enter(opened, cause.get("repair_setup"))
                left = weights[:index] + (0.0,) + weights[index + 1 :]
                best = min(best, (cost + cause["repair"] + table.verify) * total + value(left, used, after))
        return best

    return value(table.weights((), ()), frozenset(), frozenset())


def stop(table, weights, used, total):
    """What ending here costs: a wrong name, nothing where no test tells more, or not allowed."""
    if table.repairs:
        return float("inf")
    if table.wrong is not None:
        return table.wrong * (total - max(weights))
    for number, test in enumerate(table.tests):
        if number not in used:
            present = [p for weight, p in zip(weights, test["positive"]) if weight > TINY]
            if min(present) < max(present):
                return float("inf")
    return 0.0


def case(priors, costs, matrix, repairs=None, setups=None, test_setups=None, repair_setups=None, mode="stays", verify=0.0, wrong=None):
    """The table of a case from plain lists; `matrix` holds one row a cause."""
    name = lambda index: None if index is None else f"s{index + 1}"
    test_setups, repair_setups = test_setups or [None] * len(costs), repair_setups or [None] * len(priors)
    causes = [
        {"name": f"c{i + 1}", "prior": prior, "repair": repairs[i] if repairs else None, "repair_setup": name(repair_setups[i])}
        for i, prior in enumerate(priors)
    ]
    tests = [{"name": f"t{j + 1}", "cost": cost, "setup": name(test_setups[j]), "positive": [row[j] for row in matrix]} for j, cost in enumerate(costs)]
    opened = [{"name": name(k), "cost": cost} for k, cost in enumerate(setups or [])]
    return {"causes": causes, "tests": tests, "setups": opened, "setup_mode": mode, "verify": verify, "wrong_cost": wrong}
