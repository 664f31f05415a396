"""How fast a fleet is screened, how its memory grows with the number of files, and what a cluster of two executors adds.

PROGRAM is halfsplit-fleet. A fleet is a few invented recordings of two hours at 10 Hz, linked again and again under new names, so that
thousands of files take no room. A JSON line for each figure.
"""

import json
import os
import random
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from pyarrow import csv, parquet

ROWS = 72_000
SHORT = 1_800
KINDS = 4
DRIVES = 20


def recording(seed, wide, rows=ROWS):
    """Time and the five signals that are screened; `wide` adds 35 that are not."""
    draw = random.Random(seed)
    columns = {name: [] for name in ("time", "engine rpm", "control module voltage", "intake manifold pressure", "boost pressure commanded", "barometric pressure")}
    others = [f"channel {number}" for number in range(35)] if wide else []
    columns.update({name: [] for name in others})
    for row in range(rows):
        turns = row >= 30
        boost = row % 600 < 200
        figures = [
            f"{row / 10:.1f}",
            "0" if row < 20 else "210" if not turns else str(draw.randrange(2200, 2600) if boost else draw.randrange(800, 900)),
            f"{12.5 if row < 20 else 10.1 if not turns else 14.1 + draw.uniform(-0.1, 0.1):.2f}",
            f"{98 if not turns else 168 + draw.randrange(5) if boost else 40 + draw.randrange(5)}",
            f"{170 if turns and boost else 98}",
            "98",
        ]
        figures += [f"{draw.uniform(-100, 100):.2f}" for _ in others]
        for column, figure in zip(columns.values(), figures):
            column.append(figure)
    return columns


def written(columns, folder, seed):
    text = folder / f"{seed}.csv"
    names = list(columns)
    with text.open("w") as file:
        file.write(",".join(names) + "\n")
        for row in zip(*columns.values()):
            file.write(",".join(row) + "\n")
    parquet.write_table(csv.read_csv(text), folder / f"{seed}.parquet", compression="zstd")


def fleet(base, made, ending, files):
    place = base / f"fleet-{ending}-{files}"
    for number in range(files):
        vehicle = place / f"vehicle {number // DRIVES}"
        vehicle.mkdir(parents=True, exist_ok=True)
        os.link(made / f"{number % KINDS}.{ending}", vehicle / f"drive {number % DRIVES}.{ending}")
    return place


def screened(program, place, *more):
    """Seconds, peak memory [MB], vehicles and rows told."""
    begun = time.perf_counter()
    # A process begins with the memory of whoever started it: a small one in between starts small.
    words = ["/usr/bin/time", "-f", "%M", program, "screen", str(place), "--json", *more]
    run = subprocess.run(words, check=True, capture_output=True, text=True)
    seconds = time.perf_counter() - begun
    return seconds, int(run.stderr.splitlines()[-1]) / 1024, json.loads(run.stdout)


def line(**figures):
    print(json.dumps({key: round(value, 2) if isinstance(value, float) else value for key, value in figures.items()}), flush=True)


def port():
    """One that is free, as is the one after it."""
    while True:
        with socket.socket() as one, socket.socket() as next_one:
            one.bind(("127.0.0.1", 0))
            found = one.getsockname()[1]
            if found < 65_535 and next_one.connect_ex(("127.0.0.1", found + 1)) != 0:
                return found


def awaited(at):
    for _ in range(600):
        with socket.socket() as one:
            if one.connect_ex(("127.0.0.1", at)) == 0:
                return
        time.sleep(0.05)
    sys.exit(f"nobody listens at {at}")


def cluster(program, base, place):
    at, running = port(), []
    try:
        running.append(subprocess.Popen([program, "scheduler", "--listen", f"127.0.0.1:{at}"]))
        awaited(at)
        for number in range(2):
            own = port()
            words = ["--scheduler", f"127.0.0.1:{at}", "--listen", f"127.0.0.1:{own}", "--slots", "1", "--work", str(base / f"work {number}")]
            running.append(subprocess.Popen([program, "executor", *words]))
            awaited(own)
        return screened(program, place, "--cluster", f"127.0.0.1:{at}")
    finally:
        for one in running:
            one.kill()
            one.wait()


def main(program):
    base = Path(tempfile.mkdtemp(prefix="halfsplit-bench-"))
    try:
        narrow, wide, short = base / "narrow", base / "wide", base / "short"
        for folder in (narrow, wide, short):
            folder.mkdir()
            for seed in range(KINDS):
                written(recording(seed, folder is wide, SHORT if folder is short else ROWS), folder, seed)
        for name, made in (("6 columns", narrow), ("41 columns", wide)):
            for ending, files in (("csv", 80), ("parquet", 400)):
                seconds, memory, told = screened(program, fleet(base / name, made, ending, files), "--threads", "2")
                rows = sum(vehicle["rows"] for vehicle in told["vehicles"])
                assert rows == files * ROWS, rows
                line(name=f"fleet screening, {ending}, {name}", million_rows_a_minute=rows / seconds * 60e-6, seconds=seconds, files=files, megabytes=memory)
        for files in (200, 2_000, 20_000):
            seconds, memory, _ = screened(program, fleet(base / "many", short, "parquet", files), "--threads", "2")
            line(name=f"fleet memory, {files} files of three minutes", megabytes=memory, seconds=seconds)
        for files in (20, 400):
            place = fleet(base / "cluster", narrow, "parquet", files)
            here, _, local = screened(program, place, "--threads", "2")
            there, _, far = cluster(program, base, place)
            assert local == far, "the cluster says something else"
            line(name=f"fleet cluster, {files} files", here_seconds=here, cluster_seconds=there, overhead_seconds=there - here)
    finally:
        shutil.rmtree(base)


if __name__ == "__main__":
    main(*sys.argv[1:])
