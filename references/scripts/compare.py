"""Compares two folders of reference files: same text between the numbers, numbers within one part in a million.

The absolute floor of 1e-13 lets a diode's leakage and other round-off differ between processors.
"""

import re
import sys
from pathlib import Path

NUMBER = re.compile(r"(?<![\w.])-?\d+\.?\d*(?:[eE][-+]?\d+)?(?!\w)")


def differences(old, new):
    if NUMBER.sub("#", old) != NUMBER.sub("#", new):
        return ["the text differs"]
    pairs = zip(map(float, NUMBER.findall(old)), map(float, NUMBER.findall(new)))
    return [f"{a:.10g} became {b:.10g}" for a, b in pairs if abs(a - b) > 1e-6 * abs(a) + 1e-13]


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
