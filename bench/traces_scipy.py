"""Relative compression of ten million samples: scipy.signal's filter, peaks and averaging beside `headjoint trace`, on one file.

usage: traces_scipy.py PATH_OF_HEADJOINT      needs python3-scipy
"""
import os, subprocess, sys, tempfile, time
import numpy as np
from scipy import signal
from scipy.io import wavfile

rate, count = 20000, 10_000_000
t = np.arange(count) / rate
angle = 9.4 * t
load = 120 + 80 * np.cos(2 * np.pi * angle) + 20 * np.cos(4 * np.pi * angle) - 15 * (np.floor(angle + 0.5) % 4 == 1)
load[: rate] = 0
noise = np.random.default_rng(1).normal(0, 4, count)
path = os.path.join(tempfile.mkdtemp(), "ten-million.wav")
wavfile.write(path, rate, ((load + noise) * 30).astype(np.int16))

start = time.perf_counter()
_, x = wavfile.read(path)
b, a = signal.butter(2, 47, fs=rate)
y = signal.filtfilt(b, a, x.astype(np.float32))
peaks, _ = signal.find_peaks(y, distance=int(0.6 * rate / 9.4))
whole = len(peaks) // 4 * 4
relative = y[peaks[:whole]].reshape(-1, 4).mean(axis=0)
print(f"scipy {time.perf_counter() - start:.3f} s  {relative / relative.max()}")

start = time.perf_counter()
subprocess.run([sys.argv[1], "trace", path, "--kind", "starter-current", "--cylinders", "4"], stdout=subprocess.DEVNULL)
print(f"headjoint, whole program {time.perf_counter() - start:.3f} s")
os.remove(path)
