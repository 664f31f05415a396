"""Compares two folders of reference files: same text between the numbers, numbers within one part in a million.

The absolute floor of 1e-13 lets a diode's leakage and other round-off differ between processors. A member whose name ends in
`_pa` has one of its own: a vacuum near nothing is what is left of two pressures of 1e5 Pa, each integrated to one part in 1e9.
"""

import re
import sys
from pathlib import Path

NUMBER = re.compile(r"(?<![\w.])-?\d+\.?\d*(?:[eE][-+]?\d+)?(?!\w)")
SHARE, FLOOR, PRESSURE_FLOOR = 1e-6, 1e-13, 1e-4


def numbers(text):
    """Every number of a text with the absolute difference below which it counts as the same."""
    for found in NUMBER.finditer(text):
        pressure = text.endswith('_pa": ', 0, found.start())
        yield float(found.group()), PRESSURE_FLOOR if pressure else FLOOR


def differences(old, new):
    if NUMBER.sub("#", old) != NUMBER.sub("#", new):
        return ["the text differs"]
    pairs = zip(numbers(old), numbers(new))
    return [f"{a:.10g} became {b:.10g}" for (a, floor), (b, _) in pairs if abs(a - b) > SHARE * abs(a) + floor]


def main(old_folder, new_folder):
    failed = 0
    for path in sorted(Path(old_folder).iterdir()):
        if path.suffix in (".csv", ".json"):
            for line in differences(path.read_text(), (Path(new_folder) / path.name).read_text())[:5]:
                print(f"{path.name}: {line}")
                failed += 1
    print("references differ" if failed else "references are the same")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
