"""Copper, meters and gauges: printed tables beside the closed forms."""

from common import INHG, hole, write_csv

RESISTIVITY = 1 / 58.0e6  # ohm m at 20 C: the International Annealed Copper Standard


def copper():
    printed = {10: ("0.9989", "1.21"), 12: ("1.588", "1.93"), 14: ("2.525", "3.07"), 16: ("4.016", "4.89"), 18: ("6.385", "7.77"), 20: ("10.15", None), 22: ("16.14", None), 4: ("0.2485", None)}
    rows = []
    for gauge in (4, 6, 8, 10, 12, 14, 16, 18, 20, 22):
        diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39)
        resistance = RESISTIVITY / hole(diameter)
        rows.append((gauge, diameter * 1e3, hole(diameter) * 1e6, resistance * 1e3, resistance * 304.8, *printed.get(gauge, (None, None)), resistance * 304.8 * (1 + 0.00393 * 55)))
    write_csv(
        "copper_awg.csv",
        """source: ASTM B258 diameters (formula from memory) with the International Annealed Copper Standard, 1/58 ohm mm2/m at 20 C; printed: ohm per 1000 ft at 20 C (two public tables, seen) and NEC chapter 9 table 8, solid uncoated, 75 C (seen)
        Columns without "printed" are computed.""",
        ("awg", "diameter_mm", "area_mm2", "milliohm_m_20c", "ohm_kft_20c", "printed_ohm_kft_20c", "printed_nec_ohm_kft_75c", "ohm_kft_75c"),
        rows,
    )
    sizes = "0.5 0.75 1 1.5 2.5 4 6 10 16 25 35 50".split()
    class_5 = "39.0 26.0 19.5 13.3 7.98 4.95 3.30 1.91 1.21 0.780 0.554 0.386".split()
    class_1_2 = "36.0 24.5 18.1 12.1 7.41 4.61 3.08 1.83 1.15 0.727 0.524 0.387".split()
    road = "37.1 24.7 18.5 12.7 7.60 4.71 3.14 1.82 1.16 0.743 0.527 0.368".split()
    write_csv(
        "copper_iec60228.csv",
        """source: IEC 60228, largest resistance at 20 C of plain copper conductors, class 5 and class 1/2 (seen, three pages agree); ISO 6722-1 column from memory, not checked
        The last column is computed: resistivity over nominal area, which the standard's figures exceed because strands are twisted and the area is nominal.""",
        ("area_mm2", "class5_ohm_km", "class1_2_ohm_km", "iso6722_ohm_km_memory", "pure_ohm_km"),
        [(size, a, b, c, RESISTIVITY / float(size) * 1e9) for size, a, b, c in zip(sizes, class_5, class_1_2, road)],
    )
    rows = [("IEC 60228 kt = 250/(230+t)", t, 250 / (230 + t), text) for t, text in ((30, "0.962"), (75, "0.820"), (100, "0.758"))]
    rows += [("R(t)/R(20), 0.00393 /K", t, 1 + 0.00393 * (t - 20), None) for t in (-40, -20, 60, 75, 90, 100, 120)]
    rows += [("R(t)/R(20), (234.5+t)/254.5", t, (234.5 + t) / 254.5, None) for t in (-40, -20, 60, 75, 90, 100, 120)]
    rows += [("14 ohm coil, (234.5+t)/254.5", t, 14 * (234.5 + t) / 254.5, None) for t in (-30, 80, 100, 120)]
    rows += [("14.6 ohm coil, 0.0039 /K", t, 14.6 * (1 + 0.0039 * (t - 20)), text) for t, text in ((-20, "12.3"), (60, "16.9"), (90, "18.6"), (120, "20.3"))]
    write_csv(
        "copper_temperature.csv",
        """source: copper 0.00393 /K at 20 C and -234.5 C for zero resistance (seen in two engineering texts); IEC 60228 correction factor (printed column seen); the rest computed by closed form
        The two rules for R(t)/R(20) differ by 0.003 % at 75 C; IEC's factor (0.004 /K) differs by 0.3 %. Printed coil values: common workshop figures to three digits.""",
        ("what", "celsius", "value", "printed"),
        rows,
    )


def meters():
    rows = [
        ("100.0 V, 1 % + 2", 100.0, 0.01, 2, 0.1, "98.8", "101.2", "seen"),
        ("2 V, 0.5 % + 3", 2.0, 0.005, 3, 0.001, "1.987", "2.013", "seen"),
        ("1.755 V, 0.5 % + 1", 1.755, 0.005, 1, 0.001, "1.745", "1.765", "seen (limit quoted as 0.010)"),
        ("12.60 V, 0.5 % + 2", 12.60, 0.005, 2, 0.01, None, None, "computed"),
        ("1.0 ohm, 1 % + 3", 1.0, 0.01, 3, 0.1, None, None, "computed"),
    ]
    write_csv(
        "meter_convention.csv",
        """source: how digital meters state accuracy, "+/- (per cent of reading + counts)": three worked examples seen in instrument makers' general explanations, two computed
        limit = share * reading + counts * count. These are limits, not standard deviations.""",
        ("what", "reading", "share", "counts", "count", "printed_low", "printed_high", "provenance", "limit"),
        [(*row, row[2] * row[1] + row[3] * row[4]) for row in rows],
    )


def gauges():
    """ASME grades give outer quarters and middle half; EN classes one figure. All in per cent of span."""
    rows = []
    asme = (("A", 2, 1, "seen in two halves"), ("B", 3, 2, "seen"), ("1A", 1, 1, "memory"), ("2A", 0.5, 0.5, "memory"), ("3A", 0.25, 0.25, "memory"), ("C", 4, 3, "memory"), ("D", 5, 5, "memory"))
    for grade, outer, middle, how in asme:
        rows.append(("ASME B40.100", grade, outer, middle, 30 * INHG, outer / 100 * 30, middle / 100 * 30, "inHg", how))
    for en_class in (0.1, 0.25, 0.6, 1, 1.6, 2.5, 4):
        rows.append(("EN 837-1", number_text(en_class), en_class, en_class, 10e5, en_class / 100 * 10, en_class / 100 * 10, "bar", "class list seen"))
    rows.append(("EN 837-1", "1", 1, 1, 6e5, 0.06, 0.06, "bar", "seen: -1 to +5 bar, span 6 bar"))
    write_csv(
        "gauge_classes.csv",
        """source: ASME B40.100 (grades; outer quarters and middle half of the span) and EN 837-1:1996 table 11 (classes); the last column says which figures were seen as text and which are from memory
        Grade A is 2-1-2 here; the old ASA standard had 1.5 outside the middle. The limits are for a dial of the given span, in the unit named. Limits, not standard deviations.""",
        ("standard", "grade", "outer_percent", "middle_percent", "span_pa", "outer_limit", "middle_limit", "unit", "provenance"),
        rows,
    )


def number_text(value):
    return f"{value:g}"


if __name__ == "__main__":
    copper()
    meters()
    gauges()
