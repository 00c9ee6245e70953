"""Responses of crossover filters, computed by scipy, for tests/findings/band.test.ts. Run: /usr/bin/python3 fit-filters.py"""
import json
import numpy as np
from scipy import signal

FREQUENCY_HZ = 1000 * 10 ** (np.arange(-320, 209, 4) / 160)


def design(family, order, side, corner_hz, rate_hz):
    digital = rate_hz is not None
    kind = {"low-pass": "low", "high-pass": "high"}[side]
    corner = corner_hz if digital else 2 * np.pi * corner_hz
    options = {"btype": kind, "analog": not digital, "output": "zpk"}
    if digital:
        options["fs"] = rate_hz
    if family == "bessel":
        zpk = signal.bessel(order, corner, norm="mag", **options)
    else:
        half = order // 2 if family == "linkwitz-riley" else order
        z, p, k = signal.butter(half, corner, **options)
        times = 2 if family == "linkwitz-riley" else 1
        zpk = (np.tile(z, times), np.tile(p, times), k**times)
    if digital:
        return signal.freqz_zpk(*zpk, worN=FREQUENCY_HZ, fs=rate_hz)[1]
    return signal.freqs_zpk(*zpk, worN=2 * np.pi * FREQUENCY_HZ)[1]


cases = []
prototypes = [("butterworth", n) for n in (1, 2, 3, 4, 8)] + [("linkwitz-riley", n) for n in (2, 4, 8)] + [("bessel", n) for n in (2, 3, 4)]
prototypes += [("butterworth", 5), ("butterworth", 6), ("linkwitz-riley", 6), ("bessel", 5)]
for index, (family, order) in enumerate(prototypes):
    for side in ("low-pass", "high-pass"):
        # Corners from 50 Hz to 4.5 kHz and all three kinds of processing, spread over the 30 cases.
        corner_hz = round(50 * 1.5 ** ((index * 7 + (side == "high-pass") * 5) % 12), 1)
        rate_hz = (48000, 44100, None)[(index + (side == "high-pass")) % 3]
        response = design(family, order, side, corner_hz, rate_hz)
        cases.append(
            {
                "family": family,
                "order": order,
                "side": side,
                "cornerHz": corner_hz,
                "sampleRateHz": rate_hz,
                "real": [float(f"{value:.12g}") for value in response.real],
                "imag": [float(f"{value:.12g}") for value in response.imag],
            }
        )

with open("fit-filters.json", "w") as out:
    json.dump({"everyGridPoint": 4, "cases": cases}, out)
