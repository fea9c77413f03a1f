"""Writes journals.csv and shells.csv anew. Everything is invented; see ../README.md.

Run as `python3 make.py` in this folder: the same files come out on every machine.
"""

state = 19_430


def uniform():
    """A number in [0, 1): a linear congruential generator, x -> 1103515245 x + 12345 modulo 2^31."""
    global state
    state = (1_103_515_245 * state + 12_345) % 2**31
    return state / 2**31


def normal(mean, deviation):
    """The sum of twelve such numbers less six has mean 0 and standard deviation 1."""
    return mean + deviation * (sum(uniform() for _ in range(12)) - 6)


with open("journals.csv", "w", newline="\n") as file:
    file.write("journal,housing_mm,diameter_mm\n")
    for number in range(1, 6):
        file.write(f"{number},{normal(64.015, 0.006):.3f},{normal(60.000, 0.005):.3f}\n")

with open("shells.csv", "w", newline="\n") as file:
    file.write("id,thickness_mm\n")
    for number in range(1, 25):
        file.write(f"S{number:02},{normal(1.9850, 0.0035):.4f}\n")
