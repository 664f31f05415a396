"""How time and memory grow with parts: measures `growth_bench` at 10, 50, 200 and 500 parts, prints a table, draws a plot.

Usage: bench_growth.py GROWTH_BENCH [DRAWING.svg [FIGURES]]. FIGURES, if there, are JSON lines of an earlier run, and nothing is measured.
A belief that takes longer than PATIENCE is cut off, and larger ones are not tried.
"""

import json
import math
import os
import subprocess
import sys

SIZES = (10, 50, 200, 500)
PATIENCE = 300
WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 700, 400, 70, 190, 40, 50


def measure(program, size, what):
    """The figures of one process with the most memory it took, or none if it was cut off."""
    began = subprocess.Popen([program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    began.stdin.write(f"{size} {what}\n")
    began.stdin.close()
    try:
        began.wait(PATIENCE)
    except subprocess.TimeoutExpired:
        began.kill()
        began.wait()
        return {"name": f"growth, {what}", "parts": size + 1, "beyond_millis": 1000 * PATIENCE}
    if began.returncode:
        sys.exit(f"{size} parts: {what} ended with {began.returncode}")
    return json.loads(began.stdout.read())


def memory(program, size, what):
    """Most memory of the same process, MB; /usr/bin/time (Debian: time) counts it."""
    done = subprocess.run(["/usr/bin/time", "-f", "%M", program], input=f"{size} {what}\n", capture_output=True, text=True, check=True)
    return round(int(done.stderr.split()[-1]) / 1024, 1)


def measured(program):
    lines, patient = [], True
    for size in SIZES:
        lines.append(measure(program, size, "solve") | {"megabytes": memory(program, size, "solve")})
        if patient:
            belief = measure(program, size, "belief")
            patient = "millis" in belief
            if patient and belief["millis"] < 30_000:
                belief["megabytes"] = memory(program, size, "belief")
            lines.append(belief)
    for line in lines:
        print(json.dumps(line))
    return lines


def table(lines):
    print()
    print("| parts | faults | checks | read | solve, warm | solve, cold | steps cold | memory | first belief | suspects | memory |")
    print("| --- " * 11 + "|")
    beliefs = {line["parts"]: line for line in lines if line["name"] == "growth, belief"}
    for line in (line for line in lines if line["name"] == "growth, solve"):
        row = [str(line["parts"]), str(line["faults"]), str(line["checks"]), f"{line['read_millis']:.1f} ms"]
        row += [f"{line['warm_micros']:.0f} µs", f"{line['cold_micros']:.0f} µs", f"{line['cold_steps']:.1f}", f"{line['megabytes']:.0f} MB"]
        belief = beliefs.get(line["parts"], {})
        if "millis" in belief:
            held = f"{belief['megabytes']:.0f} MB" if "megabytes" in belief else "–"
            row += [f"{belief['millis'] / 1000:.2f} s", str(belief["suspects"]), held]
        else:
            row += [f"beyond {belief['beyond_millis'] / 1000:.0f} s" if belief else "not tried", "–", "–"]
        print("| " + " | ".join(row) + " |")
    print()


def drawing(lines):
    """Times over parts, both logarithmic; a dashed line shows what growing in proportion would be."""
    curves = {
        "solve, warm": [(line["parts"], line["warm_micros"] / 1e6) for line in lines if line["name"] == "growth, solve"],
        "solve, cold": [(line["parts"], line["cold_micros"] / 1e6) for line in lines if line["name"] == "growth, solve"],
        "first belief": [(line["parts"], line["millis"] / 1e3) for line in lines if line["name"] == "growth, belief" and "millis" in line],
    }
    seconds = [second for curve in curves.values() for _, second in curve]
    low, high = math.floor(math.log10(min(seconds))), math.ceil(math.log10(max(seconds)))
    first, last = math.log(9), math.log(600)

    def x(parts):
        return LEFT + (WIDTH - LEFT - RIGHT) * (math.log(parts) - first) / (last - first)

    def y(second):
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * (math.log10(second) - low) / (high - low)

    def text(at_x, at_y, words, more=""):
        return f'<text x="{at_x:.1f}" y="{at_y:.1f}" {more}>{words}</text>'

    def name(exponent):
        unit, shift = ("s", 0) if exponent >= 0 else ("ms", 3) if exponent >= -3 else ("µs", 6)
        return f"{10 ** (exponent + shift):g} {unit}"

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif" font-size="12">',
        "<title>Time of a solve and of a first belief by the number of parts</title>",
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="white"/>',
        text(LEFT, 20, "Time by the number of parts", 'font-size="14"'),
    ]
    for exponent in range(low, high + 1):
        parts.append(f'<path d="M{LEFT} {y(10**exponent):.1f}H{WIDTH - RIGHT}" stroke="#ddd"/>')
        parts.append(text(LEFT - 6, y(10**exponent) + 4, name(exponent), 'text-anchor="end"'))
    for size in SIZES:
        parts.append(f'<path d="M{x(size):.1f} {TOP}V{HEIGHT - BOTTOM}" stroke="#eee"/>')
        parts.append(text(x(size), HEIGHT - BOTTOM + 18, str(size), 'text-anchor="middle"'))
    parts.append(text((LEFT + WIDTH - RIGHT) / 2, HEIGHT - 10, "parts", 'text-anchor="middle"'))
    marks = ("", ' stroke-dasharray="7 3"', ' stroke-dasharray="2 3"')
    for number, (what, curve) in enumerate(curves.items()):
        points = " ".join(f"{x(count):.1f},{y(second):.1f}" for count, second in curve)
        parts.append(f'<polyline points="{points}" fill="none" stroke="black" stroke-width="2"{marks[number]}/>')
        parts += [f'<circle cx="{x(count):.1f}" cy="{y(second):.1f}" r="3"/>' for count, second in curve]
        at = TOP + 12 + 20 * number
        parts.append(f'<path d="M{WIDTH - RIGHT + 16} {at}h30" stroke="black" stroke-width="2"{marks[number]}/>')
        parts.append(text(WIDTH - RIGHT + 54, at + 4, what))
    count, second = curves["solve, warm"][0]
    end = min(600, count * 10 ** (high - math.log10(second)))
    line = f"M{x(count):.1f} {y(second):.1f}L{x(end):.1f} {y(second * end / count):.1f}"
    parts.append(f'<path d="{line}" stroke="#888" stroke-width="1"/>')
    at = TOP + 12 + 20 * len(curves)
    parts.append(f'<path d="M{WIDTH - RIGHT + 16} {at}h30" stroke="#888"/>')
    parts.append(text(WIDTH - RIGHT + 54, at + 4, "in proportion to parts"))
    parts.append("</svg>")
    return "\n".join(parts) + "\n"


def main():
    if len(sys.argv) > 3:
        with open(sys.argv[3], encoding="utf-8") as file:
            lines = [json.loads(line) for line in file if line.startswith("{")]
    else:
        lines = measured(os.path.abspath(sys.argv[1]))
    table(lines)
    if len(sys.argv) > 2:
        with open(sys.argv[2], "w", encoding="utf-8") as file:
            file.write(drawing(lines))


if __name__ == "__main__":
    main()
