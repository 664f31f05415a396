"""One table from the JSON lines of scripts/bench: what was measured, beside the target, ratios within the one run."""

import json
import sys


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        lines = [json.loads(line) for line in file if line.startswith("{")]
    figures = {line["name"]: line for line in lines}
    rows = []

    def value(start, unit):
        found = [line[unit] for name, line in figures.items() if name.startswith(start) and unit in line]
        assert found, f"no figure called `{start}`"
        return found

    def row(what, target, measured, good):
        rows.append((what, target, measured, "met" if good else "missed"))

    def most(what, start, unit, limit, shown):
        worst = max(value(start, unit))
        row(what, f"≤ {limit:g} {shown}", f"{worst:.3g} {shown}", worst <= limit)

    def times(what, peer, own, least):
        factor = peer / own
        row(what, f"≥ {least} ×", f"{factor:.0f} × ({peer:.3g} / {own:.3g} µs)", factor >= least)

    def drives():
        own = value("csv, own reader", "millis")[0]
        for peer in ("polars", "duckdb"):
            for threads in ("all", "1"):
                [found] = [line for name, line in figures.items() if name.startswith(f"csv, {peer}") and name.endswith(f"threads: {threads}")]
                ratio = found["millis"] / own
                what = f"CSV to typed columns beside {peer}, {threads} thread{'s' if threads == 'all' else ''} (ours takes one)"
                row(what, "≥ 0.8 ×", f"{ratio:.2f} × ({found['millis']:.0f} / {own:.0f} ms)", ratio >= 0.8)
        most("features of two hours, 40 signals, 10 Hz", "features of two hours", "millis", 50, "ms")

    def fleet():
        for name, line in figures.items():
            if name.startswith("fleet screening"):
                rate = line["million_rows_a_minute"]
                row(f"{name}, two threads", "≥ 50 million rows a minute", f"{rate:.0f} million, {line['megabytes']:.0f} MB", rate >= 50)
        memory = [line for name, line in figures.items() if name.startswith("fleet memory")]
        for line in memory:
            grown = (line["megabytes"] - memory[0]["megabytes"]) / memory[0]["megabytes"]
            row(line["name"], "flat", f"{line['megabytes']:.0f} MB, {line['seconds']:.1f} s", grown <= 0.25)
        for name, line in figures.items():
            if name.startswith("fleet cluster"):
                shown = f"{line['here_seconds']:.1f} s here, {line['cluster_seconds']:.1f} s on two executors: {line['overhead_seconds']:.1f} s"
                row(f"{name}, beside the same here", "stated", shown, True)

    only = sys.argv[2] if len(sys.argv) > 2 else None
    if only:
        {"drives": drives, "fleet": fleet}[only]()
        return told(rows)
    drives()
    vacuum = value("steady solve: twelve-part-vacuum", "micros")[0]
    for circuit in ("twelve-part-vacuum", "reference-vacuum", "vacuum-wastegate", "vacuum-variable-geometry"):
        most(f"steady solve, {circuit}, warm", f"steady solve: {circuit}", "micros", 5, "µs")
    times("steady solve, twelve-part-vacuum, beside SciPy's root finder", value("scipy root", "micros")[0], vacuum, 100)
    solenoid = value("steady solve: solenoid-driver", "micros")[0]
    starter = value("steady solve: starter-circuit", "micros")[0]
    times("driven solenoid beside ngspice op", value("ngspice op, solenoid: driver on", "micros")[0], solenoid, 20)
    times("starter (whole circuit, relay and solenoid settling) beside ngspice op (its power path alone)", value("ngspice op, starter", "micros")[0], starter, 20)
    most("hold test with any fault, nineteen samples of twenty", "hold test", "most", 50, "µs")
    for peer in (line for line in lines if line["name"].startswith("pyagrum")):
        case = peer["name"].split(", ")[1]
        if case == "asia":
            own = value("asia, all posteriors", "micros")[0]
        else:
            number = int(case.split("case ")[1].split()[0])
            own = [line["micros"] for line in lines if line["name"].startswith("noisy-or") and line["name"].endswith("all posteriors")][number]
        times(f"posteriors beside pyAgrum, {case}", peer["micros"], own, 20)
    cold = "suspects without readings"
    most("first belief and next checks, started from the shell, every circuit", cold, "millis", 300, "ms")
    most("  its peak memory", cold, "megabytes", 60, "MB")
    for count in range(4):
        most(f"belief and next check, {count} readings", f"belief and next check after {count} readings", "millis", 300 if count == 0 else 50, "ms")
    most("program start (`halfsplit circuits`)", "program start", "millis", 20, "ms")
    told(rows)


def told(rows):
    print()
    head = ("what", "target", "measured", "")
    print("| " + " | ".join(head) + " |")
    print("| --- | --- | --- | --- |")
    for line in rows:
        print("| " + " | ".join(line) + " |")


if __name__ == "__main__":
    main()
