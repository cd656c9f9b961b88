"""Physical constants, SI."""

from __future__ import annotations

from typing import Final

GRAVITY: Final = 9.80665
"""Standard gravity [m/s2]; 3rd CGPM 1901, exact by definition."""

ATMOSPHERE: Final = 101325.0
"""Standard atmosphere [Pa], taken from gauge to absolute pressure; 10th CGPM 1954, exact by definition."""

GAS_CONSTANT: Final = 8.314462618
"""Molar gas constant [J/(mol K)]; CODATA 2018, exact in the 2019 SI, here to ten digits."""

MOLAR_MASS_AIR: Final = 0.0289647
"""Molar mass of dry air [kg/mol]; handbook value, from memory (ICAO 0.0289644, ISO 6976 0.0289655)."""
