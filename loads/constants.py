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

INCH: Final = 0.0254
"""Inch [m], exact since 1959."""

PSI: Final = 0.45359237 * GRAVITY / INCH**2
"""Pound-force per square inch [Pa]; exact, by pound, inch and standard gravity."""

STEEL_MODULUS: Final = 30e6 * PSI
"""Modulus of steel [Pa] in the formulas of the standard (API Bulletin 5C3), 30e6 psi."""

STEEL_DENSITY: Final = 7850.0
"""Density of steel [kg/m3], 490 lb/ft3; handbook value."""
