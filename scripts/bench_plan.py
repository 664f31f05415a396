"""The planner's figures out of the JSON lines of scripts/bench: tables, and the cost over time as drawings.

Usage: bench_plan.py FIGURES [DRAWING [DRAWING_OF_CIRCUITS]]. Peers solved the same tables in the same run; a plan in time is compared with the best
plan that any of the runs of that table found, and with what is proven that no plan can beat.
"""

import json
import math
import sys

SHOWN = (0.0, 0.01, 0.2, 5.0)
COLOURS = ("#1b6ca8", "#b8442e", "#3c8d40", "#8a5fb0", "#c08a1e", "#4d4d4d", "#2aa3a3", "#a83279")


def load(path):
    with open(path, encoding="utf-8") as file:
        return {entry["name"]: entry for entry in (json.loads(line) for line in file if line.startswith("{"))}


def table(head, rows):
    if not rows:
        return
    print("| " + " | ".join(head) + " |")
    print("| --- " * len(head) + "|")
    for row in rows:
        print("| " + " | ".join(row) + " |")
    print()


def to_proof(figures):
    """Time to the proven best plan, a table, beside the peers."""
    rows = []
    for name, own in figures.items():
        if not name.startswith("plan to proof, "):
            continue
        group, count = name.removeprefix("plan to proof, "), own["tables"]
        micros = own["micros"] / count
        row = [group, str(count), f"{micros:.3g}"]
        for peer in ("plain exact program", "exact.py", "pystreed"):
            found = figures.get(f"{peer}, {group}")
            row.append(f"{found['micros'] / count:.3g} ({found['micros'] / own['micros']:.3g} ×)" if found else "–")
        rows.append(row)
    table(("tables", "how many", "planner, µs each", "plain exact program", "exact.py", "pystreed"), rows)


def in_time(figures):
    """What a plan costs above the best one known, by the time allowed."""
    lines = {name.removeprefix("plan in time, "): entry["runs"] for name, entry in figures.items() if name.startswith("plan in time, ")}
    rows = []
    for name, runs in lines.items():
        best, last = min(run["cost"] for run in runs), runs[-1]
        row = [name, f"{1e3 * runs[0]['took_s']:.2g} ms"]
        for allowed in SHOWN:
            run = max((run for run in runs if run["allowed_s"] <= allowed), key=lambda run: run["allowed_s"])
            row.append("best" if run["proven"] else f"{100 * (run['cost'] / best - 1):.2g} %")
        row.append(f"proven in {last['took_s']:.2g} s" if last["proven"] else f"{100 * last['gap']:.2g} %")
        row.append(f"{last['nodes'] / last['took_s']:.0f}")
        rows.append(row)
    head = ["causes × tests", "first plan", *(f"after {allowed:g} s" if allowed else "first" for allowed in SHOWN), "gap to the bound then", "nodes a second"]
    table(head, rows)
    return lines


def on_circuits(figures):
    """The plan of a job on every circuit, by the time allowed: inside one process, and from the shell."""
    inside = {name.removeprefix("course, "): entry["runs"] for name, entry in figures.items() if name.startswith("course, ")}
    rows = []
    for name, runs in inside.items():
        for run in runs:
            gap = 100 * (1 - run["lower"] / run["planned"])
            speed = run["nodes"] / run["search_s"] if run["search_s"] >= 0.05 else None
            costs = [f"{run[what]:.0f}" for what in ("planned", "fresh", "lower")]
            rows.append([name, f"{run['allowed_s']:g} s", *costs, f"{gap:.0f} %", f"{speed:.0f}" if speed else "–"])
    table(("circuit", "allowed", "cost planned", "cost on fresh samples", "no plan below", "gap", "nodes a second"), rows)
    rows = []
    for name, entry in figures.items():
        if not name.startswith("course from the shell, "):
            continue
        for run in entry["runs"]:
            row = [name.removeprefix("course from the shell, "), f"{run['allowed_s']:g} s", f"{run['all_s']:.2f} s"]
            gap = 100 * (1 - run["lower"] / run["cost"])
            rows.append([*row, f"{run['cost']:.0f}", f"{run['lower']:.0f}", f"{gap:.0f} %", f"{run['parts_first']:.0f}"])
    table(("circuit", "`--time`", "answer after", "expected cost", "no plan below", "gap", "parts first"), rows)
    return inside


def practised(figures):
    """Practice: every strategy, over all circuits and on each."""
    played = figures.get("practice")
    if not played:
        return
    rows = []
    for name, scores in [("all", played["strategies"])] + [(circuit["name"], circuit["strategies"]) for circuit in played["circuits"]]:
        for score in scores:
            costs = [f"{score[what]:.0f}" for what in ("mean_cost", "median_cost", "p95_cost")]
            rest = [f"{100 * score['first_repair_right']:.1f} %", f"{score['wrong_parts_per_job']:.2f}", f"{score['checks_per_job']:.1f}"]
            rows.append([name, score["name"], *costs, *rest])
    table(("circuit", "strategy", "mean cost", "median", "95 of 100 up to", "right first", "wrong parts a job", "checks a job"), rows)
    said = played["calibration"]
    if said:
        print(f"Calibration error {said['error']:.3f}, Brier {said['brier']:.3f}, log score {said['log_score']:.3f}.")
        print()
        rows = [[f"{row['said']:.2f}", f"{row['was']:.2f}", str(row["jobs"])] for row in said["table"] if row["jobs"]]
        table(("said", "was", "jobs"), rows)
    print(f"{played['jobs']} jobs in {played['seconds']:g} s.")
    print()


WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 760, 380, 60, 210, 40, 45
LEAST, MOST = 1e-4, 10.0
EARLY, LATE = 2e-5, 6.0


def drawing(lines):
    """Cost above the best plan known, over time, both logarithmic; what is below the lowest line is shown on it."""

    def x(seconds):
        return LEFT + (WIDTH - LEFT - RIGHT) * math.log(max(seconds, EARLY) / EARLY) / math.log(LATE / EARLY)

    def y(above):
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * math.log(max(above, LEAST) / LEAST) / math.log(MOST / LEAST)

    def text(at_x, at_y, words, more=""):
        return f'<text x="{at_x:.1f}" y="{at_y:.1f}" {more}>{words}</text>'

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif" font-size="11">',
        "<title>Cost of the plan in hand above the best plan known, over the time allowed</title>",
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="white"/>',
        text(LEFT, 20, "Cost of the plan above the best one known, by the time allowed", 'font-size="13"'),
    ]
    for exponent in range(-4, 2):
        above = 10.0**exponent
        label = f"{100 * above:g} %"
        parts.append(f'<path d="M{LEFT} {y(above):.1f}H{WIDTH - RIGHT}" stroke="#ddd"/>')
        parts.append(text(LEFT - 6, y(above) + 4, label, 'text-anchor="end"'))
    for seconds, label in ((1e-4, "0.1 ms"), (1e-3, "1 ms"), (1e-2, "10 ms"), (0.1, "0.1 s"), (1.0, "1 s")):
        parts.append(f'<path d="M{x(seconds):.1f} {TOP}V{HEIGHT - BOTTOM}" stroke="#eee"/>')
        parts.append(text(x(seconds), HEIGHT - BOTTOM + 16, label, 'text-anchor="middle"'))
    parts.append(f'<path d="M{x(0.2):.1f} {TOP}V{HEIGHT - BOTTOM}" stroke="#888" stroke-dasharray="4 3"/>')
    parts.append(text(x(0.2), TOP - 5, "0.2 s", 'text-anchor="middle"'))
    for number, (name, runs) in enumerate(lines.items()):
        colour, dashed = COLOURS[number % len(COLOURS)], ' stroke-dasharray="5 3"' if number >= len(COLOURS) else ""
        best = min(run["cost"] for run in runs)
        # The proof may take less than a run that was stopped just before it.
        steps = sorted((run["took_s"], run["cost"] / best - 1) for run in runs)
        steps = [(seconds, min(above for earlier, above in steps if earlier <= seconds)) for seconds, _ in steps]
        points = " ".join(f"{x(seconds):.1f},{y(above):.1f}" for seconds, above in steps)
        parts.append(f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="1.6"{dashed}/>')
        ends = min(seconds for seconds, above in steps if above <= LEAST)
        filling = colour if runs[-1]["proven"] else "white"
        parts.append(f'<circle cx="{x(ends):.1f}" cy="{y(0):.1f}" r="3.5" stroke="{colour}" fill="{filling}"/>')
        at = TOP + 8 + 17 * number
        parts.append(f'<path d="M{WIDTH - RIGHT + 12} {at}h22" stroke="{colour}" stroke-width="1.6"{dashed}/>')
        parts.append(text(WIDTH - RIGHT + 40, at + 4, name.replace(" x ", " × ")))
    parts.append(text(WIDTH - RIGHT + 12, HEIGHT - BOTTOM + 16, "● proven best   ○ best known"))
    parts.append("</svg>")
    return "\n".join(parts) + "\n"


SOONEST, LONGEST = 0.02, 30.0


def circuits_drawing(inside):
    """Cost of the plan over the time of the search, as a multiple of the best cost in hand at the end; dashed what no plan goes below."""

    def x(seconds):
        return LEFT + (WIDTH - LEFT - RIGHT) * math.log(max(seconds, SOONEST) / SOONEST) / math.log(LONGEST / SOONEST)

    most = max(run["planned"] / min(other["planned"] for other in runs) for runs in inside.values() for run in runs)
    least = min(run["lower"] / min(other["planned"] for other in runs) for runs in inside.values() for run in runs)
    top, bottom = math.ceil(5 * most) / 5, math.floor(5 * least) / 5

    def y(ratio):
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * (ratio - bottom) / (top - bottom)

    def text(at_x, at_y, words, more=""):
        return f'<text x="{at_x:.1f}" y="{at_y:.1f}" {more}>{words}</text>'

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif" font-size="11">',
        "<title>Cost of the plan of a job on the shipped circuits, over the time allowed</title>",
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="white"/>',
        text(LEFT, 20, "Cost of the plan beside the best one in hand, by the time of the search", 'font-size="13"'),
    ]
    step = 0.2
    for number in range(1 + round((top - bottom) / step)):
        ratio = bottom + number * step
        parts.append(f'<path d="M{LEFT} {y(ratio):.1f}H{WIDTH - RIGHT}" stroke="#ddd"/>')
        parts.append(text(LEFT - 6, y(ratio) + 4, f"{ratio:.1f} ×", 'text-anchor="end"'))
    for seconds, label in ((SOONEST, "at once"), (0.1, "0.1 s"), (0.3, "0.3 s"), (1.0, "1 s"), (5.0, "5 s"), (20.0, "20 s")):
        parts.append(f'<path d="M{x(seconds):.1f} {TOP}V{HEIGHT - BOTTOM}" stroke="#eee"/>')
        parts.append(text(x(seconds), HEIGHT - BOTTOM + 16, label, 'text-anchor="middle"'))
    for number, (name, runs) in enumerate(inside.items()):
        colour, best = COLOURS[number % len(COLOURS)], min(run["planned"] for run in runs)
        for what, dashed in (("planned", ""), ("lower", ' stroke-dasharray="5 3"')):
            points = " ".join(f"{x(run['search_s']):.1f},{y(run[what] / best):.1f}" for run in runs)
            parts.append(f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="1.6"{dashed}/>')
        at = TOP + 8 + 17 * number
        parts.append(f'<path d="M{WIDTH - RIGHT + 12} {at}h22" stroke="{colour}" stroke-width="1.6"/>')
        parts.append(text(WIDTH - RIGHT + 40, at + 4, name))
    parts.append(text(WIDTH - RIGHT + 12, HEIGHT - BOTTOM + 16, "dashed: no plan below"))
    parts.append("</svg>")
    return "\n".join(parts) + "\n"


def main():
    figures = load(sys.argv[1])
    print()
    to_proof(figures)
    lines = in_time(figures)
    inside = on_circuits(figures)
    practised(figures)
    if len(sys.argv) > 3 and inside:
        with open(sys.argv[3], "w", encoding="utf-8") as file:
            file.write(circuits_drawing(inside))
    if len(sys.argv) > 2 and lines:
        with open(sys.argv[2], "w", encoding="utf-8") as file:
            file.write(drawing(lines))


if __name__ == "__main__":
    main()
