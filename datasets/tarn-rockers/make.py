"""Writes rockers.csv and valves.csv anew. Everything is invented; see ../README.md.

Run as `python3 make.py` in this folder: the same files come out on every machine.
"""

state = 20_240


def uniform():
    """A number in [0, 1): a linear congruential generator, x -> 1103515245 x + 12345 modulo 2^31."""
    global state
    state = (1_103_515_245 * state + 12_345) % 2**31
    return state / 2**31


def normal(mean, deviation):
    """The sum of twelve such numbers less six has mean 0 and standard deviation 1."""
    return mean + deviation * (sum(uniform() for _ in range(12)) - 6)


with open("rockers.csv", "w", newline="\n") as file:
    file.write("id,ratio\n")
    for number in range(1, 241):
        file.write(f"R{number:03},{normal(1.500, 0.009):.3f}\n")

with open("valves.csv", "w", newline="\n") as file:
    file.write("valve,port,lobe_lift,lash\n")
    for cylinder in range(1, 9):
        for port, lobe, lash in [("intake", 0.2985, 0.012), ("exhaust", 0.2950, 0.014)]:
            file.write(f"{cylinder}{port[0]},{port},{normal(lobe, 0.0004):.4f},{lash:.3f}\n")
