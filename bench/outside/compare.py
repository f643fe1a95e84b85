"""Posteriors and times of weka's junction tree beside this project's inference, in one run.

Needs the Debian packages weka and default-jdk-headless, and build/bench with the target join_tree. Prints a table; with --write the
posteriors of weka go to weka.csv, which a test holds this project's inference to.
"""
import csv
import json
import pathlib
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).parent
PROJECT = HERE.parent.parent
JARS = "/usr/share/java/weka.jar:/usr/share/java/java-cup-0.11b.jar:/usr/share/java/java-cup-0.11b-runtime.jar"


def interchange_xml(network):
    """The network in the XML interchange format, tables with the last parent fastest, as in our own files."""
    lines = ['<?xml version="1.0"?>', '<BIF VERSION="0.3"><NETWORK><NAME>network</NAME>']
    for node in network["nodes"]:
        outcomes = "".join(f"<OUTCOME>{state}</OUTCOME>" for state in node["states"])
        lines.append(f'<VARIABLE TYPE="nature"><NAME>{node["name"]}</NAME>{outcomes}</VARIABLE>')
    for node in network["nodes"]:
        given = "".join(f"<GIVEN>{parent}</GIVEN>" for parent in node["parents"])
        table = " ".join(repr(float(value)) for row in node["table"] for value in row)
        lines.append(f'<DEFINITION><FOR>{node["name"]}</FOR>{given}<TABLE>{table}</TABLE></DEFINITION>')
    return "\n".join(lines + ["</NETWORK></BIF>"])


def questions():
    asked = {}
    with open(HERE / "questions.csv", newline="") as file:
        for row in csv.DictReader(file):
            asked.setdefault(row["network"], []).append(row["seen"])
    return asked


def ask_weka(folder, name, asked):
    network = json.loads((HERE / "networks" / f"{name}.json").read_text())
    path = folder / f"{name}.xml"
    path.write_text(interchange_xml(network))
    command = ["java", "-cp", f"{folder}:{JARS}", "Marginals", str(path), *asked]
    return [line.split(";") for line in subprocess.run(command, check=True, capture_output=True, text=True).stdout.splitlines()
            if line.count(";") >= 2]


def ask_ours(name, seen):
    """Posteriors, milliseconds, and the same of dlib's join tree (or nothing)."""
    report = PROJECT / "build/bench/bench/join_tree"
    output = subprocess.run([report, HERE / "networks" / f"{name}.json", "" if seen == "-" else seen], check=True, capture_output=True,
                            text=True).stdout.splitlines()
    rows = [line.split(";") for line in output]
    return ({(r[1], r[2]): float(r[3]) for r in rows if r[0] == "posterior"},
            next(float(r[1]) for r in rows if r[0] == "ours"), next((float(r[1]) for r in rows if r[0] == "dlib"), None))


def main():
    folder = pathlib.Path(tempfile.mkdtemp())
    subprocess.run(["javac", "-cp", JARS, "-d", folder, HERE / "Marginals.java"], check=True)
    reference = []
    print(f"{'network':<10} {'seen':<44} {'ours':>9} {'weka':>9} {'dlib':>10}   largest difference from weka")
    for name, asked in questions().items():
        lines = ask_weka(folder, name, asked)
        for seen in asked:
            theirs = {(line[1], line[2]): float(line[3]) for line in lines if line[0] == seen}
            weka_ms = next(float(line[2]) for line in lines if line[0] == "time" and line[1] == seen)
            ours, own_ms, dlib_ms = ask_ours(name, seen)
            away = max(abs(ours[key] - theirs[key]) for key in theirs)
            dlib_text = f"{dlib_ms:.3f} ms" if dlib_ms is not None else "-"
            print(f"{name:<10} {seen:<44} {own_ms:6.3f} ms {weka_ms:6.3f} ms {dlib_text:>10}   {away:.1e}")
            reference += [(name, seen, node, state, repr(value)) for (node, state), value in theirs.items()]
    if "--write" in sys.argv:
        with open(HERE / "weka.csv", "w", newline="") as file:
            file.write("# Posteriors by weka 3.6.14 (Debian 12), class MarginCalculator, of the networks and questions beside this file.\n")
            file.write("# Made by compare.py --write; nothing here comes from this project's own inference.\n")
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(("network", "seen", "node", "state", "probability"))
            writer.writerows(reference)


if __name__ == "__main__":
    main()
