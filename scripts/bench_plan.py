"""The planner's figures out of the JSON lines of scripts/bench: two tables, and the cost over time as a drawing.

Usage: bench_plan.py FIGURES [DRAWING]. Peers solved the same tables in the same run; a plan in time is compared with the best
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


def main():
    figures = load(sys.argv[1])
    print()
    to_proof(figures)
    lines = in_time(figures)
    if len(sys.argv) > 2:
        with open(sys.argv[2], "w", encoding="utf-8") as file:
            file.write(drawing(lines))


if __name__ == "__main__":
    main()
