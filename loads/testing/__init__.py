"""A conformance kit for plugins: dozens of rules for a load case, a strength model or a catalog of one's own.

In a plugin's tests::

    from casingloads.testing import parametrize_with_checks

    @parametrize_with_checks([swabbed_gas])
    def test_conforms(check):
        check()

In a notebook, `run_checks` returns what is wrong, and what to do.
"""

from .engine_rules import Trend
from .finding import Broken, Finding
from .kit import BoundCheck, checks_of, parametrize_with_checks, run_checks
from .samples import Examples
from .wells import WELLS, KitWell

__all__ = [
    "WELLS",
    "BoundCheck",
    "Broken",
    "Examples",
    "Finding",
    "KitWell",
    "Trend",
    "checks_of",
    "parametrize_with_checks",
    "run_checks",
]
