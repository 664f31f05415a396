"""Lives of parts: Weibull fits by two reliability libraries, grouped fits, quantiles of the beta and Student distributions."""

import numpy as np
from lifelines import WeibullFitter
from lifelines.datasets import load_waltons
from reliability.Datasets import automotive, mileage
from reliability.Fitters import Fit_Weibull_2P
from scipy import special, stats

from common import rounded, write_json

SOURCE = (
    "NIST/SEMATECH e-Handbook of Statistical Methods 8.4.1.3, data of 8.2.2.1 (page seen, its digits in `printed`; its "
    "log-likelihood is printed without the sign); lifelines 0.30.3 and reliability 0.9.0 for the other data sets and "
    "for every `computed`; SciPy 1.17.1 for the quantiles"
)
NIST_FAILED = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]


def fits(name, failed, censored, printed=None):
    """The fit of one data set by both libraries; ranges of `lifelines` on the plain scale become standard errors."""
    failed, censored = [float(t) for t in failed], [float(t) for t in censored]
    times = np.array(failed + censored)
    seen = np.array([1] * len(failed) + [0] * len(censored))
    life = WeibullFitter().fit(times, seen)
    summary = life.summary
    other = Fit_Weibull_2P(failures=failed, right_censored=censored or None, show_probability_plot=False, print_results=False)
    return {
        "name": name,
        "failed": failed,
        "censored": censored,
        "printed": printed,
        "computed": {
            "scale": life.lambda_,
            "shape": life.rho_,
            "log_likelihood": life.log_likelihood_,
            "scale_error": summary.loc["lambda_", "se(coef)"],
            "shape_error": summary.loc["rho_", "se(coef)"],
        },
        "other": {
            "scale": other.alpha,
            "shape": other.beta,
            "log_likelihood": other.loglik,
            "scale_range": [other.alpha_lower, other.alpha_upper],
            "shape_range": [other.beta_lower, other.beta_upper],
        },
    }


def grouped(name, failed, censored, edges):
    """Failures known to a class only, survivors to their own time: interval-censored maximum likelihood."""
    counts = np.histogram(failed, edges)[0]
    lower = [edges[i] for i, n in enumerate(counts) for _ in range(n)] + list(censored)
    upper = [edges[i + 1] for i, n in enumerate(counts) for _ in range(n)] + [np.inf] * len(censored)
    life = WeibullFitter().fit_interval_censoring(np.array(lower, float), np.array(upper, float))
    return {
        "name": name,
        "edges": [float(edge) for edge in edges],
        "failed": [int(n) for n in counts],
        "censored": [float(t) for t in censored],
        "scale": life.lambda_,
        "shape": life.rho_,
        "log_likelihood": life.log_likelihood_,
    }


def main():
    walton = load_waltons()
    dead, alive = (list(walton["T"][walton["E"] == seen]) for seen in (1, 0))
    sets = [
        fits("nist", NIST_FAILED, [500] * 10, {"scale": "606.5280", "shape": "1.7208", "log_likelihood": "75.135"}),
        fits("waltons", dead, alive),
        fits("automotive", automotive().failures, automotive().right_censored),
        fits("mileage", mileage().failures, []),
    ]
    classes = [
        grouped("nist", NIST_FAILED, [500] * 10, [0, 100, 200, 300, 400, 500]),
        grouped("mileage", mileage().failures, [], [0, 10000, 20000, 30000, 40000, 50000, 70000]),
    ]
    beta = [[a, b, p, float(stats.beta.ppf(p, a, b))] for a, b in ((0.5, 0.5), (1, 1), (2, 30), (0.02, 6), (300, 40), (7.3, 2.1)) for p in (0.05, 0.5, 0.95)]
    student = [[df, float(stats.t.ppf(0.95, df))] for df in (1, 4, 10, 37.5, 1000)]
    gamma = [[x, float(special.digamma(x)), float(special.polygamma(1, x))] for x in (0.1, 1.0, 1.7, 2.0, 9.5, 80.0)]
    content = {"sets": sets, "classes": classes, "beta_quantiles": beta, "student_95": student, "digamma_trigamma": gamma}
    write_json("lifetimes.json", SOURCE, rounded(content, 11))


if __name__ == "__main__":
    main()
