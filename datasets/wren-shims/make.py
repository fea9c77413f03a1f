"""Writes shims.csv and valves.csv anew. Everything is invented; see ../README.md.

Run as `python3 make.py` in this folder: the same files come out on every machine.
"""

state = 16_402


def uniform():
    """A number in [0, 1): a linear congruential generator, x -> 1103515245 x + 12345 modulo 2^31."""
    global state
    state = (1_103_515_245 * state + 12_345) % 2**31
    return state / 2**31


def between(low, high):
    return low + (high - low) * uniform()


# The least and the greatest lash allowed, invented.
LASH = {"i": (0.150, 0.250), "e": (0.220, 0.320)}
PORT = {"i": "intake", "e": "exhaust"}

valves, shims = [], []
for cylinder in range(1, 5):
    for port in "ie":
        for side in "lr":
            valve = f"{cylinder}{port}{side}"
            low, high = LASH[port]
            # A running engine closes up its exhaust valves more than the others.
            lash = between(low - 0.12, high - 0.05) if port == "e" else between(low - 0.02, high + 0.01)
            shim = between(2.48, 2.82)
            valves.append(f"{valve},{PORT[port]},{lash:.2f},{shim:.3f},{low:.3f},{low:.3f},{high:.3f}")
            shims.append(f"{valve},{shim:.3f},{valve},,,")

with open("valves.csv", "w", newline="\n") as file:
    file.write("valve,port,lash,shim,least,min_lash_after,max_lash_after\n")
    file.write("\n".join(valves) + "\n")

for number in range(1, 7):
    shims.append(f"shelf {number},{between(2.45, 2.80):.3f},,,,")
# The shop has every 0.05 mm, as many as anybody wants, and two of a few sizes between at half the price.
for step in range(45, 61):
    shims.append(f"new {step * 0.05:.2f},{step * 0.05:.3f},,any,6.80,0.004")
for size in [2.425, 2.475, 2.575, 2.625]:
    shims.append(f"used {size:.3f},{size:.3f},,2,3.40,0.004")

with open("shims.csv", "w", newline="\n") as file:
    file.write("id,thickness,at,count,price,u_thickness\n")
    file.write("\n".join(shims) + "\n")
