#!/usr/bin/env python3
"""People at the workbench, for bench/load: fill a store, look at it alone, write at the same time as others."""
import http.client
import json
import sys
import threading
import time
import urllib.parse

TITLES = ["boils over on the motorway", "runs hot in traffic", "white smoke after a night", "no power uphill", "coolant gone, no puddle"]
OWNERS = ["Edda Vosk", "Jürgen Müller", "Ines Tarrow", "B. Climb", "Ødegaard & Sons"]


class Person:
    """One connection that is kept open."""

    def __init__(self, address):
        parts = urllib.parse.urlsplit(address)
        self.connection = http.client.HTTPConnection(parts.hostname, parts.port, timeout=20)

    def ask(self, method, path, body=None, headers=None):
        text = None if body is None else json.dumps(body)
        given = {"Content-Type": "application/json", **(headers or {})} if body is not None else dict(headers or {})
        self.connection.request(method, path, text, given)
        response = self.connection.getresponse()
        return response.status, response.read()


def percentile(times, share):
    ordered = sorted(times)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] if ordered else float("nan")


def row(what, value, goal):
    print(f"{what:<52} {value:>10}   goal {goal}")


def fill(address, count):
    """Jobs like the first demo, each its own number; their ids on standard output."""
    person = Person(address)
    first = json.loads(person.ask("GET", "/api/v1/jobs")[1])["jobs"][0]["id"]
    document = json.loads(person.ask("GET", f"/api/v1/jobs/{first}")[1])["document"]
    print(first)
    ids, lock = [], threading.Lock()

    def some(start):
        mine = Person(address)
        for number in range(start, count, 8):
            job = {**document, "number": f"{number:05}", "title": TITLES[number % 5], "owner": OWNERS[number % 5]}
            status, answer = mine.ask("POST", "/api/v1/jobs", {"document": job})
            if status != 201:
                raise SystemExit(f"filling: {status} {answer[:200]}")
            with lock:
                ids.append(json.loads(answer)["id"])

    threads = [threading.Thread(target=some, args=(start,)) for start in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    print("\n".join(ids))


def look(address, ids):
    """One person, nobody else: the first view of a job and the search as typed."""
    person = Person(address)

    def timed(path):
        start = time.perf_counter()
        status, answer = person.ask("GET", path)
        assert status == 200, (path, status, answer[:200])
        return (time.perf_counter() - start) * 1000

    job = ids[1]
    parts = {part: timed(f"/api/v1/jobs/{job}{part}") for part in ("", "/questions", "/assessment")}
    again = sum(timed(f"/api/v1/jobs/{job}{part}") for part in ("", "/questions", "/assessment"))
    row("first view of a job: server's share", f"{sum(parts.values()):.0f} ms", "300 ms with the page")
    row("  of it the job itself", f"{parts['']:.1f} ms", "-")
    row("the same job looked at again", f"{again:.1f} ms", "-")
    typed = [timed(f"/api/v1/jobs?limit=50&find={urllib.parse.quote('müller boils'[:n])}") for _ in range(5) for n in range(1, 13)]
    row(f"search of {len(ids)} jobs, each letter: median", f"{percentile(typed, 0.5):.1f} ms", "-")
    row("  slowest", f"{max(typed):.1f} ms", "100 ms")


def write(address, ids, seconds, people):
    """Each changes a job of its own twice a second."""
    times, failures, lock = [], [], threading.Lock()
    end = time.monotonic() + seconds

    def one(number):
        person = Person(address)
        job = ids[-1 - number]
        state = json.loads(person.ask("GET", f"/api/v1/jobs/{job}")[1])
        revision, document = state["revision"], state["document"]
        turn = 0
        while time.monotonic() < end:
            turn += 1
            document = {**document, "title": f"writer {number}, change {turn}"}
            start = time.perf_counter()
            try:
                status, answer = person.ask("PUT", f"/api/v1/jobs/{job}", {"document": document, "note": "title"},
                                            {"If-Match": f'"{revision}"', "Headjoint-Save-Id": f"w{number}-{turn}"})
            except OSError as failure:
                with lock:
                    failures.append(str(failure))
                return
            taken = (time.perf_counter() - start) * 1000
            with lock:
                times.append(taken)
                if status != 200:
                    failures.append(f"{status} {answer[:120]}")
            if status == 200:
                revision = json.loads(answer)["revision"]
            time.sleep(max(0.0, 0.5 - taken / 1000))

    threads = [threading.Thread(target=one, args=(number,)) for number in range(people)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    row(f"writers: {len(times)} saves, 99 % within", f"{percentile(times, 0.99):.0f} ms", "100 ms")
    row("  slowest", f"{max(times, default=0):.0f} ms", "-")
    if failures:
        print(f"{len(failures)} saves failed, the first: {failures[0]}")


def main():
    what, address = sys.argv[1:3]
    if what == "fill":
        return fill(address, int(sys.argv[3]))
    with open(sys.argv[3], encoding="utf-8") as file:
        ids = file.read().split()
    if what == "look":
        return look(address, ids)
    return write(address, ids, float(sys.argv[4]), int(sys.argv[5]))


if __name__ == "__main__":
    main()
