"""Pressure along a string: columns of fluid, what stands behind a pipe, and the fluids themselves."""
