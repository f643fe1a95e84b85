#!/usr/bin/env python3
"""The yardstick of the cranking cycle: the same equations marched by scipy's RK45, and both at equal accuracy in one run.

Usage: bench/cycle_yardstick.py [BENCH]   BENCH: build/bench/bench/leakage_bench; without it scipy's times alone are printed.
Needs scipy (Debian: python3-scipy). One closed cycle, 80 x 80 mm, ratio 10, 1 mm2, Woschni, 250 rpm.
"""
import json
import math
import subprocess
import sys
import time

try:
    from scipy.integrate import solve_ivp
except ImportError:
    sys.exit("skipped: scipy is not installed (apt-get install python3-scipy)")

BORE, STROKE, ROD, RATIO = 0.08, 0.08, 0.14, 10.0
R_GAS, GAMMA, AMBIENT, TEMPERATURE = 287.05, 1.4, 101325.0, 293.15
SPEED, AREA = 250 / 60, 1e-6
CRANK, PISTON = STROKE / 2, math.pi / 4 * BORE**2
DEAD = PISTON * STROKE / (RATIO - 1)
CLOSING = math.radians(-130)
TURNING = 2 * math.pi * SPEED
HEAT = 3.26 * BORE**-0.2 * (2.28 * 2 * STROKE * SPEED / 1e3) ** 0.8
CRITICAL = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1))
CHOKED = math.sqrt(GAMMA) * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)))


def volume(angle):
    sine, cosine = math.sin(angle), math.cos(angle)
    upright = math.sqrt(ROD**2 - (CRANK * sine) ** 2)
    travel = CRANK * (1 - cosine) + ROD - upright
    return DEAD + PISTON * travel, PISTON * CRANK * sine * (1 + CRANK * cosine / upright), 2 * PISTON + math.pi * BORE * (DEAD / PISTON + travel)


def psi(ratio):
    if ratio <= CRITICAL:
        return CHOKED
    if ratio > 0.999:
        return psi(0.999) * (1 - ratio) / 0.001
    return math.sqrt(2 * GAMMA / (GAMMA - 1) * (ratio ** (2 / GAMMA) - ratio ** ((GAMMA + 1) / GAMMA)))


def rates(angle, state):
    mass, temperature = state
    v, slope, wall = volume(angle)
    pressure = mass * R_GAS * temperature / v
    if pressure >= AMBIENT:
        out, upstream = AREA * pressure / math.sqrt(R_GAS * temperature) * psi(AMBIENT / pressure), temperature
    else:
        out, upstream = -AREA * AMBIENT / math.sqrt(R_GAS * TEMPERATURE) * psi(pressure / AMBIENT), TEMPERATURE
    heat = HEAT * pressure**0.8 * temperature**-0.55 * wall * (temperature - TEMPERATURE)
    cv = R_GAS / (GAMMA - 1)
    dmass = -out / TURNING
    energy = -pressure * slope - (heat + out * GAMMA * cv * upstream) / TURNING - cv * temperature * dmass
    return [dmass, energy / (mass * cv)]


def peak(tolerance):
    """Peak pressure by scipy: marched to just past the peak, its highest point on the dense output found by golden section."""
    start_volume = volume(CLOSING)[0]
    start = [AMBIENT * start_volume / (R_GAS * TEMPERATURE), TEMPERATURE]
    solution = solve_ivp(rates, (CLOSING, 0.0), start, method="RK45", rtol=tolerance, atol=[tolerance * start[0], tolerance * start[1]], dense_output=True)

    def pressure(angle):
        mass, temperature = solution.sol(angle)
        return mass * R_GAS * temperature / volume(angle)[0]

    low, high, golden = math.radians(-30), 0.0, (math.sqrt(5) - 1) / 2
    for _ in range(30):
        a, b = high - golden * (high - low), low + golden * (high - low)
        low, high = (a, high) if pressure(a) < pressure(b) else (low, b)
    return pressure((low + high) / 2)


def seconds(tolerance, repeats=15):
    times = []
    for _ in range(repeats):
        begin = time.perf_counter()
        peak(tolerance)
        times.append(time.perf_counter() - begin)
    return sorted(times)[repeats // 2]


def own_rows(bench):
    out = subprocess.run([bench, "--benchmark_filter=closed_cycle", "--benchmark_format=json"], capture_output=True, text=True, check=True).stdout
    return [(row["tolerance"], row["peak_error"], row["cpu_time"] * {"ns": 1e-9, "us": 1e-6, "ms": 1e-3}[row["time_unit"]]) for row in json.loads(out)["benchmarks"]]


def main():
    reference = peak(1e-12)
    print(f"peak by scipy RK45 at 1e-12: {reference / 1e5:.6f} bar absolute")
    theirs = []
    for tolerance in (1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9):
        theirs.append((tolerance, abs(peak(tolerance) / reference - 1), seconds(tolerance)))
    print(f"{'scipy rtol':>12} {'error':>9} {'ms':>9}")
    for tolerance, error, time_taken in theirs:
        print(f"{tolerance:12.0e} {error:9.1e} {time_taken * 1e3:9.3f}")
    if len(sys.argv) < 2:
        return
    print(f"{'own tolerance':>13} {'error':>9} {'ms':>9}   scipy at no better accuracy: ratio")
    for tolerance, error, time_taken in own_rows(sys.argv[1]):
        # Scipy's cheapest run that is at least as exact; at the end of its row its most exact one.
        matching = [row for row in theirs if row[1] <= max(error, 1e-7)] or [min(theirs, key=lambda row: row[1])]
        best = min(matching, key=lambda row: row[2])
        print(f"{tolerance:13.0e} {error:9.1e} {time_taken * 1e3:9.4f}   {best[2] * 1e3:.3f} ms ({best[0]:.0e}): {best[2] / time_taken:.0f} times")


main()
