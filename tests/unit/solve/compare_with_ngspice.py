# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Operating points of random circuits against ngspice, a general circuit simulator.

    compare_with_ngspice.py WRITER FIRST_SEED COUNT LEAST_BRANCHES MOST_BRANCHES

The decks hold resistors, voltage sources and B sources that spell out the laws of lib/solve/circuit.hpp
in the simulator's own words. Agreement at every node: 1 uV + 1e-6 relative, as the method promises.
"""

import concurrent.futures
import pathlib
import struct
import subprocess
import sys
import tempfile

ABSOLUTE_V = 1e-6
RELATIVE = 1e-6
LONG_DECK = 3000  # lines


def read_raw(path):
    """Node voltages of a binary raw file with one operating point."""
    data = path.read_bytes()
    head, _, body = data.partition(b"Binary:\n")
    names = []
    in_variables = False
    for line in head.decode().splitlines():
        if line.startswith("Variables:"):
            in_variables = True
        elif in_variables and line.strip():
            names.append(line.split()[1].lower())
    numbers = struct.unpack(f"<{len(names)}d", body[: 8 * len(names)])
    return {
        name[2:-1] if name.startswith("v(") else name: number
        for name, number in zip(names, numbers)
    }


def solve(deck):
    text = deck.read_text()
    if text.count("\n") < LONG_DECK:
        volts, _ = simulate(deck)
        if volts is not None:
            return deck, volts, "", False
    # At the corner of a limit the simulator's own search may fail, and on a large deck it takes minutes.
    # It then starts from our answer, which it leaves unless the currents balance there by its own sums.
    start = "".join(
        f".nodeset v({name})={value}\n"
        for name, value in (line.split() for line in deck.with_suffix(".volts").read_text().splitlines())
    )
    deck.write_text(text.replace(".op\n", start + ".op\n"))
    volts, said = simulate(deck)
    return deck, volts, said, True


def simulate(deck):
    raw = deck.with_suffix(".raw")
    done = subprocess.run(
        ["ngspice", "-b", "-r", str(raw), str(deck)],
        capture_output=True, text=True, timeout=120, check=False,
    )
    if not raw.exists() or "No. of Data Rows : 1" not in done.stdout + done.stderr:
        return None, done.stdout + done.stderr
    return read_raw(raw), ""


def main():
    writer, first, count, least, most = sys.argv[1:6]
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([writer, folder, first, count, least, most], check=True)
        decks = sorted(pathlib.Path(folder).glob("*.cir"))
        assert len(decks) == int(count), f"{len(decks)} decks of {count}"
        worst = (0.0, "")
        unsolved = []
        compared = 0
        helped = 0
        bad = []
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            for deck, volts, said, was_helped in pool.map(solve, decks):
                helped += was_helped
                if volts is None:
                    unsolved.append((deck.name, said[-2000:]))
                    continue
                for line in deck.with_suffix(".volts").read_text().splitlines():
                    name, ours = line.split()
                    theirs = volts[name]
                    allowed = ABSOLUTE_V + RELATIVE * abs(theirs)
                    share = abs(float(ours) - theirs) / allowed
                    compared += 1
                    worst = max(worst, (share, f"{deck.name} {name}: {ours} against {theirs}"))
                    if not share <= 1.0:
                        bad.append(f"{deck.name} {name}: ours {ours}, ngspice {theirs!r}")
    print(f"{len(decks)} circuits, {helped} from our start, {compared} nodes; worst {worst[0]:.3g} of the allowance: {worst[1]}")
    for line in bad[:20]:
        print(line)
    for name, said in unsolved[:3]:
        print(f"{name}: ngspice gave no answer\n{said}")
    if helped > max(1, 0.15 * len(decks)):
        print("FAILED: too many circuits needed a start")
        return 1
    if bad or unsolved or compared == 0:
        print(f"FAILED: {len(bad)} nodes disagree, {len(unsolved)} circuits unsolved")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
