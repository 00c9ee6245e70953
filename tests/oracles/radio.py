"""A radio in scipy: bass taken away by a high-pass whose corner climbs with the volume, and a second tap late and inverted.

python3 radio.py TRACK.wav OUT-%s.wav; prints, as JSON, the bass change at each setting and the delay.
"""

import json
import sys

import numpy as np
from scipy import fft, signal
from scipy.io import wavfile

track_file, pattern = sys.argv[1:]
CORNER_HZ = {10: 0, 14: 0, 18: 0, 22: 55, 26: 95}
BASS_HZ = [40, 63, 80, 100]
DELAY_SECONDS = 1.2345e-3

rate, track = wavfile.read(track_file)
left, right = (np.concatenate([np.zeros(rate), side / 32768, np.zeros(rate)]) for side in track.T)
rng = np.random.default_rng(3)


def high_pass(corner):
    return signal.butter(3, corner, "highpass", fs=rate, output="sos")


def late(samples):
    """A delay of any length, as a turn of the phase."""
    size = fft.next_fast_len(len(samples) + rate)
    hz = np.fft.rfftfreq(size, 1 / rate)
    return np.fft.irfft(np.fft.rfft(samples, size) * np.exp(-2j * np.pi * hz * DELAY_SECONDS), size)[: len(samples)]


changes = {}
for setting, corner in CORNER_HZ.items():
    gain = 10 ** ((setting - 30) / 20)
    taps = [left, -late(right)]
    change = np.zeros(len(BASS_HZ))
    if corner > 0:
        taps = [signal.sosfilt(high_pass(corner), tap) for tap in taps]
        change = 20 * np.log10(np.abs(signal.sosfreqz(high_pass(corner), BASS_HZ, fs=rate)[1]))
    changes[setting] = change.tolist()
    sound = gain * np.stack(taps, axis=1)
    sound += gain * 1e-3 / np.sqrt(2) * rng.standard_normal(sound.shape)
    wavfile.write(pattern % setting, rate, np.round(np.clip(sound, -1, 1) * 0.999 * 2**31).astype(np.int32))

print(json.dumps({"changesDb": changes, "delaySeconds": DELAY_SECONDS}))
