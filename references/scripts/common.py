"""What the reference scripts share: where files go, how they are written, the constants of air.

Every file carries its source in its first line (CSV) or its first field (JSON), so that a table never travels without
the place its numbers come from. `HALFSPLIT_REFERENCES` redirects the output; the check mode of `scripts/references` uses it.
"""

import csv
import io
import json
import math
import os
from pathlib import Path

FOLDER = Path(os.environ.get("HALFSPLIT_REFERENCES", Path(__file__).resolve().parent.parent))

GAMMA = 1.4
R_AIR = 287.05287  # J/(kg K): 8314.32 / 28.9644, the constants of ISO 2533
CRITICAL = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1))
CHOKED = math.sqrt(GAMMA) * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)))
PSI = 0.45359237 * 9.80665 / 0.0254**2
INHG = 13595.1 * 9.80665 * 0.0254  # conventional inch of mercury


def number(value):
    """Text of a number: as printed by a source if it comes as text, else ten significant digits."""
    return value if isinstance(value, str) else f"{value:.10g}"


def write_csv(name, source, header, rows):
    """Writes a table whose first line is a comment with its source; empty cells mean "the source gives none"."""
    text = io.StringIO()
    for line in source.strip().splitlines():
        text.write(f"# {line.strip()}\n")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    for row in rows:
        writer.writerow(["" if cell is None else number(cell) for cell in row])
    (FOLDER / name).write_text(text.getvalue())


def rounded(value, digits=12):
    """The same structure with every float at `digits` significant digits."""
    if isinstance(value, float):
        return float(f"{value:.{digits}g}")
    if isinstance(value, dict):
        return {key: rounded(inner, digits) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [rounded(inner, digits) for inner in value]
    return value


def write_json(name, source, content):
    """Writes `{"source": .., ..}`: one line for each member, and one for each entry of a member that is a list."""
    parts = [f'"source": {json.dumps(source)}']
    for key, value in content.items():
        if isinstance(value, list) and value and isinstance(value[0], (dict, list)):
            entries = ",\n".join(json.dumps(entry) for entry in value)
            parts.append(f"{json.dumps(key)}: [\n{entries}\n]")
        else:
            parts.append(f"{json.dumps(key)}: {json.dumps(value)}")
    (FOLDER / name).write_text("{\n" + ",\n".join(parts) + "\n}\n")


def nozzle_flux(upstream, downstream, temperature):
    """Mass flux [kg/(m2 s)] of a frictionless nozzle: Saint-Venant and Wantzel below, choked at the critical ratio."""
    ratio = downstream / upstream
    if ratio >= 1:
        return 0.0
    if ratio <= CRITICAL:
        return upstream * CHOKED / math.sqrt(R_AIR * temperature)
    root = 2 * GAMMA / (GAMMA - 1) * (ratio ** (2 / GAMMA) - ratio ** ((GAMMA + 1) / GAMMA))
    return upstream / math.sqrt(R_AIR * temperature) * math.sqrt(root)


def hole(diameter):
    """Area [m2] of a round hole."""
    return math.pi / 4 * diameter**2
