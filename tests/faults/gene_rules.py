# SPDX-License-Identifier: MIT
"""One gene: founders, what parents hand on, what is shown, and the numbers of one pair (DEFINITIONS 3 and 5)."""
import itertools

import numpy

SEXES = ("doe", "buck")


def founders(q, x_buck=False):
    return numpy.array([1 - q, q, 0.0]) if x_buck else numpy.array([(1 - q) ** 2, 2 * q * (1 - q), q * q])


def transmission(x_linked, sex):
    """T[s, d, k]."""
    t = numpy.zeros((3, 3, 3))
    for s, d in itertools.product(range(3), range(3)):
        b = d / 2
        if x_linked and sex == "buck":
            t[s, d] = [1 - b, b, 0]
        else:
            a = min(s, 1) if x_linked else s / 2
            t[s, d] = [(1 - a) * (1 - b), a * (1 - b) + b * (1 - a), a * b]
    return t


def shown_row(fault, sex, k):
    """Chance of each grade; a sex that is not scored shows nothing."""
    if sex not in fault.shown:
        row = [0.0] * len(fault.grades)
        row[fault.wanted] = 1.0
        return row
    rows = fault.shown[sex]
    return rows[min(k, len(rows) - 1)]


def unwanted(fault, sex):
    """P(shows an unwanted grade | copies)."""
    return numpy.array([1 - shown_row(fault, sex, k)[fault.wanted] for k in range(3)])


def risks(fault, x_linked, joint, litter):
    """The numbers of one entry of `faults` in `rank`, from the joint table of the parents."""
    out, p_mean = {"joint": joint.reshape(9), "grades": {}}, 0
    carriers = {}
    for sex in SEXES:
        t, bad = transmission(x_linked, sex), unwanted(fault, sex)
        kid = numpy.einsum("sd,sdk->k", joint, t)
        out["affected_" + sex] = kid @ bad
        carriers[sex] = kid[1] * (1 - bad[1]) + kid[2] * (1 - bad[2])
        out["grades"][sex] = [sum(kid[k] * shown_row(fault, sex, k)[g] for k in range(3)) for g in range(len(fault.grades))]
        p_mean = p_mean + t @ bad / 2
    out["affected"] = (out["affected_doe"] + out["affected_buck"]) / 2
    out["carrier_doe"], out["carrier_buck"] = carriers["doe"], carriers["buck"]
    out["carrier"] = (carriers["doe"] + carriers["buck"]) / 2
    out["any_in_litter"] = 1 - (joint * (1 - numpy.clip(p_mean, 0, 1)) ** litter).sum()
    points = []
    for p, w in sorted(zip(p_mean.reshape(9), joint.reshape(9))):
        if points and p - points[-1][0] <= 1e-12:
            points[-1][1] += w
        else:
            points.append([p, w])
    for name, level in (("affected_low", 0.05), ("affected_high", 0.95)):
        sums = numpy.cumsum([w for _, w in points])
        out[name] = next((p for (p, _), s in zip(points, sums) if s >= level - 1e-9), points[-1][0])
        out[name + "_unsure"] = any(abs(s - level) < 1e-7 for s in sums)
    return out
