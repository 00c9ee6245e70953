"""Sends a track through the transfer curve that ngspice's .dc analysis wrote, at several gains before it.

python3 bend-track.py TRACK.wav DC.txt FULL_SCALE_VOLTS_PEAK OUT-%s.wav SETTING=VOLTS ...

VOLTS is the peak at the stage's input for a full-scale sine of the track.
"""

import sys

import numpy as np
from scipy.io import wavfile

track_file, dc_file, full_scale, pattern, *settings = sys.argv[1:]
rate, track = wavfile.read(track_file)
left = np.concatenate([np.zeros(rate), track[:, 0] / 32768, np.zeros(rate)])
volts_in, volts_out = np.loadtxt(dc_file).T
rng = np.random.default_rng(2)
for setting, volts in (entry.split("=") for entry in settings):
    out = np.interp(float(volts) * left, volts_in, volts_out) / float(full_scale)
    out += 2e-5 * rng.standard_normal(out.shape)
    wavfile.write(pattern % setting, rate, np.round(out * 2**31).astype(np.int32))
