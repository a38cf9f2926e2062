"""Joins standard script modules into one script, so that a page can carry them and still fetch nothing.

A server can hand the same files to a browser as they are. For a page in one file each module becomes a function that is
called once, in the order of their imports. Only the plain forms are known, one to a line that begins with it:
``import { a, b as c } from "./name.js";``, ``export function``, ``export class``, ``export const``, and a closing
``export{a as b};`` as bundlers write it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

IMPORT = re.compile(r'^import \{([^}]*)\} from "\./([\w-]+\.js)";$', re.MULTILINE)
EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const) \*?(\w+))", re.MULTILINE)
CLOSING = re.compile(r"(?<![\w$.])export\s*\{([^}]*)\};?\s*\Z")
STRANGE = re.compile(r"^[ \t]*(?:import|export)[ {*\"'].*$", re.MULTILINE)


class ModuleFormError(ValueError):
    """A module uses a form that cannot be joined."""


def joined(modules: Mapping[str, str], start: str) -> str:
    """Join modules.

    Args:
        modules: source text by file name.
        start: the module that begins.

    Returns:
        One classic script.

    Raises:
        ModuleFormError: a module is missing, imports go round in a circle, or a form is not known.
    """
    order: list[str] = []
    _visit(start, modules, order, ())
    bodies = [f'"{name}": {_wrapped(name, modules[name])}' for name in order]
    calls = [f'modules["{name}"] = sources["{name}"](modules);' for name in order]
    return (
        '(() => {\n"use strict";\nconst modules = {};\nconst sources = {\n'
        + ",\n".join(bodies)
        + "\n};\n"
        + "\n".join(calls)
        + "\n})();\n"
    )


def _visit(name: str, modules: Mapping[str, str], order: list[str], above: tuple[str, ...]) -> None:
    """Puts a module behind all that it imports."""
    if name in above:
        raise ModuleFormError(f"scripts import each other in a circle: {' -> '.join((*above, name))}")
    if name not in modules:
        raise ModuleFormError(f"{above[-1] if above else 'the page'} needs the script {name}, which is not there")
    if name in order:
        return
    for found in IMPORT.finditer(modules[name]):
        _visit(found[2], modules, order, (*above, name))
    order.append(name)


def _wrapped(name: str, source: str) -> str:
    """A module as a function of the modules before it that returns what it exports."""
    exports: dict[str, str] = {}
    closing = CLOSING.search(source)
    if closing:
        source = source[: closing.start()]
        exports |= {outer: inner for inner, outer in _names(closing[1])}
    exports |= {found[1]: found[1] for found in EXPORT.finditer(source)}
    source = EXPORT.sub("", source)
    source = IMPORT.sub(_fetched, source)
    strange = STRANGE.search(source)
    if strange:
        raise ModuleFormError(f"{name}: cannot be joined: {strange[0].strip()[:80]}")
    given = ", ".join(f"{outer}: {inner}" for outer, inner in exports.items())
    return f"(modules) => {{\n{source}\nreturn {{ {given} }};\n}}"


def _fetched(found: re.Match[str]) -> str:
    names = ", ".join(outer if inner == outer else f"{inner}: {outer}" for inner, outer in _names(found[1]))
    return f'const {{ {names} }} = modules["{found[2]}"];'


def _names(text: str) -> list[tuple[str, str]]:
    """``a, b as c`` as pairs of the name before and after ``as``."""
    pairs = []
    for part in filter(None, (part.strip() for part in text.split(","))):
        before, _, after = part.partition(" as ")
        pairs.append((before.strip(), after.strip() or before.strip()))
    return pairs
