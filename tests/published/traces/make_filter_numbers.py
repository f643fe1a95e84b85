"""Writes filter_numbers.csv: a made-up signal and what scipy 1.10.1 makes of it. Needs python3-scipy."""
import numpy as np
from scipy import signal

rate, cutoff = 2000.0, 45.0
t = np.arange(200) / rate
x = np.float32(120 + 60 * np.sin(2 * np.pi * 9.3 * t) + 8 * np.sin(2 * np.pi * 310 * t + 0.4) + 30 * t)
b, a = signal.butter(2, cutoff, fs=rate)
y = signal.filtfilt(b, a, x.astype(float))
with open("filter_numbers.csv", "w") as out:
    out.write("# scipy.signal.butter(2, 45, fs=2000), filtfilt with its usual ends; written by make_filter_numbers.py\n")
    out.write("x,filtered\n")
    for xi, yi in zip(x, y):
        out.write(f"{float(xi)!r},{float(yi)!r}\n")
