"""Whole processes side by side: medians of alternating runs, and peak memory.

Called by bench/run with the folder of the release binaries. Needs Python's standard library only.
"""
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile

from beside import once

RUNS = 41
target = sys.argv[1]
pairwright = os.path.join(target, "pairwright")
pile = os.path.join(target, "pile")


def side_by_side(title, ours, peer, runs=RUNS):
    both = [(once(ours), once(peer)) for _ in range(runs)]
    a = statistics.median(run[0].wall for run in both)
    b = statistics.median(run[1].wall for run in both)
    memory = max(run[0].memory for run in both)
    print(f"{title}: {a * 1e3:.1f} ms, peer {b * 1e3:.1f} ms, ratio {a / b:.3f}; peak memory {memory:.1f} MB")


side_by_side(
    "match datasets/tarn-deck against python3 -c 'import json, csv'",
    [pairwright, "match", "datasets/tarn-deck"],
    [sys.executable, "-c", "import json, csv"],
)


def ten_what_ifs(folder):
    """A copy of the demo with its five what-ifs and five more of the same changes under other names."""
    job = os.path.join(folder, "job")
    shutil.copytree("datasets/tarn-v8", job)
    path = os.path.join(job, "job.toml")
    with open(path) as file:
        whole, *what_ifs = file.read().split("[[what_if]]")
    again = [re.sub(r'name( *)= "', r'name\1= "again: ', one) for one in what_ifs]
    with open(path, "w") as file:
        file.write("[[what_if]]".join([whole, *what_ifs, *again]))
    return job


with tempfile.TemporaryDirectory() as folder:
    job = ten_what_ifs(folder)
    side_by_side(
        "compare the demo with ten what-ifs against match datasets/tarn-v8",
        [pairwright, "compare", job],
        [pairwright, "match", "datasets/tarn-v8"],
        runs=11,
    )
with tempfile.TemporaryDirectory() as folder:
    subprocess.run([pile, "make", folder], check=True)
    side_by_side(
        "match over 100,000 pistons against counting lines and parsing numbers",
        [pairwright, "match", folder],
        [pile, "read", folder],
        runs=11,
    )
