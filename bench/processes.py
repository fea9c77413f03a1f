"""Whole processes side by side: medians of alternating runs, and peak memory.

Called by bench/run with the folder of the release binaries. Needs Python's standard library only.
"""
import os
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
side_by_side(
    "compare datasets/tarn-v8 (five what-ifs) against match datasets/tarn-v8",
    [pairwright, "compare", "datasets/tarn-v8"],
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
