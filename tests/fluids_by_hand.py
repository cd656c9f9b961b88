"""Gas, steam and water, flows along a well and closed annuli by numerical integration, for the second route.

Source: real gas after Sutton and Dranchuk & Abou-Kassem, f(t) after Hasan & Kabir (constants from memory); water and
steam by CoolProp's reference equation; conservation of heat and of mass; Lame's tube.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from CoolProp.CoolProp import PropsSI
from held_by_hand import ATM, Floats, G, Line

WATER = "IF97::Water"

# --- columns ------------------------------------------------------------------------------------------------------


def marched(start: float, pressure: float, end: float, density: Callable[[float, float], float]) -> Line:
    """Pressure from one depth to another, down or up, by midpoints every metre; *density* of pressure and depth."""
    count = max(1, round(abs(end - start)))
    step, line = (end - start) / count, [(start, pressure)]
    for _ in range(count):
        z, p = line[-1]
        half = p + density(p, z) * G * step / 2.0
        line.append((z + step, p + density(half, z + step / 2.0) * G * step))
    return sorted(line)


def gas_density(gravity: float, kelvin: float, gauge: float) -> float:
    """Real gas of a gravity relative to air."""
    absolute = gauge + ATM
    reduced = absolute / ((756.8 - 131.0 * gravity - 3.6 * gravity**2) * 6894.757293)
    t = kelvin / ((169.2 + 349.5 * gravity - 74.0 * gravity**2) / 1.8)
    a1 = 0.3265 - 1.0700 / t - 0.5339 / t**3 + 0.01569 / t**4 - 0.05165 / t**5
    a2, a3 = 0.5475 - 0.7361 / t + 0.1844 / t**2, 0.1056 * (-0.7361 / t + 0.1844 / t**2)

    def excess(z: float) -> float:
        r = 0.27 * reduced / (z * t)
        last = 0.6134 * (1.0 + 0.7210 * r**2) * r**2 / t**3 * math.exp(-0.7210 * r**2)
        return z - (1.0 + a1 * r + a2 * r**2 - a3 * r**5 + last)

    low, high = 0.3, 3.0
    for _ in range(45):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if excess(middle) > 0.0 else (middle, high)
    return absolute * 0.0289647 * gravity / (low * 8.314462618 * kelvin)


def boils_at(gauge: float) -> float:
    """Temperature at which water boils [K]."""
    return float(PropsSI("T", "P", gauge + ATM, "Q", 0.0, WATER))


def steam_pressure(kelvin: float) -> float:
    """Gauge pressure at which water boils [Pa]."""
    return float(PropsSI("P", "T", kelvin, "Q", 0.0, WATER)) - ATM


def steam_density(gauge: float, kelvin: float) -> float:
    """Of steam, dry where it is no hotter than it condenses."""
    if kelvin <= boils_at(gauge) + 1e-6:
        return float(PropsSI("D", "P", gauge + ATM, "Q", 1.0, WATER))
    return float(PropsSI("D", "P", gauge + ATM, "T", kelvin, WATER))


def water_density(gauge: float, kelvin: float | None) -> float:
    """Of liquid water; boiling, where no temperature is given."""
    if kelvin is None:
        return float(PropsSI("D", "P", gauge + ATM, "Q", 0.0, WATER))
    return float(PropsSI("D", "P", gauge + ATM, "T", kelvin, WATER))


# --- temperature of flows -----------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class FlowOfHeat:
    """A liquid that flows along the well, between *top* and *bottom* (measured); what the file says of it, in SI."""

    kind: str
    capacity: float  # mass rate times specific heat [W/K]
    inlet: float
    ground: Callable[[float], float]  # undisturbed temperature against measured depth
    tvd: Callable[[float], float]
    top: float
    bottom: float
    out: float  # resistance of a metre from the liquid to the undisturbed ground [K m/W]
    across: float = math.inf  # and through the drill string

    def temperatures(self) -> Line:
        """Temperature of the pipe against vertical depth, by Runge-Kutta in steps of a metre."""
        count = round(self.bottom - self.top)
        step = (self.bottom - self.top) / count
        if self.kind == "circulation":
            return self._around(count, step)
        up = self.kind == "production"

        def rate(s: float, T: float) -> float:
            return (self.ground(self.bottom - s if up else self.top + s) - T) / (self.capacity * self.out)

        T, found = self.inlet, []
        for i in range(count + 1):
            s = i * step
            found.append((self.tvd(self.bottom - s if up else self.top + s), T))
            k1 = rate(s, T)
            k2 = rate(s + step / 2.0, T + step / 2.0 * k1)
            k3 = rate(s + step / 2.0, T + step / 2.0 * k2)
            T += step / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + rate(s + step, T + step * k3))
        return sorted(found)

    def _around(self, count: int, step: float) -> Line:
        """Down the drill string and up outside: two shots of the pair, put together so that they meet at the bottom."""

        def shot(annulus: float) -> tuple[Floats, list[float]]:
            both, outside = np.array([self.inlet, annulus]), []
            for i in range(count + 1):
                s = self.top + i * step
                outside.append(float(both[1]))
                k1 = self._rates(s, both)
                k2 = self._rates(s + step / 2.0, both + step / 2.0 * k1)
                k3 = self._rates(s + step / 2.0, both + step / 2.0 * k2)
                k4 = self._rates(s + step, both + step * k3)
                last, both = both, both + step / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)
            return last, outside

        (a, first), (c, second) = shot(300.0), shot(400.0)
        part = (a[1] - a[0]) / ((a[1] - a[0]) - (c[1] - c[0]))
        depths = [self.tvd(self.top + i * step) for i in range(count + 1)]
        return [(z, (1.0 - part) * u + part * v) for z, u, v in zip(depths, first, second, strict=True)]

    def _rates(self, s: float, both: Floats) -> Floats:
        into = (both[1] - both[0]) / self.across
        return np.array([into, into - (self.ground(min(s, self.bottom)) - both[1]) / self.out]) / self.capacity


def ground_resistance(conductivity: float, diffusivity: float, radius: float, time: float) -> float:
    """Of a metre of ground, that has been heated for a time: f(t) / 2 pi k."""
    t = diffusivity * time / radius**2
    f = 1.1281 * math.sqrt(t) * (1.0 - 0.3 * math.sqrt(t))
    if t > 1.5:
        f = (0.4063 + 0.5 * math.log(t)) * (1.0 + 0.6 / t)
    return f / (2.0 * math.pi * conductivity)
