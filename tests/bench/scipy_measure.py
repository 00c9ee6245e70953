#!/usr/bin/env python3
"""The measurements of `steptone analyse` in plain scipy, for `npm run bench`: reads every recording of a folder and, for
each tap and setting, divides the five sweeps, smooths the responses, fits the three ladders and estimates the noise.

Vectorised as a practised user of scipy would write it; takes are found by correlation at a low rate. Prints, as JSON, what
the process used and the levels of the main sweeps at a few frequencies, which `npm run bench` holds against the truth.

usage: scipy_measure.py <folder of recordings> <track.json>
"""
import json
import re
import resource
import sys
import time
from pathlib import Path

import numpy as np
from scipy import fft, signal
from scipy.io import wavfile

STARTED = time.perf_counter()
LEAD_SECONDS, TAIL_SECONDS = 0.2, 0.25
GRID_HZ = 1000 * 10 ** (np.arange(-320, 209) / 160)
LEVELS_HZ = [40, 80, 1000, 5000]  # no mains lines


def sweep(of, rate, seconds):
    length = of["durationSeconds"] / np.log(of["endHz"] / of["startHz"])
    inside = (seconds >= 0) & (seconds < of["durationSeconds"])
    up = np.clip(seconds / of["fadeInSeconds"], 0, 1)
    down = np.clip((of["durationSeconds"] - seconds) / of["fadeOutSeconds"], 0, 1)
    ends = 0.25 * (1 - np.cos(np.pi * up)) * (1 - np.cos(np.pi * down))
    return inside * ends * np.sin(2 * np.pi * of["startHz"] * length * np.expm1(seconds / length))


class SweepPlan:
    """Stimulus spectrum and smoothing kernels of one sweep, made once."""

    def __init__(self, section, rate):
        self.section = section
        self.count = round((LEAD_SECONDS + section["durationSeconds"] + TAIL_SECONDS) * rate)
        self.size = fft.next_fast_len(self.count, real=True)
        seconds = np.arange(self.count) / rate - LEAD_SECONDS
        drive = 10 ** (section["driveDbFs"] / 20)
        self.stimulus = fft.rfft(drive * sweep(section["sweep"], rate, seconds), self.size)
        self.power = np.abs(self.stimulus) ** 2
        self.bin_hz = rate / self.size
        last = min(self.size // 2 - 1, int(section["sweep"]["endHz"] / self.bin_hz))
        self.kernels = []
        for hz in GRID_HZ:
            sigma = 1 / (2 * np.pi * np.clip(5 / hz, 0.003, 0.2) * self.bin_hz)
            centre = hz / self.bin_hz
            bins = np.arange(max(1, int(np.ceil(centre - 4.5 * sigma))), min(last, int(centre + 4.5 * sigma)) + 1)
            u = (bins - centre) / sigma
            weights = (1.5 - 0.5 * u * u) * np.exp(-0.5 * u * u)
            self.kernels.append((bins[0], bins[-1] + 1, weights, weights @ self.power[bins]))
        half = np.clip(5 / GRID_HZ, 0.003, 0.2) * 2 * np.pi * self.bin_hz / 1.5
        width = np.maximum(24, np.round(1 / half).astype(int))
        centre = np.round(GRID_HZ / self.bin_hz).astype(int)
        self.low, self.high = np.maximum(1, centre - width), np.minimum(self.size // 2 - 1, centre + width)
        fade = round(0.02 * rate)
        self.fade = 0.5 * (1 - np.cos(np.pi * (np.arange(fade) + 0.5) / fade))

    def response(self, samples):
        samples = samples - samples.mean()
        samples[: len(self.fade)] *= self.fade
        samples[-len(self.fade) :] *= self.fade[::-1]
        cross = fft.rfft(samples, self.size) * np.conj(self.stimulus)
        smoothed = np.array([weights @ cross[a:b] / total for a, b, weights, total in self.kernels])
        jumps = np.zeros(len(cross))
        quotient = cross[1:-1] / self.power[1:-1]
        jumps[2:-2] = np.abs(np.diff(quotient, 2)) ** 2 * self.power[2:-2]
        return smoothed, self.noise_beside(jumps)

    def noise_beside(self, jumps):
        running = np.cumsum(jumps)
        return np.sqrt((running[self.high] - running[self.low]) / (self.high - self.low))


def exact_start(samples, at, of, rate):
    """First sample of a sweep that was found at a low rate, from the envelope of the correlation at the full one."""
    reach, count = 64, round(of["durationSeconds"] * rate)
    part = samples[max(0, at - reach) : at + count + reach]
    size = fft.next_fast_len(len(part), real=True)
    cross = fft.rfft(part, size) * np.conj(fft.rfft(sweep(of, rate, np.arange(count) / rate), size))
    envelope = np.abs(fft.ifft(cross, size)[: 2 * reach])
    return max(0, at - reach) + envelope.argmax()


def ladder_basis(section, rate):
    count = round(section["cyclesUsed"] / section["toneHz"] * rate)
    harmonics = min(10, int(0.45 * rate / section["toneHz"]))
    phase = 2 * np.pi * section["toneHz"] / rate * np.outer(np.arange(1, harmonics + 1), np.arange(count))
    basis = np.vstack([np.ones(count), np.cos(phase), np.sin(phase)]).T
    return np.linalg.pinv(basis), basis, harmonics


def ladder(samples, start, section, rate, fitter):
    inverse, basis, harmonics = fitter
    step = section["cyclesPerStep"] / section["toneHz"]
    settling = (section["cyclesPerStep"] - section["cyclesUsed"]) / section["toneHz"] - 0.004
    rows = []
    for i in range(len(section["driveDbFs"])):
        at = start + round((i * step + settling) * rate)
        part = samples[at : at + inverse.shape[1]]
        fit = inverse @ part
        size = np.hypot(fit[1 : harmonics + 1], fit[harmonics + 1 :])
        rows.append((size[0], np.sqrt(np.sum(size[1:] ** 2)) / size[0], np.var(part - basis @ fit), np.abs(part).max()))
    return rows


def noise(samples, rate, window):
    size = len(window)
    power = np.abs(fft.rfft(samples[:size] * window)) ** 2 / (0.35875 * size) ** 2 / 2.00435 * 2
    hz = np.arange(len(power)) * rate / size
    band = (hz >= 20) & (hz <= 20000)
    f2 = hz[band] ** 2
    weight = 12194.217**2 * f2**2 / ((f2 + 20.598997**2) * np.sqrt((f2 + 107.65265**2) * (f2 + 737.86223**2)) * (f2 + 12194.217**2))
    blocks = power[band][: band.sum() // 64 * 64].reshape(-1, 64)
    lines = np.argwhere(blocks > 31.6 * np.median(blocks, axis=1, keepdims=True))
    return power[band].sum(), (power[band] * weight**2).sum(), len(lines)


def report(results):
    """Prints what the process used, its own peak memory, and the larger of both sides' levels at LEVELS_HZ."""
    places = [np.abs(np.log(GRID_HZ / hz)).argmin() for hz in LEVELS_HZ]
    levels = [
        [name, c, [float(max(abs(responses[f"sweep {side}"][0][p]) for side in ("left", "right"))) for p in places]]
        for name, c, responses, *_ in results
    ]
    used = resource.getrusage(resource.RUSAGE_SELF)
    # Linux hands ru_maxrss on to children: the process's own peak stands in its status.
    own = re.search(r"VmHWM:\s+(\d+)", Path("/proc/self/status").read_text())
    usage = {
        "wallSeconds": time.perf_counter() - STARTED,
        "cpuSeconds": used.ru_utime + used.ru_stime,
        "peakMegabytes": int(own[1]) / 1024,
        "levelsHz": LEVELS_HZ,
        "levels": levels,
    }
    print(json.dumps(usage))


def main():
    folder, track_file = Path(sys.argv[1]), Path(sys.argv[2])
    sections = {section["id"]: section for section in json.loads(track_file.read_text())["sections"]}
    plans, fitters, results = {}, {}, []
    for name in sorted(folder.glob("setting-*.wav")):
        rate, data = wavfile.read(name)
        data = data.astype(np.float64) / 2**31
        if not plans:
            plans = {i: SweepPlan(s, rate) for i, s in sections.items() if s["kind"] == "sweep"}
            fitters = {i: ladder_basis(s, rate) for i, s in sections.items() if s["kind"] == "ladder"}
            window = signal.windows.blackmanharris(2**17, sym=False)
            low = signal.resample_poly(sweep(sections["sweep left"]["sweep"], rate, np.arange(6 * rate) / rate), 1, 18)
        slow = signal.resample_poly(data, 1, 18, axis=0)
        # Where one channel hears one side only, the first main sweep or the second is the one that it hears.
        starts = []
        for c, channel in enumerate(slow.T):
            likeness = np.abs(signal.hilbert(signal.correlate(channel, low, "valid", method="fft")))
            starts.append((likeness.max(), likeness.argmax() * 18, c))
        size, at, c = min((one for one in starts if one[0] > 0.2 * max(starts)[0]), key=lambda one: one[1])
        at = exact_start(data[:, c], at, sections["sweep left"]["sweep"], rate)
        start = at - round(sections["sweep left"]["startSeconds"] * rate)
        for c, samples in enumerate(data.T):
            peak, offset = np.abs(samples).max(), samples.mean()
            responses = {}
            for i, plan in plans.items():
                first = start + round((plan.section["startSeconds"] - LEAD_SECONDS) * rate)
                responses[i] = plan.response(samples[first : first + plan.count].copy())
            ladders = [
                ladder(samples, start + round(sections[i]["startSeconds"] * rate), sections[i], rate, fitter)
                for i, fitter in fitters.items()
            ]
            noises = [
                noise(samples[start + round((sections[i]["startSeconds"] + 0.45) * rate) :], rate, window)
                for i in ("quiet tone", "silence")
            ]
            results.append((name.name, c, responses, ladders, noises, peak, offset))
    report(results)


if __name__ == "__main__":
    main()
