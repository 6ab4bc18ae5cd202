# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Temperatures of wires that warm and cool, against ngspice, a general circuit simulator.

    compare_warming_with_ngspice.py WRITE_WARMING_CASES

Each wire becomes a thermal network: volts are degrees, amperes are watts. A capacitor is the copper, one source its
Joule heat, a resistor insulation and cover, a last source the heat that the outside gives off, by the equations of
docs/method/heat.md written out anew here. Agreement: 0.1 % of the rise over the air and 0.02 K, because ours
tables the heat given off.
"""

import json
import pathlib
import re
import subprocess
import sys
import tempfile

DECK = """* a wire that warms
.func film(x) {{(x + {air}) / 2 + 273.15}}
.func mu(t) {{1.716e-5 * pow(t / 273.15, 1.5) * (273.15 + 110.6) / (t + 110.6)}}
.func ka(t) {{0.0241 * pow(t / 273.15, 1.5) * (273.15 + 194) / (t + 194)}}
.func pr(t) {{mu(t) * (1002.5 + 275e-6 * (t - 200) * (t - 200)) / ka(t)}}
.func nu(t) {{mu(t) * 287.05 * t / 101325}}
.func ra(x, t) {{9.80665 / t * (abs(x - {air}) + 1e-9) * {outside_m} ^ 3 * pr(t) / (nu(t) * nu(t))}}
.func nusselt(x, t) {{pow(0.60 + 0.387 * pow(ra(x, t), 1 / 6) / pow(1 + pow(0.559 / pr(t), 9 / 16), 8 / 27), 2)}}
.func radiated(x) {{{emissivity} * 5.670374419e-8 * (pow(x + 273.15, 4) - pow({air} + 273.15, 4))}}
Cheld c 0 {held} ic={start}
Bmade 0 c i = {amps} * {amps} * {r20} * (1 + 0.00393 * (v(c) - 20))
Rinside c s {inside}
Bleaves s 0 i = 3.14159265358979 * (nusselt(v(s), film(v(s))) * ka(film(v(s))) * (v(s) - {air}) + {outside_m} * radiated(v(s)))
.options reltol=1e-6 abstol=1e-9 vntol=1e-6
.nodeset v(s)={start}
.tran {step} {last} 0 {step} uic
.control
run
{measures}
.endc
.end
"""
ANSWER = re.compile(r"^t(\d+)\s*=\s*(\S+)", re.MULTILINE)


def simulate(case, folder):
    out = {}
    # One run a time: the step follows the time looked at.
    for index, (seconds, _) in enumerate(case["answers"]):
        deck = pathlib.Path(folder) / "warming.cir"
        deck.write_text(DECK.format(
            **{key: value for key, value in case.items() if key != "answers"}, step=seconds / 300, last=seconds * 1.01,
            measures=f"meas tran t{index} FIND v(c) AT={seconds}"))
        done = subprocess.run(["ngspice", "-b", str(deck)], capture_output=True, text=True, timeout=120, check=False)
        found = dict(ANSWER.findall(done.stdout))
        if str(index) not in found:
            raise SystemExit(f"ngspice gave no answer:\n{done.stdout[-1500:]}{done.stderr[-1500:]}")
        out[seconds] = float(found[str(index)])
    return out


def main():
    written = subprocess.run([sys.argv[1]], capture_output=True, text=True, check=True).stdout
    bad, compared, worst = [], 0, (0.0, "")
    with tempfile.TemporaryDirectory() as folder:
        for case in map(json.loads, written.splitlines()):
            theirs = simulate(case, folder)
            for seconds, ours in case["answers"]:
                allowed = 0.02 + 0.001 * abs(theirs[seconds] - case["air"])
                share = abs(ours - theirs[seconds]) / allowed
                said = f"{case['amps']} A after {seconds} s: ours {ours:.3f} C, ngspice {theirs[seconds]:.3f} C"
                worst = max(worst, (share, said))
                compared += 1
                if not share <= 1.0:
                    bad.append(said)
    print(f"{compared} temperatures; worst {worst[0]:.2f} of the allowance: {worst[1]}")
    print("\n".join(bad))
    return 1 if bad or compared < 30 else 0


if __name__ == "__main__":
    sys.exit(main())
