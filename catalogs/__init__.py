"""Pipe sizes, grades and couplings as data files, read by `casingloads.catalog`.

Files
-----
casing_sizes.csv
    The casing sizes of API 5CT / ISO 11960.
casing_sizes_common_practice.csv
    Sizes in common use that the standard's casing list does not hold, and larger conductor sizes.
grades.csv
    Grades of casing (API 5CT) and of line pipe (API 5L), which is used as conductor.
couplings.csv
    Couplings and thread dimensions of the standard's connections: STC, LTC, BTC.
thread_constants.csv
    Numbers that all couplings of a thread share.
sources.csv
    What the keys in the column ``source`` of the other files stand for.

Columns of numbers end in their unit: ``_in``, ``_lbft`` (mass per foot), ``_psi``, ``_pct``, ``_hrc``,
``_hbw``. ``weight_lbft`` is the nominal weight, a label; ``plain_end_weight_lbft`` that of the bare tube.

Columns that say how far to trust a row
---------------------------------------
provenance
    ``seen-at-source``: read in the standard itself. ``seen-in-secondary``: read in a copy of it.
    ``from-memory``: recalled by somebody who knew the table, not read.
confidence
    ``high``: seen at the source (no row yet). ``medium``: seen in a secondary copy. ``low``: from memory,
    or in doubt for the reason given under ``notes``. A row of low confidence is named under Assumptions
    in every result that uses it.
grades_provenance
    The same for the list of grades in which a size is made; ``not recorded`` where nobody noted it.
od_provenance
    The same for the diameter and length of a coupling; ``provenance`` then holds for its thread.
alternate_drift_provenance
    The same for the alternate drift, if there is one. Where it is empty, ``provenance`` holds.
status
    ``standard``: in the standard's casing list. ``common practice``: not in it.
"""
