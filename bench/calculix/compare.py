#!/usr/bin/env python3
"""A slab on a foundation that only pushes, once as a solid in CalculiX (Debian package calculix-ccx), once as our plate.

Writes the decks, runs ccx, reads movement, contact force and contact area, runs bench/clamp_bench on the same slab and prints a table.
The base is larger than the slab on every side: a base that just covers it loses contact area without a word; the printed area shows it.
Usage: bench/calculix/compare.py [build/bench/bench/clamp_bench]
"""
import json, os, re, subprocess, sys, tempfile, time

LENGTH, WIDTH, THICKNESS, CELL = 300, 120, 15, 10
MODULUS, POISSON, FORCE, WASHER = 72e3, 0.33, 20e3, 20  # square of 20 mm under every bolt
CASES = {
    0: {"name": "four bolts, closed", "foundation": 5, "bolts": [(50, 30), (250, 30), (50, 90), (250, 90)]},
    1: {"name": "one bolt, ends lift off", "foundation": 60, "bolts": [(150, 60)]},
}


def solid_mesh(x0, y0, z0, nx, ny, nz, dx, dy, dz, first_node, first_element):
    """Quadratic bricks (20 nodes). Returns nodes {number: xyz}, elements {number: nodes}, and the element at (i, j, k)."""
    numbers, nodes, elements, at = {}, {}, {}, {}

    def node(i, j, k):  # half-step indices
        if (i, j, k) not in numbers:
            numbers[i, j, k] = first_node + len(numbers)
            nodes[numbers[i, j, k]] = (x0 + i * dx / 2, y0 + j * dy / 2, z0 + k * dz / 2)
        return numbers[i, j, k]

    corner = [(0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 0), (0, 0, 2), (2, 0, 2), (2, 2, 2), (0, 2, 2)]
    middle = [(1, 0, 0), (2, 1, 0), (1, 2, 0), (0, 1, 0), (1, 0, 2), (2, 1, 2), (1, 2, 2), (0, 1, 2), (0, 0, 1), (2, 0, 1), (2, 2, 1), (0, 2, 1)]
    for k in range(nz):
        for j in range(ny):
            for i in range(nx):
                number = first_element + len(elements)
                elements[number] = [node(2 * i + a, 2 * j + b, 2 * k + c) for a, b, c in corner + middle]
                at[i, j, k] = number
    return nodes, elements, at


def deck(case):
    nx, ny, nz = LENGTH // CELL, WIDTH // CELL, 2
    nodes, elements, at = solid_mesh(0, 0, 0, nx, ny, nz, CELL, CELL, THICKNESS / nz, 1, 1)
    over = 30
    base_nodes, base_elements, base_at = solid_mesh(-over, -over, -10, 8, 4, 1, (LENGTH + 2 * over) / 8, (WIDTH + 2 * over) / 4, 10, len(nodes) + 1, len(elements) + 1)
    lines = ["*NODE, NSET=ALL"]
    for group in (nodes, base_nodes):
        lines += [f"{n},{x:.6f},{y:.6f},{z:.6f}" for n, (x, y, z) in group.items()]

    def element_lines(group, name):
        result = [f"*ELEMENT, TYPE=C3D20R, ELSET={name}"]
        for number, corners in group.items():
            result += [f"{number}," + ",".join(map(str, corners[:10])) + ",", ",".join(map(str, corners[10:]))]
        return result

    lines += element_lines(elements, "SLAB") + element_lines(base_elements, "BASE")
    lines += ["*NSET, NSET=FIXED"] + [f"{n}," for n in base_nodes]
    # The slab may not slide or turn away: three nodes of its lower face hold x and y.
    find = {tuple(round(v, 3) for v in p): n for n, p in nodes.items()}
    left, right = find[0, WIDTH / 2, 0], find[LENGTH, WIDTH / 2, 0]
    lines += ["*SURFACE, NAME=LOWER, TYPE=ELEMENT"] + [f"{at[i, j, 0]}, S1" for j in range(ny) for i in range(nx)]
    lines += ["*SURFACE, NAME=DECK, TYPE=ELEMENT"] + [f"{e}, S2" for e in base_elements]
    lines += ["*MATERIAL, NAME=METAL", "*ELASTIC", f"{MODULUS},{POISSON}", "*SOLID SECTION, ELSET=SLAB, MATERIAL=METAL", "*SOLID SECTION, ELSET=BASE, MATERIAL=METAL"]
    lines += ["*SURFACE INTERACTION, NAME=GASKET", "*SURFACE BEHAVIOR, PRESSURE-OVERCLOSURE=LINEAR", f"{case['foundation']},1e-9,1e-6"]
    lines += ["*CONTACT PAIR, INTERACTION=GASKET, TYPE=SURFACE TO SURFACE", "LOWER, DECK"]
    lines += ["*BOUNDARY", "FIXED,1,3", f"{left},1,2", f"{right},2,2"]
    lines += ["*STEP, NLGEOM=NO, INC=200", "*STATIC", "0.25,1.0,1e-4,0.25", "*DLOAD"]
    for x, y in case["bolts"]:
        for i in range((x - WASHER // 2) // CELL, (x + WASHER // 2) // CELL):
            for j in range((y - WASHER // 2) // CELL, (y + WASHER // 2) // CELL):
                lines.append(f"{at[i, j, nz - 1]}, P2, {FORCE / WASHER / WASHER}")
    bolt = case["bolts"][0]
    # Read in the middle plane: what a plate's movement means. Under the bolt: 3 x 3 nodes, weighted 1 2 1 each way.
    spots = {"bolt": {(bolt[0] + CELL * i, bolt[1] + CELL * j): (2 - abs(i)) * (2 - abs(j)) / 16 for i in (-1, 0, 1) for j in (-1, 0, 1)},
             "centre": {(LENGTH / 2, WIDTH / 2): 1}, "corner": {(0, 0): 1}}
    weights = {}
    for name, places in spots.items():
        weights[name] = {find[x, y, round(THICKNESS / 2, 3)]: share for (x, y), share in places.items()}
        lines += [f"*NSET, NSET={name.upper()}"] + [f"{node}," for node in weights[name]]
        lines += [f"*NODE PRINT, NSET={name.upper()}, FREQUENCY=999", "U"]
    lines += ["*CONTACT PRINT, SLAVE=LOWER, MASTER=DECK, FREQUENCY=999", "CF", "*END STEP"]
    return "\n".join(lines) + "\n", 3 * len(nodes), weights


def run_ccx(case, folder):
    text, unknowns, weights = deck(case)
    with open(os.path.join(folder, "slab.inp"), "w") as file:
        file.write(text)
    start = time.time()
    log = subprocess.run(["ccx", "slab"], cwd=folder, capture_output=True, text=True, env=dict(os.environ, OMP_NUM_THREADS="1"))
    seconds = time.time() - start
    with open(os.path.join(folder, "slab.dat")) as file:
        data = file.read()
    if "displacements" not in data:
        sys.exit("ccx gave no answer:\n" + log.stdout[-2000:])
    result = {"seconds": seconds, "unknowns": unknowns}
    number = r"[-+]?\d\.\d+E[-+]\d+"
    for name, shares in weights.items():
        block = re.findall(rf"displacements [^\n]*set {name.upper()} [^\n]*\n\n((?:\s+\d+(?:\s+{number}){{3}}\n?)+)", data)[-1]
        rows = [line.split() for line in block.strip().splitlines()]
        result[name + "_um"] = -1e3 * sum(shares[int(row[0])] * float(row[3]) for row in rows)
    blocks = re.findall(rf"area,\s+normal force.*?\n\n((?:\s*{number})+)", data)
    values = [float(v) for v in blocks[-1].split()]
    result["touching_mm2"], result["reaction_N"] = values[0], abs(values[1])
    return result


def main():
    bench = sys.argv[1] if len(sys.argv) > 1 else "build/bench/bench/clamp_bench"
    ours = json.loads(subprocess.run([bench, "--benchmark_filter=calculix_slab", "--benchmark_format=json"], capture_output=True, text=True).stdout)
    print("| case | figure | CalculiX, solid | plate | plate / solid |\n|---|---|---|---|---|")
    for index, case in CASES.items():
        with tempfile.TemporaryDirectory() as folder:
            theirs = run_ccx(case, folder)
        mine = next(b for b in ours["benchmarks"] if b["name"].endswith(f"/{index}"))
        for key in ("bolt_um", "centre_um", "corner_um", "touching_mm2", "reaction_N"):
            print(f"| {case['name']} | {key} | {theirs[key]:.5g} | {mine[key]:.5g} | {mine[key] / theirs[key]:.4f} |")
        print(f"| {case['name']} | time | {theirs['seconds']:.2f} s, {theirs['unknowns']} unknowns | {mine['real_time']:.1f} ms, 4575 unknowns | |")


if __name__ == "__main__":
    main()
