"""Plugins: what a plugin may offer, and the set of plugins a run works with.

Built-in load cases and strength models come through the same door as a stranger's: the entry-point group
``casingloads``, or a module handed over by name or path.
"""

from __future__ import annotations

import hashlib
import importlib
import importlib.util
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from importlib.metadata import entry_points
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any

import pluggy

from .case import LoadCase
from .catalog import Catalog
from .errors import InputError, Problem

if TYPE_CHECKING:
    from .strength.model import StrengthModel

GROUP = "casingloads"
hookspec = pluggy.HookspecMarker(GROUP)
hookimpl = pluggy.HookimplMarker(GROUP)


class Specifications:
    """The hooks; each is called once, when a set of plugins is put together, and only returns objects."""

    @hookspec
    def casingloads_load_cases(self) -> Sequence[LoadCase]:  # type: ignore[empty-body]
        """Return the load cases this plugin offers."""

    @hookspec
    def casingloads_strength_models(self) -> Sequence[StrengthModel]:  # type: ignore[empty-body]
        """Return the strength models this plugin offers."""

    @hookspec
    def casingloads_catalogs(self) -> Sequence[Catalog]:  # type: ignore[empty-body]
        """Return the catalogs this plugin offers."""


_HOOKS = [name for name in vars(Specifications) if name.startswith("casingloads_")]


@dataclass(frozen=True, kw_only=True)
class Loaded:
    """A plugin as loaded: its name, version, where it came from, hash of its file, what it adds."""

    name: str
    version: str
    origin: str
    digest: str
    cases: tuple[str, ...]
    models: tuple[str, ...]
    catalogs: int


@dataclass(frozen=True, kw_only=True)
class Plugins:
    """The load cases, strength models and catalogs of a run.

    Attributes
    ----------
    cases : mapping
        Load case by name.
    models : mapping
        Strength model by mode and name.
    catalogs : tuple of Catalog
        In the order of the plugins' names.
    loaded : tuple of Loaded
        Where they came from.
    """

    cases: Mapping[str, LoadCase] = field(default_factory=dict)
    models: Mapping[tuple[str, str], StrengthModel] = field(default_factory=dict)
    catalogs: tuple[Catalog, ...] = ()
    loaded: tuple[Loaded, ...] = ()


def load_plugins(*more: str | Path | ModuleType, installed: bool = True) -> Plugins:
    """Return the plugins of a run: those installed, the core's own, and *more*.

    Parameters
    ----------
    *more : str, Path or module
        A file ``x.py``, the name of an importable module, or a module.
    installed : bool
        Whether to load the entry points of installed distributions (built-in load cases are among them).

    Returns
    -------
    Plugins

    Raises
    ------
    InputError
        When a file or module cannot be loaded, or two plugins offer the same name.
    """
    found: list[tuple[str, str, ModuleType]] = []
    if installed:
        for point in sorted(entry_points(group=GROUP), key=lambda point: point.name):
            version = point.dist.version if point.dist else ""
            found.append((point.name, version, _imported(point.value)))
    found.append(("strength models", "", importlib.import_module(".strength.models", __package__)))
    found.extend((_name(item), "", _module(item)) for item in more)
    return _collected(found)


def _collected(found: Sequence[tuple[str, str, ModuleType]]) -> Plugins:
    cases: dict[str, LoadCase] = {}
    models: dict[tuple[str, str], StrengthModel] = {}
    catalogs: list[Catalog] = []
    loaded: list[Loaded] = []
    owner: dict[object, str] = {}
    for name, version, module in found:
        new_cases, new_models, new_catalogs = _offered(name, module)
        for key in [*(case.name for case in new_cases), *((model.mode, model.name) for model in new_models)]:
            if key in owner:
                raise InputError([Problem(f"plugin {name!r}", f"offers {key!r}, as plugin {owner[key]!r} does")])
            owner[key] = name
        cases.update((case.name, case) for case in new_cases)
        models.update(((model.mode, model.name), model) for model in new_models)
        catalogs.extend(new_catalogs)
        loaded.append(
            Loaded(
                name=name,
                version=version,
                origin=module.__name__,
                digest=_digest(module),
                cases=tuple(case.name for case in new_cases),
                models=tuple(f"{model.mode}: {model.name}" for model in new_models),
                catalogs=len(new_catalogs),
            )
        )
    return Plugins(cases=cases, models=models, catalogs=tuple(catalogs), loaded=tuple(loaded))


def _offered(name: str, module: ModuleType) -> tuple[list[LoadCase], list[StrengthModel], list[Catalog]]:
    """Return what a plugin offers.

    Raises
    ------
    InputError
        When a hook is misspelt, fails, or returns something else.
    """
    from .strength.model import StrengthModel

    manager = pluggy.PluginManager(GROUP)
    manager.add_hookspecs(Specifications)
    try:
        manager.register(module, name)
        manager.check_pending()
        hooks = (
            (manager.hook.casingloads_load_cases(), LoadCase),
            (manager.hook.casingloads_strength_models(), StrengthModel),
            (manager.hook.casingloads_catalogs(), Catalog),
        )
        found: list[list[Any]] = [[item for offered in answers for item in offered] for answers, _ in hooks]
    except Exception as error:  # a plugin may fail in any way; the user needs its name and the reason
        message = f"{error}; the hooks are {', '.join(_HOOKS)}"
        raise InputError([Problem(f"plugin {name!r}", message)]) from error
    for items, (_, kind) in zip(found, hooks, strict=True):
        for item in items:
            if not isinstance(item, kind):
                message = f"offers {item!r}, not a {kind.__name__}; decorate it (cl.load_case, cl.strength_model)"
                raise InputError([Problem(f"plugin {name!r}", message)])
    return found[0], found[1], found[2]


def _digest(module: ModuleType) -> str:
    file = getattr(module, "__file__", None)
    return hashlib.sha256(Path(file).read_bytes()).hexdigest() if file else ""


def _name(item: str | Path | ModuleType) -> str:
    return item.__name__ if isinstance(item, ModuleType) else Path(item).stem


def _module(item: str | Path | ModuleType) -> ModuleType:
    if isinstance(item, ModuleType):
        return item
    if str(item).endswith(".py") or "/" in str(item):
        return _from_file(Path(item))
    return _imported(str(item))


def _imported(name: str) -> ModuleType:
    try:
        return importlib.import_module(name)
    except (Exception, SystemExit) as error:  # a plugin may fail in any way; the user needs its name and the reason
        raise InputError([Problem(f"plugin {name!r}", f"cannot be imported: {error!r}")]) from error


def _from_file(path: Path) -> ModuleType:
    if not path.is_file():
        raise InputError([Problem(f"plugin {str(path)!r}", "no such file; give a .py file or a module's name")])
    spec = importlib.util.spec_from_file_location(f"casingloads_plugin_{path.stem}", path)
    if spec is None or spec.loader is None:
        raise InputError([Problem(f"plugin {str(path)!r}", "is not a Python file")])
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    try:
        spec.loader.exec_module(module)
    except (Exception, SystemExit) as error:  # as above
        raise InputError([Problem(f"plugin {str(path)!r}", f"cannot be loaded: {error!r}")]) from error
    return module
