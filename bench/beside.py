"""What the scripts share: the environment with the peer, one instance after another, and what a process takes."""
import importlib.util
import json
import os
import subprocess
import sys
import tempfile
import time
import venv
from typing import NamedTuple

HERE = os.path.dirname(os.path.abspath(__file__))


def target_folder():
    found = subprocess.run(
        ["cargo", "metadata", "--format-version", "1", "--no-deps"], cwd=HERE, check=True, capture_output=True
    )
    return json.loads(found.stdout)["target_directory"]


def inside_environment(target, packages=None):
    """Starts the running script again with an interpreter that has the peers (module: package), unless it has them already."""
    packages = packages or {"ortools": "ortools"}
    if any(importlib.util.find_spec(module) is None for module in packages):
        folder = os.path.join(target, "bench-venv")
        python = os.path.join(folder, "bin", "python")
        if not os.path.exists(python):
            venv.create(folder, with_pip=True)
        subprocess.run([python, "-m", "pip", "install", "--quiet", *packages.values()], check=True)
        os.execv(python, [python, os.path.abspath(sys.argv[0]), *sys.argv[1:]])


class Took(NamedTuple):
    """What a process took: seconds of wall time and of the processor's, and peak memory in MB."""

    wall: float
    cpu: float
    memory: float


def once(command, stdout=subprocess.DEVNULL):
    """What one run took. Its peak memory is never less than that of the process that starts it."""
    start = time.perf_counter()
    child = subprocess.Popen(command, stdout=stdout, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    wall = time.perf_counter() - start
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode != 0:
        sys.exit(f"{command} ended with {child.returncode}")
    return Took(wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


def solved(model, limit):
    """CPU seconds of the peer's solve call with one worker, its value if it has one, and whether it proved it."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = limit
    start = time.process_time()
    status = solver.solve(model)
    seconds = time.process_time() - start
    value = round(solver.objective_value) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    return seconds, value, status == cp_model.OPTIMAL


def side_by_side(binary, peer, value_at):
    """For every instance that `binary` makes: the words of our line, the peer's seconds, and the mark of a ratio.

    Takes SECONDS and WORD from the command line. `value_at` is the place of our value in the line. Ends the script where
    the peer proves another value than ours, or finds a smaller one.
    """
    target = target_folder()
    inside_environment(target)
    limit = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    word = sys.argv[2] if len(sys.argv) > 2 else ""
    subprocess.run(["cargo", "build", "--release", "--quiet", "-p", "pairwright-bench"], cwd=HERE, check=True)
    ours = os.path.join(target, "release", binary)
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([ours, "make", folder], check=True)
        for name in sorted(os.listdir(folder)):
            if word not in name:
                os.remove(os.path.join(folder, name))
        timed = subprocess.run([ours, "time", folder], check=True, capture_output=True, text=True).stdout
        for line in timed.splitlines():
            words = line.split()
            name, value = words[0], int(words[value_at])
            seconds, found, proven = peer(os.path.join(folder, name), limit)
            if proven and found != value:
                sys.exit(f"{name}: {value} is not {found}")
            if found is not None and found < value:
                sys.exit(f"{name}: {found} is better than {value}")
            yield words, seconds, "" if proven else " at least (peer out of time)"
