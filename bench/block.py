"""The demo's whole short block, gaskets chosen per bank: our whole process beside constraint models of the same choice.

    python3 bench/block.py [RUNS] [WORKERS] [WORD]

Ours is `pairwright match` from reading the files to the last line of the explanation: plan, proof written to a file, draws.
The peer is OR-Tools' CP-SAT with WORKERS workers (1 unless said), which gets the choice in whole ticks from our engine
(`block`) and proves the least spread, nothing else. It is asked in three ways, of which WORD picks those whose name holds it:

- values: a table of piston, rod, head, gasket and the value they make, for every cylinder;
- volumes: what each part adds to the clearance volume, by Element, and a division for the ratio;
- linear volumes: the same with a Boolean for every part in every place.

Medians of RUNS (5 unless said) alternating runs, each a process of its own. Volumes are whole numbers of 1e-9 cc; the script
ends where a value made of them is more than one tick from the engine's, or where another optimum is proven than ours.
The script makes its own virtual environment in the build's target folder, outside the sources.
"""
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from typing import NamedTuple

from beside import HERE, inside_environment, once, target_folder

RATIO = 10**6
LIMIT = 120.0


class Block(NamedTuple):
    """A choice: banks of positions, numbers of parts, masses, volumes of a position, values of a position and dress."""

    banks: list
    counts: list
    apart: int
    masses: list
    swept: list
    volumes: list
    values: list

    @staticmethod
    def read(path):
        with open(path) as file:
            banks, counts, [apart], masses, *rows = [
                [None if word == "x" else int(word) for word in line.split()] for line in file
            ]
        made, values = rows[: len(banks)], rows[len(banks) :]
        ends = [1 + sum(counts[:kind]) for kind in range(5)]
        volumes = [[row[ends[kind] : ends[kind + 1]] for kind in range(4)] for row in made]
        return Block(banks, counts, apart, masses, [row[0] for row in made], volumes, values)

    def cells(self, position):
        """Piston, rod, head, gasket and value wherever they may meet; None where they may not."""
        _, rods, heads, gaskets = self.counts
        for head in range(heads):
            for gasket in range(gaskets):
                for at, value in enumerate(self.values[(position * heads + head) * gaskets + gasket]):
                    yield (at // rods, at % rods, head, gasket), value

    def range(self):
        values = [value for row in self.values for value in row if value is not None]
        return min(values), max(values)

    def off(self):
        """How many values are not what the volumes make: each of them by one tick, or the script ends."""
        off = 0
        for position, (swept, volumes) in enumerate(zip(self.swept, self.volumes)):
            for parts, value in self.cells(position):
                volume = sum(of_kind[part] for of_kind, part in zip(volumes, parts))
                made = RATIO + (2 * RATIO * swept + volume) // (2 * volume)
                if value is not None and abs(made - value) > 1:
                    sys.exit(f"position {position}, parts {parts}: {made} is not {value}")
                off += value is not None and made != value
        return off


class Elements:
    """A number for every place: which part it takes."""

    def __init__(self, model, places, count, may_repeat):
        self.model = model
        self.part = [model.new_int_var(0, count - 1, "") for _ in range(places)]
        if not may_repeat:
            model.add_all_different(self.part)

    def pick(self, place, values):
        picked = self.model.new_int_var(min(values), max(values), "")
        self.model.add_element(self.part[place], values, picked)
        return picked

    @staticmethod
    def forbid(model, places, tuples):
        model.add_forbidden_assignments([kind.part[place] for kind, place in places], tuples)


class Booleans:
    """A Boolean for every place and part."""

    def __init__(self, model, places, count, may_repeat):
        self.takes = [[model.new_bool_var("") for _ in range(count)] for _ in range(places)]
        for of_place in self.takes:
            model.add_exactly_one(of_place)
        for of_part in [] if may_repeat else zip(*self.takes):
            model.add_at_most_one(of_part)

    def pick(self, place, values):
        return sum(value * takes for value, takes in zip(values, self.takes[place]))

    @staticmethod
    def forbid(model, places, tuples):
        for parts in tuples:
            model.add_bool_or(~kind.takes[place][part] for (kind, place), part in zip(places, parts))


def model_of(block, name):
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    new = Booleans if name.startswith("linear") else Elements
    places = [len(block.banks)] * 2 + [1 + max(block.banks)] * 2
    kinds = [new(model, places[kind], block.counts[kind], may_repeat=kind == 3) for kind in range(4)]
    _, rods, _, _ = block.counts
    of_piston = block.masses[::rods]
    of_rod = [mass - block.masses[0] for mass in block.masses[:rods]]
    least, most = block.range()
    low, high = (model.new_int_var(least, most, "") for _ in range(2))
    lightest = model.new_int_var(min(block.masses), max(block.masses), "")
    for position, bank in enumerate(block.banks):
        seat = list(zip(kinds, [position, position, bank, bank]))
        value = model.new_int_var(least, most, "")
        cells = list(block.cells(position))
        if name == "values":
            known = [(*parts, value) for parts, value in cells if value is not None]
            model.add_allowed_assignments([*(kind.part[place] for kind, place in seat), value], known)
        else:
            new.forbid(model, seat, [parts for parts, value in cells if value is None])
            swept = block.swept[position]
            volume = model.new_int_var(RATIO * swept // most, 2 * RATIO * swept // (least - RATIO), "")
            parts = zip(seat, block.volumes[position])
            model.add(volume == sum(kind.pick(place, volumes) for (kind, place), volumes in parts))
            model.add_division_equality(value - RATIO, 2 * RATIO * swept + volume, 2 * volume)
        mass = kinds[0].pick(position, of_piston) + kinds[1].pick(position, of_rod)
        for end in [low <= value, value <= high, lightest <= mass, mass <= lightest + block.apart]:
            model.add(end)
    model.minimize(high - low)
    return model


def solve(path, name, workers):
    """Prints seconds to import and to build, wall and CPU seconds of the solve call, the value, and whether it is proven."""
    start = time.perf_counter()
    from ortools.sat.python import cp_model

    imported = time.perf_counter()
    model = model_of(Block.read(path), name)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = int(workers)
    solver.parameters.max_time_in_seconds = LIMIT
    built, cpu = time.perf_counter(), time.process_time()
    status = solver.solve(model)
    took = time.perf_counter() - built, time.process_time() - cpu
    print(imported - start, built - imported, *took, round(solver.objective_value), int(status == cp_model.OPTIMAL))


def per_bank(folder):
    """A copy of the demo, without its what-ifs, whose match chooses gaskets per bank."""
    job = os.path.join(folder, "job")
    shutil.copytree(os.path.join(HERE, "..", "datasets", "tarn-v8"), job)
    path = os.path.join(job, "job.toml")
    with open(path) as file:
        text = file.read().split("\n[[what_if]]")[0] + "\n"
    asked = text.replace('\neven ', '\ngasket = "per bank"\neven ')
    if asked.count("per bank") != 1:
        sys.exit("the demo's match is not what this script takes it for")
    with open(path, "w") as file:
        file.write(asked)
    return job


class Ours:
    def __init__(self, binary, job, folder):
        self.binary, self.job, self.plan, self.took = binary, job, os.path.join(folder, "plan"), []

    def run(self):
        if os.path.exists(self.plan):
            os.remove(self.plan)
        self.took.append(once([self.binary, "match", self.job, "--proof", self.plan]))

    def spread(self):
        """The spread that `recheck` finds proven."""
        said = subprocess.run([self.binary, "recheck", self.job, self.plan], check=True, capture_output=True, text=True)
        if "the proof holds for 0 " in said.stdout:
            sys.exit(f"ours is not proven: {said.stdout}")
        with open(self.plan) as file:
            return int(next(line.split()[1] for line in file if line.startswith("values ")))

    def median(self, what):
        return statistics.median(getattr(took, what) for took in self.took)


class Peer:
    def __init__(self, name, path, workers, folder):
        self.command = [sys.executable, os.path.abspath(__file__), "solve", path, name, str(workers)]
        self.name, self.answer, self.took, self.said = name, os.path.join(folder, "answer"), [], []

    def run(self, spread):
        with open(self.answer, "w") as file:
            self.took.append(once(self.command, stdout=file))
        with open(self.answer) as file:
            *seconds, value, proven = map(float, file.read().split())
        self.said.append((*seconds, proven))
        if (proven and value != spread) or value < spread:
            sys.exit(f"{self.name}: {value:.0f} is not {spread}")

    def tell(self, ours):
        imported, built, wall, cpu, proven = map(statistics.median, zip(*self.said))
        process = [statistics.median(getattr(took, what) for took in self.took) for what in ("wall", "cpu")]
        print(
            f"peer, {self.name}: solve call {wall:.2f} s ({cpu:.2f} s CPU){'' if proven else ' out of time'}; "
            f"importing {imported:.2f} s, building {built:.2f} s, whole process {process[0]:.2f} s ({process[1]:.2f} s CPU), "
            f"peak memory {max(took.memory for took in self.took):.0f} MB\n"
            f"  ours over the solve call {ours.median('wall') / wall:.3f} (CPU {ours.median('cpu') / cpu:.3f}), "
            f"over the whole process {ours.median('wall') / process[0]:.3f} (CPU {ours.median('cpu') / process[1]:.3f})",
            flush=True,
        )


def main():
    target = target_folder()
    inside_environment(target)
    given = dict(enumerate(sys.argv))
    runs, workers, word = int(given.get(1, 5)), int(given.get(2, 1)), given.get(3, "")
    subprocess.run(
        ["cargo", "build", "--release", "--quiet", "-p", "pairwright", "-p", "pairwright-bench"], cwd=HERE, check=True
    )
    with tempfile.TemporaryDirectory() as folder:
        job, path = per_bank(folder), os.path.join(folder, "block")
        with open(path, "w") as file:
            subprocess.run([os.path.join(target, "release", "block"), job], check=True, stdout=file)
        ours = Ours(os.path.join(target, "release", "pairwright"), job, folder)
        names = [name for name in ("values", "volumes", "linear volumes") if word in name]
        peers = [Peer(name, path, workers, folder) for name in names]
        for _ in range(runs):
            ours.run()
            for peer in peers:
                peer.run(ours.spread())
        print(
            f"ours: spread {ours.spread()} ticks, proven; whole process {ours.median('wall'):.2f} s "
            f"({ours.median('cpu'):.2f} s CPU), peak memory {max(took.memory for took in ours.took):.1f} MB"
        )
        print(f"volumes: {Block.read(path).off()} values are one tick off")
        for peer in peers:
            peer.tell(ours)


if sys.argv[1:2] == ["solve"]:
    solve(*sys.argv[2:])
else:
    main()
