"""Well control by hydrostatics: a kick, and what the hole and the mud allow."""
