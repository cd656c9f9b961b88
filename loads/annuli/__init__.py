"""Closed annuli: the pressure that heat builds up in them."""
