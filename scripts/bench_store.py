"""The table of both stores from the JSON lines of scripts/bench: the same tasks on SQLite and on PostgreSQL."""

import json
import sys


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        lines = [json.loads(line) for line in file if line.startswith("{")]
    kinds = ("SQLite", "PostgreSQL")
    tasks = {}
    for line in lines:
        for kind in kinds:
            task = line["name"].removeprefix(f"store, {kind}: ")
            if task != line["name"]:
                tasks.setdefault(task, {})[kind] = f"{line['figure']:.3g} {line['unit']}"
    print("| what | SQLite | PostgreSQL |")
    print("| --- | --- | --- |")
    for task, figures in tasks.items():
        print(f"| {task} | " + " | ".join(figures.get(kind, "–") for kind in kinds) + " |")


main()
