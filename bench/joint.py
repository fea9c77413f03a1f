"""Joint choices of two kinds, least spread: ours beside a constraint model of the same files, in one run.

    python3 bench/joint.py [SECONDS] [WORD]

SECONDS is the model's time limit an instance (60 unless said), WORD picks the instances whose name holds it. The model is
two AllDifferent and an Element for every slot, kind and outer choice (and a division for ratios), solved by OR-Tools'
CP-SAT with one worker; its time is CPU time of the solve call. Ours is CPU time, too, the median of nine batches of calls, one
thread. The script makes its
own virtual environment in the build's target folder, outside the sources.
"""
import statistics

from beside import side_by_side, solved


def read(path):
    with open(path) as file:
        name, factor, *rows = file.read().splitlines()
    rows = [[int(number) for number in row.split()] for row in rows]
    return name, int(factor), rows[0], rows[1], rows[2], rows[3:]


def model_of(factor, first, second, constants, offsets):
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    slots = len(constants)
    outer = model.new_int_var(0, len(offsets) - 1, "outer")

    def pick(index, values, name):
        var = model.new_int_var(min(values), max(values), name)
        model.add_element(index, values, var)
        return var

    firsts = [model.new_int_var(0, len(first) - 1, f"first {j}") for j in range(slots)]
    seconds = [model.new_int_var(0, len(second) - 1, f"second {j}") for j in range(slots)]
    model.add_all_different(firsts)
    model.add_all_different(seconds)
    values = []
    for j in range(slots):
        column = [row[j] for row in offsets]
        total = pick(firsts[j], first, f"a {j}") + pick(seconds[j], second, f"b {j}") + pick(outer, column, f"o {j}")
        least, most = min(first) + min(second) + min(column), max(first) + max(second) + max(column)
        if factor == 0:
            values.append((total, least, most))
            continue
        volume = model.new_int_var(max(least, 1), most, f"sum {j}")
        model.add(volume == total)
        over = factor * constants[j]
        ratio = model.new_int_var(over // most, over // max(least, 1), f"ratio {j}")
        model.add_division_equality(ratio, over, volume)
        values.append((ratio + factor, factor + over // most, factor + over // max(least, 1)))
    low = model.new_int_var(min(v[1] for v in values), max(v[2] for v in values), "low")
    high = model.new_int_var(min(v[1] for v in values), max(v[2] for v in values), "high")
    for value, _, _ in values:
        model.add(low <= value)
        model.add(value <= high)
    model.minimize(high - low)
    return model


def peer(path, limit):
    _, factor, *parts = read(path)
    return solved(model_of(factor, *parts), limit)


def main():
    ratios = {"sum": [], "ratio": []}
    for words, seconds, mark in side_by_side("joint", peer, value_at=3):
        name, micros, with_ties, value, ties, made, verified, steps = words
        ratio = seconds / (float(micros) * 1e-6)
        ratios[name.split("-")[0]].append(ratio)
        print(
            f"{name}: spread {value}, {float(micros) / 1e3:.3f} ms, ties {ties} {float(with_ties) / 1e3:.3f} ms, "
            f"peer {seconds * 1e3:.0f} ms, ratio {ratio:.0f}{mark}; proof made in {made} us, verified in {verified} us, "
            f"{steps} steps",
            flush=True,
        )
    for kind, of_kind in ratios.items():
        if of_kind:
            print(f"{kind}: median ratio {statistics.median(of_kind):.0f}, worst {min(of_kind):.0f}")


main()
