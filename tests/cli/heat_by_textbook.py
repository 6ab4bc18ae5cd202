# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""The heat of a wire once more, from published equations and the air of a textbook.

A second heat balance: Churchill and Chu's correlation for a horizontal cylinder (Int. J. Heat Mass
Transfer 18 (1975) 1049) with the air of F. P. Incropera, D. P. DeWitt, Fundamentals of Heat and Mass
Transfer, table A.4, 1 atm (memory): kelvin, conductivity in mW/(m K), kinematic viscosity in mm2/s,
Prandtl number."""

import functools
import math

AIR = [(250, 22.3, 11.44, 0.720), (300, 26.3, 15.89, 0.707), (350, 30.0, 20.92, 0.700),
       (400, 33.8, 26.41, 0.690), (450, 37.3, 32.39, 0.686), (500, 40.7, 38.79, 0.684),
       (550, 43.9, 45.57, 0.683), (600, 46.9, 52.69, 0.685), (650, 49.7, 60.21, 0.690),
       (700, 52.4, 68.10, 0.695), (800, 57.3, 84.93, 0.709)]


def air_at(kelvin):
    after = next((i for i, row in enumerate(AIR) if i > 0 and kelvin <= row[0]), len(AIR) - 1)
    low, high = AIR[after - 1], AIR[after]
    share = (kelvin - low[0]) / (high[0] - low[0])
    return [a + share * (b - a) for a, b in zip(low[1:], high[1:])]


def convection_w_per_m2_k(diameter_m, surface_c, air_c):
    film = 273.15 + 0.5 * (surface_c + air_c)
    conducts, viscosity, prandtl = air_at(film)
    rayleigh = 9.81 / film * abs(surface_c - air_c) * diameter_m ** 3 / (viscosity * 1e-6) ** 2 * prandtl
    nusselt = (0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    return nusselt * conducts * 1e-3 / diameter_m


def given_off_w_per_m(diameter_m, surface_c, air_c, emissivity=0.9):
    radiates = emissivity * 5.670374e-8 * ((surface_c + 273.15) ** 4 - (air_c + 273.15) ** 4)
    convects = convection_w_per_m2_k(diameter_m, surface_c, air_c) * (surface_c - air_c)
    return math.pi * diameter_m * (radiates + convects)


def root(function, low, high):
    """Where a rising function is nothing."""
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if function(middle) < 0 else (low, middle)
    return 0.5 * (low + high)


@functools.lru_cache(maxsize=None)
def leaves_table(conductor_mm, outside_mm, conducts, air_c):
    """Heat that leaves a wire at rest, by its conductor's temperature."""
    through = math.log(outside_mm / conductor_mm) / (2 * math.pi * conducts)
    out = []
    for i in range(61):
        surface = air_c + (1000.0 - air_c) * (i / 60) ** 3
        heat = given_off_w_per_m(outside_mm * 1e-3, surface, air_c) if i else 0.0
        out.append((surface + heat * through, heat))
    return out


@functools.lru_cache(maxsize=None)
def peak_c(amps, seconds, start_c, air_c, share, copper_mm2, r20, wire):
    """C dT/dt = I^2 r(T) - f^2 Q(T) from `start_c`, docs/method/protection.md, by Runge and Kutta."""
    table = leaves_table(*wire, air_c)

    def leaves(conductor_c):
        after = next((i for i, row in enumerate(table) if i > 0 and conductor_c <= row[0]), len(table) - 1)
        (t0, q0), (t1, q1) = table[after - 1], table[after]
        return q0 + (q1 - q0) * (conductor_c - t0) / (t1 - t0)

    def rate(conductor_c):
        made = amps ** 2 * r20 * (1 + 0.00393 * (conductor_c - 20))
        return (made - share ** 2 * leaves(conductor_c)) / (3.45 * copper_mm2)

    now, steps = start_c, 400
    for _ in range(steps):
        dt = seconds / steps
        k1 = rate(now)
        k2 = rate(now + 0.5 * dt * k1)
        k3 = rate(now + 0.5 * dt * k2)
        now += dt / 6 * (k1 + 2 * k2 + 2 * k3 + rate(now + dt * k3))
        if now >= 1000.0:
            return 1000.0
    return now
