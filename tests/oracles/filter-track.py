"""Filters the left channel of a track by what ngspice's .ac analysis wrote, one tap a channel.

python3 filter-track.py TRACK.wav AC.txt OUT.wav GAIN
"""

import sys

import numpy as np
from scipy.io import wavfile
from scipy.signal import fftconvolve

track_file, ac_file, out_file, gain = sys.argv[1:]
rate, track = wavfile.read(track_file)
left = track[:, 0] / 32768
table = np.loadtxt(ac_file, skiprows=1)
rng = np.random.default_rng(1)
channels = []
for tap in range(2):
    # wrdata: frequency, real and imaginary part for each vector; 1 Hz apart, so that an impulse response lasts a second.
    response = table[:, 3 * tap + 1] + 1j * table[:, 3 * tap + 2]
    spectrum = np.concatenate([[response[0].real], response])
    impulse = np.fft.irfft(spectrum, rate)
    # What rings before time zero (the band ends at 24 kHz) wraps round to the end: turn it back.
    impulse = np.roll(impulse, 4800)
    channels.append(fftconvolve(np.concatenate([np.zeros(rate), left, np.zeros(rate)]), impulse))
sound = float(gain) * np.stack(channels, axis=1)
sound += 1e-6 * rng.standard_normal(sound.shape)
wavfile.write(out_file, rate, np.round(sound * 2**31).astype(np.int32))
