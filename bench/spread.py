"""Least spread on small tables: ours beside a constraint model of the same files, in one run.

    python3 bench/spread.py [SECONDS] [WORD]

SECONDS is the model's time limit an instance (60 unless said), WORD picks the instances whose name holds it. The model has a
Boolean for each pair, one pair a slot, at most one an item, and the values of all slots between two ends; solved by
OR-Tools' CP-SAT with one worker. It is helped as far as a user would help it, and that help is not timed: a matching
gives the least greatest and the greatest least value, hence bounds on both ends, a first choice as a hint, and pairs that
cannot be in a better choice are left out. Its time is CPU time of the solve call. Ours is CPU time, too, the median of nine
batches of calls, one thread, without and with a proof. The script makes its own virtual environment in the build's target folder, outside the
sources.
"""
import statistics

from beside import side_by_side, solved


def read(path):
    with open(path) as file:
        return [[None if word == "x" else int(word) for word in row.split()] for row in file]


def matching(table, allowed):
    """An item for every slot among the allowed values, by augmenting paths; None if there is none."""
    slot_of = {}

    def serve(slot, seen):
        for item, value in enumerate(table[slot]):
            if value is not None and allowed(value) and item not in seen:
                seen.add(item)
                if item not in slot_of or serve(slot_of[item], seen):
                    slot_of[item] = slot
                    return True
        return False

    if not all(serve(slot, set()) for slot in range(len(table))):
        return None
    return {slot: item for item, slot in slot_of.items()}


def ends(table):
    """The least greatest value, the greatest least one, and the narrowest of the two choices that have them."""
    values = sorted({value for row in table for value in row if value is not None})

    def first(test):
        low, high = 0, len(values) - 1
        while low < high:
            middle = (low + high) // 2
            low, high = (low, middle) if test(values[middle]) else (middle + 1, high)
        return values[low]

    least = first(lambda end: matching(table, lambda value: value <= end) is not None)
    beyond = [-value for value in values]
    beyond.sort()
    low, high = 0, len(beyond) - 1
    while low < high:
        middle = (low + high) // 2
        fits = matching(table, lambda value: -value <= beyond[middle]) is not None
        low, high = (low, middle) if fits else (middle + 1, high)
    most = -beyond[low]
    choices = [matching(table, lambda value: value <= least), matching(table, lambda value: value >= most)]
    def spread(choice):
        chosen = [table[slot][item] for slot, item in choice.items()]
        return max(chosen) - min(chosen)
    return least, most, min(choices, key=spread), min(map(spread, choices))


def model_of(table):
    from ortools.sat.python import cp_model

    least, most, start, spread = ends(table)
    model = cp_model.CpModel()
    low = model.new_int_var(least - spread, most, "low")
    high = model.new_int_var(least, most + spread, "high")
    columns = {}
    for slot, row in enumerate(table):
        pairs = []
        for item, value in enumerate(row):
            if value is None or not least - spread <= value <= most + spread:
                continue
            pair = model.new_bool_var(f"{slot} {item}")
            model.add_hint(pair, start[slot] == item)
            columns.setdefault(item, []).append(pair)
            pairs.append((pair, value))
        model.add_exactly_one(pair for pair, _ in pairs)
        model.add(low <= sum(value * pair for pair, value in pairs))
        model.add(sum(value * pair for pair, value in pairs) <= high)
    for pairs in columns.values():
        model.add_at_most_one(pairs)
    model.add(high - low >= max(0, least - most))
    model.minimize(high - low)
    return model


def peer(path, limit):
    return solved(model_of(read(path)), limit)


def main():
    ratios = {}
    for words, seconds, mark in side_by_side("spread", peer, value_at=4):
        name, plain, with_proof, checking, value = words
        both = [seconds / (float(micros) * 1e-6) for micros in (plain, with_proof)]
        ratios.setdefault(name.split("-")[1], []).append(both)
        print(
            f"{name}: spread {value}, {plain} us, with proof {with_proof} us (checked in {checking} us), "
            f"peer {seconds * 1e3:.0f} ms, ratio {both[0]:.0f}, with proof {both[1]:.0f}{mark}",
            flush=True,
        )
    everything = [both for of_size in ratios.values() for both in of_size]
    for size, of_size in [*ratios.items(), ("all", everything)] if everything else []:
        plain, proven = zip(*of_size)
        print(
            f"{size}: median ratio {statistics.median(plain):.0f}, worst {min(plain):.0f}; "
            f"with proof {statistics.median(proven):.0f}, worst {min(proven):.0f}"
        )


main()
