"""Axial force along a string: hanging free, held by cement, dragged, buckled."""
