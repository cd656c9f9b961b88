"""Ratios of times, measured in one run and printed; nothing is judged here.

The command on the largest example against importing numpy, scipy, pandas and pint alone: the aim is at most 2.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
LARGEST = ROOT / "examples" / "skerrow-3.toml"
RUNS = 7


def seconds(*arguments: str) -> float:
    """Return the wall time of a Python process."""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    """Print the ratios."""
    libraries = ["-c", "import numpy, scipy, pandas, pint"]
    command = ["-m", "casingloads", "check", str(LARGEST)]
    seconds(*libraries)
    seconds(*command)  # once each, so that files are in the cache
    pairs = [(seconds(*libraries), seconds(*command)) for _ in range(RUNS)]
    importing, checking = (statistics.median(times) for times in zip(*pairs, strict=True))
    print(f"import of numpy, scipy, pandas, pint: {importing:.3f} s (median of {RUNS}, alternating)")
    print(f"casingloads check {LARGEST.name}:     {checking:.3f} s")
    print(f"ratio: {checking / importing:.2f} (aim: at most 2)")


if __name__ == "__main__":
    main()
