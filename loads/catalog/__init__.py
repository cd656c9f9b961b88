"""Catalogs of pipe, grades, couplings and connections: finding what a well file names."""

from .catalog import Catalog, CatalogError, Found
from .file import catalog_frames, read_catalog, standard_catalog
from .rows import CatalogPipe, CatalogRow, Grade

__all__ = [
    "Catalog",
    "CatalogError",
    "CatalogPipe",
    "CatalogRow",
    "Found",
    "Grade",
    "catalog_frames",
    "read_catalog",
    "standard_catalog",
]
