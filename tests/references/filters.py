"""Filter coefficients and responses from scipy, for tests/dsp/filter-prototype.test.ts and biquad.test.ts.

Run: /usr/bin/python3 tests/references/filters.py  (scipy 1.10.1, numpy 1.24); writes filters.json beside itself.
The shelf, peak and all-pass formulas are typed from the text of the W3C Note "Audio EQ Cookbook", 8 June 2021; their
digital forms use the cookbook's own w0/alpha formulas, not a bilinear transform, so that they are a second way there.
"""
import json
import pathlib

import numpy as np
import scipy
import scipy.signal as s

CASES = [
    (family, order, side, corner, rate)
    for family, orders in (("butterworth", range(1, 9)), ("bessel", range(1, 9)), ("linkwitz-riley", (2, 4, 6, 8)))
    for order in orders
    for side, corner, rate in (("low-pass", 80, 48000), ("high-pass", 80, 48000), ("low-pass", 3000, 44100), ("high-pass", 6500, 44100))
]
FREQUENCIES = [20.0, 55.0, 80.0, 160.0, 997.0, 3000.0, 6500.0, 15000.0]


def design(family, order, side, corner, rate):
    btype = {"low-pass": "lowpass", "high-pass": "highpass"}[side]
    if family == "butterworth":
        return s.butter(order, corner, btype, fs=rate, output="zpk")
    if family == "bessel":
        return s.bessel(order, corner, btype, fs=rate, norm="mag", output="zpk")
    z, p, k = s.butter(order // 2, corner, btype, fs=rate, output="zpk")
    return np.tile(z, 2), np.tile(p, 2), k * k


def filter_case(family, order, side, corner, rate):
    z, p, k = design(family, order, side, corner, rate)
    _, h = s.sosfreqz(s.zpk2sos(z, p, k), worN=FREQUENCIES, fs=rate)
    # Denominator of each section: conjugate pairs and a real pole, as [a1, a2].
    poles = sorted((x for x in p if x.imag > 1e-9), key=lambda x: (abs(x), x.imag))
    sections = [[-2 * x.real, abs(x) ** 2] for x in poles]
    sections += [[-x.real, 0.0] for x in p if abs(x.imag) <= 1e-9]
    return dict(
        family=family, order=order, side=side, cornerHz=corner, sampleRateHz=rate,
        denominators=sections, gain=float(k), real=h.real.tolist(), imag=h.imag.tolist(),
    )


def cookbook(kind, gain_db, f0, q, rate):
    A = 10 ** (gain_db / 40)
    w0 = 2 * np.pi * f0 / rate
    c, alpha = np.cos(w0), np.sin(w0) / (2 * q)
    r = 2 * np.sqrt(A) * alpha
    if kind == "low shelf":
        b = [A * ((A + 1) - (A - 1) * c + r), 2 * A * ((A - 1) - (A + 1) * c), A * ((A + 1) - (A - 1) * c - r)]
        a = [(A + 1) + (A - 1) * c + r, -2 * ((A - 1) + (A + 1) * c), (A + 1) + (A - 1) * c - r]
    elif kind == "high shelf":
        b = [A * ((A + 1) + (A - 1) * c + r), -2 * A * ((A - 1) + (A + 1) * c), A * ((A + 1) + (A - 1) * c - r)]
        a = [(A + 1) - (A - 1) * c + r, 2 * ((A - 1) - (A + 1) * c), (A + 1) - (A - 1) * c - r]
    elif kind == "peak":
        b = [1 + alpha * A, -2 * c, 1 - alpha * A]
        a = [1 + alpha / A, -2 * c, 1 - alpha / A]
    else:
        b = [1 - alpha, -2 * c, 1 + alpha]
        a = [1 + alpha, -2 * c, 1 - alpha]
    b, a = np.array(b) / a[0], np.array(a) / a[0]
    _, h = s.freqz(b, a, worN=FREQUENCIES, fs=rate)
    return dict(
        kind=kind, gainDb=gain_db, cornerHz=f0, q=q, sampleRateHz=rate,
        b=b.tolist(), a=a.tolist(), real=h.real.tolist(), imag=h.imag.tolist(),
    )


result = dict(
    scipy=scipy.__version__,
    frequencyHz=FREQUENCIES,
    filters=[filter_case(*case) for case in CASES],
    cookbook=[
        cookbook(kind, gain, f0, q, rate)
        for kind in ("low shelf", "high shelf", "peak", "all-pass")
        for gain, f0, q, rate in ((6, 100, np.sqrt(0.5), 48000), (-19.1, 52, np.sqrt(0.5), 48000), (3, 8000, 2.0, 44100))
    ],
)
pathlib.Path(__file__).with_suffix(".json").write_text(json.dumps(result, indent=0) + "\n")
