"""A short invented drive as a Parquet file by pyarrow, and the same figures as a table beside it."""

from datetime import datetime, timedelta, timezone
from decimal import Decimal

import pyarrow
from common import FOLDER, write_csv
from pyarrow import parquet

SOURCE = "source: computed: pyarrow 26.0.1 wrote drive.parquet of these figures; an invented drive, simulated, of no vehicle"
ROWS = 150
BEGAN = datetime(2026, 5, 1, 8, 0, tzinfo=timezone.utc)


def main():
    rows = range(ROWS)
    times = [BEGAN + timedelta(milliseconds=100 * row) for row in rows]
    rpm = [0 if row < 20 else 220 if row < 30 else 850 + row % 7 for row in rows]
    coolant = [68 + 0.25 * row for row in rows]
    barometer = [None if row % 10 == 3 else 98.5 for row in rows]
    voltage = [Decimal("12.60") if row < 20 else Decimal("9.85") if row < 30 else Decimal("14.20") for row in rows]
    intake = ["98.5" if row < 20 else f"{40 + row % 3}.0" for row in rows]
    table = pyarrow.table(
        [
            pyarrow.array(times, pyarrow.timestamp("ms", tz="UTC")),
            pyarrow.array(rpm, pyarrow.int16()),
            pyarrow.array(coolant, pyarrow.float32()),
            pyarrow.array(barometer, pyarrow.float64()),
            pyarrow.array(voltage, pyarrow.decimal128(6, 2)),
            pyarrow.array(intake, pyarrow.string()).dictionary_encode(),
            pyarrow.array([row % 2 == 0 for row in rows], pyarrow.bool_()),
            pyarrow.array([[row] for row in rows], pyarrow.list_(pyarrow.int32())),
        ],
        pyarrow.schema(
            [
                pyarrow.field("timestamp", pyarrow.timestamp("ms", tz="UTC")),
                pyarrow.field("Engine RPM", pyarrow.int16()),
                pyarrow.field("Coolant temperature", pyarrow.float32(), metadata={"unit": "°F"}),
                pyarrow.field("Barometric pressure (kPa)", pyarrow.float64()),
                pyarrow.field("Control module voltage", pyarrow.decimal128(6, 2)),
                pyarrow.field("Intake manifold pressure [kPa]", pyarrow.dictionary(pyarrow.int32(), pyarrow.string())),
                pyarrow.field("brake", pyarrow.bool_()),
                pyarrow.field("raw", pyarrow.list_(pyarrow.int32())),
            ],
            metadata={"comment": "simulated: an invented drive"},
        ),
    )
    packed = {"timestamp": "zstd", "Engine RPM": "snappy", "Coolant temperature": "zstd", "Barometric pressure (kPa)": "none"}
    parquet.write_table(table, FOLDER / "drive.parquet", compression=packed, row_group_size=64)
    header = ["timestamp", "Engine RPM", "Coolant temperature (°F)", "Barometric pressure (kPa)", "Control module voltage", "Intake manifold pressure [kPa]", "brake"]
    clock = [time.strftime("%Y-%m-%dT%H:%M:%S.") + f"{time.microsecond // 1000:03}Z" for time in times]
    lines = zip(clock, rpm, coolant, barometer, (str(volt) for volt in voltage), intake, ("true" if row % 2 == 0 else "false" for row in rows))
    write_csv("drive_parquet.csv", SOURCE, header, lines)


if __name__ == "__main__":
    main()
