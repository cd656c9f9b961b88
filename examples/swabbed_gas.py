"""A load case of a consultant's own, as one file: hand it over with ``--plugin``."""

import casingloads as cl


@cl.load_case(phase="drilling", source="site instruction 7, rev B")
def swabbed_gas(scene: cl.Scene, *, influx_height: cl.Length, gas_gradient: cl.Gradient = "2.3 kPa/m") -> cl.Load:
    """Swabbed gas at the bottom of the next hole, shut in before it is circulated out.

    Parameters
    ----------
    influx_height : Length
        From the bottom of the hole up.
    gas_gradient : Gradient
        Of the gas.
    """
    mud = scene.next_mud()
    bottom = float(scene.tvd(scene.next_hole.bottom))
    pore = float(scene.pore_pressure(bottom))
    top_of_gas = bottom - influx_height
    at_gas_top = pore - gas_gradient * influx_height
    inside = cl.column_through(mud, depth=top_of_gas, pressure=at_gas_top, top=scene.top_tvd)
    if inside.pressure(scene.top_tvd) < 0.0:
        raise cl.CannotEvaluate("the mud is too heavy for this gas: nothing flows, and the well need not be shut in")
    return scene.load(inside=inside.over(cl.Gas(gas_gradient), contact=top_of_gas), outside=scene.outside_as_run())


@cl.hookimpl
def casingloads_load_cases() -> list[cl.LoadCase]:
    """Offer the case."""
    return [swabbed_gas]
