"""Sweeps by scipy.signal.chirp, which shares no code with this project. Run: /usr/bin/python3 sweep.py > sweep.json

chirp's phase is worked out with beta = T / ln(f1/f0): sin(2 pi beta f0 (f1/f0)^(t/T) - ...), starting at -90 degrees.
Samples are picked early, late, and in between; late ones have gone through 1e4 cycles and more.
"""
import json
import numpy as np
import scipy
import scipy.signal as s

cases = []
for f1, f2, seconds, rate in [(20, 20000, 10, 48000), (10, 20000, 6, 48000), (10, 20000, 6, 44100),
                              (10, 20000, 5, 48000), (10, 20000, 1.5, 48000)]:
    t = np.arange(int(seconds * rate)) / rate
    x = s.chirp(t, f0=f1, t1=seconds, f1=f2, method='logarithmic', phi=-90)
    at = np.unique(np.round(np.geomspace(1, len(t) - 1, 60)).astype(int))
    cases.append(dict(startHz=f1, endHz=f2, durationSeconds=seconds, sampleRateHz=rate,
                      samples=[[int(i), float(x[i])] for i in at]))
print(json.dumps(dict(madeWith=f'scipy {scipy.__version__}', cases=cases)))
