#!/usr/bin/env python3
"""Minimum zone of the same points by faces_bench and by scipy's quickest general route, one after the other on one core.

scipy: convex hull of the points (heights stretched), then a linear programme on its corners, as minimise h with
0 <= z - a x - b y - c <= h; and the plain linear programme on all points. Prints milliseconds, the ratio, and both figures, which must agree.

Usage: bench/faces_beside_scipy.py build/bench/bench/faces_bench
"""
import json
import os
import subprocess
import sys
import time

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
    os.environ.setdefault(name, "1")
import numpy as np
from scipy.optimize import linprog
from scipy.spatial import ConvexHull


def scattered_face(count):
    """The points of scattered_face in faces_bench.cc."""
    k = np.arange(count, dtype=float)
    x = 420 * np.modf(0.6180339887498949 * k)[0]
    y = 180 * np.modf(0.7548776662466927 * k)[0]
    z = 0.03 * np.sin(12.9898 * k) + 0.05 * (x / 420 - 0.5) ** 2 + 0.0001 * x
    return np.column_stack([x, y, z])


def programme(points):
    low, span = points.min(axis=0), np.ptp(points, axis=0)
    p = (points - low) / span
    n = len(p)
    under = np.column_stack([p[:, 0], p[:, 1], np.ones(n), np.zeros(n)])
    over = np.column_stack([-p[:, 0], -p[:, 1], -np.ones(n), -np.ones(n)])
    rows = np.vstack([under, over])
    right = np.concatenate([p[:, 2], -p[:, 2]])
    found = linprog([0, 0, 0, 1], A_ub=rows, b_ub=right, bounds=[(None, None)] * 3 + [(0, None)], method="highs")
    a, b = found.x[0] * span[2] / span[0], found.x[1] * span[2] / span[1]
    return found.fun * span[2] / np.sqrt(1 + a * a + b * b)


def by_hull(points):
    span = np.ptp(points, axis=0)
    return programme(points[ConvexHull(points / span).vertices])


def milliseconds(run, points, times):
    best, value = float("inf"), None
    for _ in range(times):
        start = time.perf_counter()
        value = run(points)
        best = min(best, time.perf_counter() - start)
    return 1000 * best, value


def ours(bench):
    text = subprocess.run([bench, "--benchmark_filter=^minimum_zone/", "--benchmark_format=json", "--benchmark_min_time=0.3"],
                          check=True, capture_output=True, text=True).stdout
    return {int(b["name"].split("/")[1]): (b["real_time"], b["flatness_mm"]) for b in json.loads(text)["benchmarks"]}


def main():
    figures = ours(sys.argv[1])
    print(f"{'points':>9} {'headjoint ms':>13} {'hull + LP ms':>13} {'times':>7} {'plain LP ms':>12} {'flatness mm':>12} {'difference':>11}")
    for count, times, plain in ((10_000, 9, True), (1_000_000, 3, False)):
        points = scattered_face(count)
        hull_ms, hull_value = milliseconds(by_hull, points, times)
        plain_ms = milliseconds(programme, points, 1)[0] if plain else float("nan")
        our_ms, our_value = figures[count]
        print(f"{count:9d} {our_ms:13.3f} {hull_ms:13.2f} {hull_ms / our_ms:7.1f} {plain_ms:12.1f} {our_value:12.7f} {our_value - hull_value:11.1e}")


if __name__ == "__main__":
    main()
