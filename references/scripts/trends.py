"""Trends in short rows of figures: Kendall's rank correlation with time and the slope of Theil and Sen, by SciPy."""

import numpy
from common import write_json
from scipy import stats

SOURCE = (
    "computed: SciPy 1.17.1, stats.kendalltau (exact where no two figures are equal and there are at most 60 of them, else "
    "asymptotic with its variance for ties, to which the continuity correction of Kendall 1948 is added here) and "
    "stats.theilslopes; invented figures of no vehicle"
)


def case(figures):
    figures = [round(float(figure), 6) for figure in figures]
    count = len(figures)
    time = numpy.arange(count)
    score = int(sum(numpy.sign(figures[j] - figures[i]) for i in range(count) for j in range(i + 1, count)))
    counted = len(set(figures)) == count and count <= 60
    if counted:
        rising = stats.kendalltau(time, figures, method="exact", alternative="greater").pvalue
        falling = stats.kendalltau(time, figures, method="exact", alternative="less").pvalue
    else:
        # SciPy's z is the score over its deviation; the deviation is what is wanted of it.
        plain = stats.kendalltau(time, figures, method="asymptotic", alternative="greater").pvalue
        deviation = score / stats.norm.isf(plain)
        rising = stats.norm.sf((score - 1) / deviation)
        falling = stats.norm.sf((-score - 1) / deviation)
    slope = stats.theilslopes(figures, time).slope
    return {"figures": figures, "counted": counted, "score": score, "rising": float(rising), "falling": float(falling), "slope": float(slope)}


def main():
    random = numpy.random.default_rng(20261127)
    # Neighbours that differ in turn, so that nothing is put down to their likeness.
    turned = lambda count: numpy.where(numpy.arange(count) % 2 == 0, 1.0, -1.0) * random.uniform(0.2, 1.0, count)
    cases = [
        case(0.02 * numpy.arange(count) * drift + turned(count))
        for count, drift in [(10, 0), (10, -5), (15, 3), (25, -1), (40, 2), (60, -1), (90, 0.5), (200, -0.2)]
    ]
    cases += [case(numpy.round(0.05 * numpy.arange(count) * drift + turned(count), 1)) for count, drift in [(12, 1), (30, -1), (80, 0.3)]]
    write_json("trends.json", SOURCE, {"cases": cases})


if __name__ == "__main__":
    main()
