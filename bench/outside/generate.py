"""Writes the two random networks of bench/outside/networks. Same seeds, same files."""
import json
import pathlib
import random

FOLDER = pathlib.Path(__file__).parent / "networks"


def row(draw, states):
    """One row of a table: four decimals that sum to 1."""
    shares = [draw.randint(50, 2000) for _ in range(states)]
    tenths = [max(1, 10000 * share // sum(shares)) for share in shares]
    tenths[-1] = 10000 - sum(tenths[:-1])
    return [value / 10000 for value in tenths]


def write(name, seed, nodes, most_states, parents, window):
    draw = random.Random(seed)
    states, lines = [], []
    for node in range(nodes):
        states.append(draw.randint(2, most_states))
        earlier = range(max(0, node - window), node)
        chosen = sorted(draw.sample(earlier, min(draw.randint(1, parents), len(earlier)))) if node else []
        rows = 1
        for parent in chosen:
            rows *= states[parent]
        table = [row(draw, states[node]) for _ in range(rows)]
        lines.append("  " + json.dumps({"name": f"n{node}", "states": [f"s{s}" for s in range(states[node])],
                                        "parents": [f"n{parent}" for parent in chosen], "table": table}))
    (FOLDER / f"{name}.json").write_text('{"format": 1, "nodes": [\n' + ",\n".join(lines) + "\n]}\n")


write("random30", 30, nodes=30, most_states=2, parents=3, window=7)
write("random48", 48, nodes=48, most_states=4, parents=2, window=6)
