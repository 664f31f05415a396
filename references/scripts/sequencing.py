"""Solves every instance of sequencing.json again and writes the file with the costs found.

The instances were drawn once at random and are data; only `optimal_cost` is computed.
"""

import json

from common import FOLDER, rounded, write_json
from exact import optimum

SOURCE = (
    "Invented instances, drawn at random with the seed given; optimal cost computed by an exact dynamic program and, independently, by a recursion without memory; "
    "exact.py here solves them a third time. Model: Pattipati and Alexandridis, IEEE Trans. SMC 20(4) 872-887, 1990, extended by set-ups, noise and repairs. "
    "A test repeated gives the same answer; a repair cures its one cause and is followed by an errorless check at cost `verify`."
)


def main():
    known = json.loads((FOLDER / "sequencing.json").read_text())
    cases = [dict(entry, optimal_cost=rounded(optimum(entry["input"]))) for entry in known["cases"]]
    write_json("sequencing.json", SOURCE, {"cases": cases})


if __name__ == "__main__":
    main()
