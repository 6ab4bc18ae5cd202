# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""First operating points of faults against ngspice, a general circuit simulator.

    compare_faults_with_ngspice.py WRITE_FAULT_CASES VEHICLE.yaml STATE [STATE...]

The deck is that of `export --to spice`; none of our voltages is in it. Each short is a resistor of 5 mohm from
the end of a conductor to metal, each open the conductor's own resistor at 1e12 ohm (beyond that a part which
hangs on nothing else makes the simulator's matrix singular), altered and solved one after another in one
process. All shorts and all opens of the state are compared. Agreement at every node: 1 uV + 1e-6 relative.
"""

import concurrent.futures
import pathlib
import re
import subprocess
import sys
import tempfile

ABSOLUTE_V = 1e-6
RELATIVE = 1e-6
SHORT_OHM = 0.005
OPEN_OHM = 1e12
ANSWER = re.compile(r"^(n\d+) = (\S+)\s*$")
PROCESSES = 2


def resistance(deck, name):
    found = re.search(rf"^{name} \S+ \S+ (\S+)$", deck, re.MULTILINE)
    return found[1]


def lines_of(case, deck):
    what, where = case.split()
    if what == "short":
        return [f"alter Rshort{where} = {SHORT_OHM}", "op", "print all", f"alter Rshort{where} = {OPEN_OHM}"]
    return [f"alter {where} = {OPEN_OHM}", "op", "print all", f"alter {where} = {resistance(deck, where)}"]


def simulate(folder, number, deck, cases):
    """The node voltages of each case, by name."""
    shorts = [case.split()[1] for case in cases if case.startswith("short")]
    text = deck + "".join(f"Rshort{node} {node} 0 {OPEN_OHM}\n" for node in shorts)
    text += ".control\nset numdgt=15\n"
    for k, case in enumerate(cases):
        # Each answer is a plot of its own, kept until it is destroyed: the next is searched for from nothing.
        text += f"echo CASE {k}\n" + "\n".join(lines_of(case, deck)) + "\ndestroy all\n"
    text += ".endc\n.end\n"
    path = folder / f"part{number}.cir"
    path.write_text(text)
    done = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=300, check=False)
    found = [{} for _ in cases]
    at = None
    for line in done.stdout.splitlines():
        if line.startswith("CASE "):
            at = found[int(line.split()[1])]
            continue
        answer = ANSWER.match(line)
        if answer and at is not None:
            at[answer[1]] = float(answer[2])
    return found, done.stdout[-1500:] + done.stderr[-1500:]


def compare(case, ours, theirs, worst, bad):
    for pair in ours.split():
        name, text = pair.split("=")
        if name not in theirs:
            bad.append(f"{case}: ngspice says nothing of {name}")
            return worst
        share = abs(float(text) - theirs[name]) / (ABSOLUTE_V + RELATIVE * abs(theirs[name]))
        worst = max(worst, (share, f"{case}, {name}: {text} against {theirs[name]!r}"))
        if not share <= 1.0:
            bad.append(f"{case}, {name}: ours {text}, ngspice {theirs[name]!r}")
    return worst


def compare_state(writer, vehicle, state):
    bad = []
    worst = (0.0, "nothing")
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        written = subprocess.run([writer, scratch, vehicle, state], check=False)
        if written.returncode != 0:
            bad.append("not every case has an answer of ours")
        deck = (folder / "state.cir").read_text()
        cases = (folder / "cases.txt").read_text().splitlines()
        ours = (folder / "volts.txt").read_text().splitlines()
        parts = [range(k, len(cases), PROCESSES) for k in range(PROCESSES)]
        with concurrent.futures.ThreadPoolExecutor(PROCESSES) as pool:
            runs = [pool.submit(simulate, folder, k, deck, [cases[i] for i in part]) for k, part in enumerate(parts)]
            for part, run in zip(parts, runs):
                found, said = run.result()
                for i, theirs in zip(part, found):
                    before = len(bad)
                    worst = compare(cases[i], ours[i], theirs, worst, bad)
                    if len(bad) > before and not theirs:
                        bad.append(said)
    compared = sum(len(line.split()) for line in ours)
    shorts = sum(case.startswith("short") for case in cases)
    print(f"{state}: {shorts} shorts and {len(cases) - shorts} opens, {compared} nodes; "
          f"worst {worst[0]:.3g} of the allowance: {worst[1]}")
    for line in bad[:12]:
        print(line)
    if bad or compared == 0:
        print(f"FAILED: {len(bad)} complaints")
    return not bad and compared > 0


def main():
    writer, vehicle, *states = sys.argv[1:]
    return 0 if all([compare_state(writer, vehicle, state) for state in states]) else 1


if __name__ == "__main__":
    sys.exit(main())
