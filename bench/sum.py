"""Least totals: ours beside scipy and lap on the same files; makes its own virtual environment. `sum.py [WORD]`."""
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time

from beside import HERE, inside_environment, target_folder

RUNS = 3


def seconds_and_value(call):
    """Median CPU seconds of a few calls, and what they give."""
    took = []
    for _ in range(RUNS):
        start = time.process_time()
        value = call()
        took.append(time.process_time() - start)
    return statistics.median(took), value


def scipy_total(table):
    from scipy.optimize import linear_sum_assignment

    rows, columns = linear_sum_assignment(table)
    return int(table[rows, columns].sum())


def lap_total(table):
    import lap

    _, columns, _ = lap.lapjv(table, extend_cost=True)
    return int(table[range(len(columns)), columns].sum())


def main():
    target = target_folder()
    inside_environment(target, {"scipy": "scipy", "lap": "lap"})
    import numpy

    word = sys.argv[1] if len(sys.argv) > 1 else ""
    subprocess.run(["cargo", "build", "--release", "--quiet", "-p", "pairwright-bench"], cwd=HERE, check=True)
    ours = os.path.join(target, "release", "sum")
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([ours, "make", folder], check=True)
        for name in sorted(name for name in os.listdir(folder) if word in name):
            line = json.loads(subprocess.run([ours, "time", folder, name], check=True, capture_output=True).stdout)
            cells = numpy.load(os.path.join(folder, name))
            absent = numpy.iinfo(numpy.int32).min
            table = numpy.where(cells == absent, numpy.inf, cells.astype(float))
            peers = {"scipy": lambda: scipy_total(table)}
            if numpy.isfinite(table).all():
                peers["lap"] = lambda: lap_total(table)
            words = []
            for peer, call in peers.items():
                seconds, value = seconds_and_value(call)
                mark = "" if value == line["value"] else f", but finds {value}"
                words.append(f"{peer} {seconds * 1e3:.2f} ms, ratio {seconds * 1e9 / line['ours_ns']:.2f}{mark}")
            print(f"{name}: total {line['value']}, ours {line['ours_ns'] / 1e6:.3f} ms, {'; '.join(words)}", flush=True)


main()
