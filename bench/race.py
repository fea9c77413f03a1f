"""The race on large and small tables: ours beside every general-purpose peer on the same files, in one run.

    python3 bench/race.py [WORD]

WORD picks the instances whose name holds it (`uniform`, `0100x0100`, `-20`); without one the tables of docs/benchmarks.md
between the two marks are written anew, with machine, versions and date. Least totals: scipy, lap, OR-Tools' assignment and, on
small tables, HiGHS, each on its own process's time; the crates `pathfinding` and `lapjv` are timed by `race` itself. A
peer that finds a worse total does not count and is named; one that finds a better one ends the run. Worst value and spread have no such peer: they stand beside the time of reading the table, and the
best peer's plain total. Times are CPU times, medians of a few calls. The script makes its own virtual environment in the
build's target folder, outside the sources.
"""
import datetime
import importlib.metadata
import json
import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time

from beside import HERE, inside_environment, target_folder

PACKAGES = {"scipy": "scipy", "lap": "lap", "ortools": "ortools", "highspy": "highspy"}
FAMILIES = ["uniform", "ties", "squares", "geometric", "additive"]
DOCUMENT = os.path.join(HERE, "..", "docs", "benchmarks.md")
BEGIN, END = "<!-- race.py writes from here -->\n", "<!-- race.py writes up to here -->\n"
RUNS = 3
# Seconds after which a peer is not asked again, and pairs up to which a peer is asked at all.
ONCE = 1.0
MOST = {"OR-Tools": 1_000_000, "HiGHS": 10_000}


def scipy_total(cells, absent):
    import numpy
    from scipy.optimize import linear_sum_assignment

    table = numpy.where(cells == absent, numpy.inf, cells.astype(float))

    def call():
        rows, columns = linear_sum_assignment(table)
        return int(cells[rows, columns].astype(numpy.int64).sum())

    return call


def lap_total(cells, absent):
    import lap
    import numpy

    if (cells == absent).any():
        return None
    table = cells.astype(float)

    def call():
        _, columns, _ = lap.lapjv(table, extend_cost=True)
        return int(cells[numpy.arange(len(columns)), columns].astype(numpy.int64).sum())

    return call


def ortools_total(cells, absent):
    import numpy
    from ortools.graph.python import linear_sum_assignment

    if cells.shape[0] != cells.shape[1]:
        return None
    rows, columns = numpy.nonzero(cells != absent)
    costs = cells[rows, columns].astype(numpy.int64)

    def call():
        solver = linear_sum_assignment.SimpleLinearSumAssignment()
        solver.add_arcs_with_cost(rows, columns, costs)
        if solver.solve() != solver.OPTIMAL:
            return None
        return solver.optimal_cost()

    return call


def highs_total(cells, absent):
    import highspy
    import numpy

    rows, columns = numpy.nonzero(cells != absent)
    slots, items = cells.shape

    def call():
        solver = highspy.Highs()
        solver.setOptionValue("output_flag", False)
        solver.setOptionValue("threads", 1)
        solver.addVars(len(rows), numpy.zeros(len(rows)), numpy.ones(len(rows)))
        places = numpy.arange(len(rows), dtype=numpy.int32)
        solver.changeColsCost(len(rows), places, cells[rows, columns].astype(float))
        for slot in range(slots):
            mine = places[rows == slot]
            solver.addRow(1.0, 1.0, len(mine), mine, numpy.ones(len(mine)))
        for item in range(items):
            mine = places[columns == item]
            solver.addRow(0.0, 1.0, len(mine), mine, numpy.ones(len(mine)))
        solver.run()
        return round(solver.getInfo().objective_function_value)

    return call


# Square tables between which it is said how times grow.
GROWTH = (200, 500, 1000, 2000, 4000)
PEERS = {"scipy": scipy_total, "lap": lap_total, "OR-Tools": ortools_total, "HiGHS": highs_total}


def seconds_and_value(call):
    """Median CPU seconds of a few calls, one if that takes long, and what they give."""
    took = []
    while len(took) < RUNS and not (took and took[0] > ONCE):
        start = time.process_time()
        value = call()
        took.append(time.process_time() - start)
    return statistics.median(took), value


def raced(ours, folder, name, worse):
    """The line of ours for an instance, and the seconds of every peer that finds our value; a peer that finds a worse one is noted."""
    import numpy

    timed = subprocess.run([ours, "time", folder, name], check=True, capture_output=True)
    line = json.loads(timed.stdout)
    cells = numpy.load(os.path.join(folder, name))
    peers = {peer: line[key] / 1e9 for peer, key in (("pathfinding", "pathfinding_ns"), ("lapjv", "lapjv_ns")) if key in line}
    for peer, make in PEERS.items():
        if cells.size > MOST.get(peer, cells.size):
            continue
        call = make(cells, numpy.iinfo(numpy.int32).min)
        if call is None:
            continue
        seconds, value = seconds_and_value(call)
        if value == line["value"]:
            peers[peer] = seconds
        elif value is None or value < line["value"]:
            sys.exit(f"{name}: {peer} finds {value}, ours is {line['value']}")
        else:
            worse.append(f"{peer} on {name} ({value}, not {line['value']})")
    return line, peers


def short(seconds):
    for unit, of in ((1.0, "s"), (1e-3, "ms"), (1e-6, "µs")):
        if seconds >= unit:
            return f"{seconds / unit:.{0 if seconds >= 100 * unit else 1 if seconds >= 10 * unit else 2}f} {of}"
    return f"{seconds * 1e9:.0f} ns"


def shape(line):
    return f"{line['slots']} × {line['items']}"


def table(lines, cell, families=FAMILIES):
    """A row a shape, a column a family; no row without any cell."""
    rows = [f"| slots × items | {' | '.join(families)} |", f"| --- |{' --- |' * len(families)}"]
    shapes = sorted({(line["slots"] != line["items"], line["slots"], line["items"]) for line, _ in lines})
    for _, slots, items in shapes:
        words = []
        for family in families:
            mine = [one for one in lines if (one[0]["slots"], one[0]["items"], one[0]["family"]) == (slots, items, family)]
            words.append(cell(*mine[0]) if mine else None)
        if any(words):
            rows.append(f"| {slots} × {items} | {' | '.join(word or '–' for word in words)} |")
    return "\n".join(rows) + "\n"


def total_cell(line, peers):
    peer = min(peers, key=peers.get)
    ratio = peers[peer] * 1e9 / line["ours_ns"]
    mark = "" if ratio >= 1 else " **slower**"
    return f"{short(line['ours_ns'] / 1e9)}; {peer} {ratio:.3g}×{mark}"


def over_reading(line, _):
    return f"{short(line['worst_ns'] / 1e9)} ({line['worst_ns'] / line['reading_ns']:.3g} × reading)"


def over_total(line, peers):
    if not line.get("spread_ns"):
        return None
    spread, best = line["spread_ns"] / 1e9, min(peers.values())
    return f"{short(spread)} ({spread / best:.3g}); proof {short(line['spread_with_proof_ns'] / 1e9)}, check {short(line['spread_check_ns'] / 1e9)}"


def growth(plain, fifth):
    """How many times as long each method takes from one size of squares to the next, a row a method."""
    kinds = ("total", "ours_ns", plain), ("total, a fifth forbidden", "ours_ns", fifth), ("worst value", "worst_ns", plain), ("spread", "spread_ns", plain)
    rows = [f"| | {' | '.join(FAMILIES)} |", f"| --- |{' --- |' * len(FAMILIES)}"]
    for what, key, lines in kinds:
        took = {(line["family"], line["slots"]): line.get(key) for line, _ in lines if line["slots"] == line["items"]}
        cells = []
        for family in FAMILIES:
            steps = [(took.get((family, size)), took.get((family, after))) for size, after in zip(GROWTH, GROWTH[1:])]
            cells.append(", ".join(f"{after / before:.2g}" if before and after else "–" for before, after in steps))
        rows.append(f"| {what} | {' | '.join(cells)} |")
    return "\n".join(rows) + "\n"


def memory_cell(ours, folder):
    def cell(line, _):
        words = []
        for method in ("total", "worst", "spread"):
            if method == "spread" and not line.get("spread_ns"):
                continue
            file = os.path.join(folder, line["name"] + ".npy")
            run = subprocess.run([ours, "memory", file, method], check=True, capture_output=True)
            took = json.loads(run.stdout)
            words.append(f"{method} {took['beside'] / took['table']:.2f}")
        return ", ".join(words)

    return cell


def machine():
    with open("/proc/cpuinfo") as file:
        models = [line.split(":")[1].strip() for line in file if line.startswith("model name")]
    rust = subprocess.run(["rustc", "--version"], check=True, capture_output=True, text=True).stdout.split()[1]
    crates = subprocess.run(["cargo", "metadata", "--format-version", "1"], cwd=HERE, check=True, capture_output=True)
    found = {package["name"]: package["version"] for package in json.loads(crates.stdout)["packages"]}
    versions = [f"{name} {found[name]}" for name in ("pathfinding", "lapjv")]
    versions += [f"{package} {importlib.metadata.version(package)}" for package in PACKAGES.values()]
    load = os.getloadavg()[0]
    return (
        f"{len(models)} × {models[0]}, {platform.system()}, load {load:.1f} at the end, {datetime.date.today()}; "
        f"Rust {rust}, {', '.join(versions)}."
    )


def document(lines, worse, ours, folder):
    plain = [one for one in lines if one[0]["name"].endswith("-00")]
    fifth = [one for one in lines if one[0]["name"].endswith("-20")]
    large = [one for one in plain if one[0]["slots"] * one[0]["items"] >= 1_000_000]
    return "\n".join(
        [
            f"{machine()}\n",
            f"Peers that found a worse total, and do not count there: {', '.join(worse) or 'none'}.\n",
            "Least total, one best choice with its prices: our time; the fastest peer of those above and how many times our time it takes.\n",
            table(plain, total_cell),
            "The same with a fifth of the pairs forbidden.\n",
            table(fifth, total_cell),
            "Least worst value, the order of equally good choices included, beside reading the table once.\n",
            table(plain, over_reading),
            "Least spread, likewise; in brackets over the fastest peer's plain total of the same table. With its proof, and the checker's time.\n",
            table(plain, over_total),
            f"How times grow: how many times as long from one size to the next of {', '.join(map(str, GROWTH))} slots and items.\n",
            growth(plain, fifth),
            "Memory beside the table itself, in parts of the table's.\n",
            table(large, memory_cell(ours, folder)),
        ]
    )


def main():
    target = target_folder()
    inside_environment(target, PACKAGES)
    word = sys.argv[1] if len(sys.argv) > 1 else ""
    subprocess.run(["cargo", "build", "--release", "--quiet", "-p", "pairwright-bench"], cwd=HERE, check=True)
    ours = os.path.join(target, "release", "race")
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([ours, "make", folder, word], check=True)
        lines, worse = [], []
        for name in sorted(os.listdir(folder)):
            line, peers = raced(ours, folder, name, worse)
            line["family"] = line["name"].split("-")[0]
            lines.append((line, peers))
            words = [f"{peer} {short(seconds)}" for peer, seconds in sorted(peers.items(), key=lambda one: one[1])]
            print(f"{line['name']}: ours {short(line['ours_ns'] / 1e9)}, {', '.join(words)}", flush=True)
        written = document(lines, worse, ours, folder)
    if word:
        print(written)
        return
    with open(DOCUMENT) as file:
        before, _, rest = file.read().partition(BEGIN)
    _, _, after = rest.partition(END)
    with open(DOCUMENT, "w") as file:
        file.write(before + BEGIN + "\n" + written + "\n" + END + after)


main()
