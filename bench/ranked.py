"""The best choices by a total, in order: ours beside the textbook partition of the same files, in one run.

    python3 bench/ranked.py [COUNT] [WORD]

COUNT is how many choices are taken of each instance (100 unless said), WORD picks the instances whose name holds it. The
textbook's partition (Murty 1968) solves every part anew by scipy's `linear_sum_assignment`, over what the part leaves open: the slots
whose items are fixed are left out of the matrix. Its time is CPU time of all of it, and of the calls of scipy alone beside it: what
a partition takes that costs nothing but these. Ours is CPU time, too, the median of nine runs. All totals are compared
integer for integer. The script makes its own virtual environment in the build's target folder, outside the sources.
"""
import heapq
import os
import statistics
import subprocess
import sys
import tempfile
import time

from beside import HERE, inside_environment, target_folder


def read(path):
    import numpy

    with open(path) as file:
        return numpy.array([[numpy.inf if word == "x" else float(word) for word in row.split()] for row in file])


class Solver:
    """scipy's assignment, and the CPU seconds spent in it."""

    def __init__(self, assignment):
        self.assignment, self.seconds, self.calls = assignment, 0.0, 0

    def __call__(self, table):
        start = time.process_time()
        try:
            columns = self.assignment(table)[1]
        except ValueError:
            columns = None
        self.seconds += time.process_time() - start
        self.calls += 1
        return columns


def textbook(table, count, solver):
    """Totals of the best choices. A part: the items of its first slots, and what the next one may not take."""
    import numpy

    slots, items = table.shape

    def solved(fixed, barred):
        rest = numpy.delete(table[len(fixed):], fixed, axis=1)
        if barred:
            left = numpy.delete(numpy.arange(items), fixed)
            rest[0, numpy.isin(left, barred)] = numpy.inf
        columns = solver(rest)
        if columns is None:
            return None
        left = numpy.delete(numpy.arange(items), fixed)
        choice = fixed + [int(item) for item in left[columns]]
        return int(table[numpy.arange(slots), choice].sum()), choice

    best = solved([], [])
    open_parts = [(best[0], 0, best[1], 0, [])]
    totals, met = [], 0
    while open_parts and len(totals) < count:
        total, _, choice, kept, barred = heapq.heappop(open_parts)
        totals.append(total)
        for slot in range(kept, slots):
            without = [*(barred if slot == kept else []), choice[slot]]
            part = solved(choice[:slot], without)
            if part is not None:
                met += 1
                heapq.heappush(open_parts, (part[0], met, part[1], slot, without))
    return totals


def main():
    target = target_folder()
    inside_environment(target, {"scipy": "scipy"})
    # Importing it is not timed.
    from scipy.optimize import linear_sum_assignment

    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    word = sys.argv[2] if len(sys.argv) > 2 else ""
    subprocess.run(["cargo", "build", "--release", "--quiet", "-p", "pairwright-bench", "--bin", "ranked"], cwd=HERE, check=True)
    ours = os.path.join(target, "release", "ranked")
    ratios = {}
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([ours, "make", folder], check=True)
        for name in sorted(os.listdir(folder)):
            if word not in name:
                os.remove(os.path.join(folder, name))
        timed = subprocess.run([ours, "time", folder, str(count)], check=True, capture_output=True, text=True).stdout
        for line in timed.splitlines():
            name, micros, first, *totals = line.split()
            table = read(os.path.join(folder, name))
            solver = Solver(linear_sum_assignment)
            start = time.process_time()
            expected = textbook(table, count, solver)
            seconds = time.process_time() - start
            if [int(total) for total in totals] != expected:
                sys.exit(f"{name}: {totals} are not {expected}")
            both = [took / (float(micros) * 1e-6) for took in (seconds, solver.seconds)]
            ratios.setdefault(name.split("-")[-2], []).append(both)
            print(
                f"{name}: {len(totals)} totals from {totals[0]} to {totals[-1]}, {micros} us (the first {first} us); textbook "
                f"{seconds * 1e3:.0f} ms, {solver.calls} calls of scipy alone {solver.seconds * 1e3:.0f} ms; "
                f"ratio {both[0]:.0f}, to scipy alone {both[1]:.0f}",
                flush=True,
            )
    for size, of_size in ratios.items():
        whole, alone = zip(*of_size)
        print(
            f"{size}: median ratio {statistics.median(whole):.0f}, worst {min(whole):.0f}; to scipy alone "
            f"{statistics.median(alone):.0f}, worst {min(alone):.0f}"
        )


main()
