"""Style and scripts written into a page, and what the page lets a browser run: these and nothing else."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from importlib.resources import files


def text_in(package: str, name: str) -> str:
    """A file that comes with a package.

    Args:
        package: as it is imported.
        name: path below it.
    """
    return files(package).joinpath(name).read_text(encoding="utf-8")


def scripts_in(folders: Sequence[tuple[str, str]]) -> dict[str, str]:
    """Source text of scripts by name.

    Args:
        folders: package and folder below it, each.
    """
    found = {}
    for package, folder in folders:
        for file in files(package).joinpath(folder).iterdir():
            if file.name.endswith(".js"):
                found[file.name] = file.read_text(encoding="utf-8")
    return found


def inside_page(script: str) -> str:
    """A script as it may stand in a page: inside strings, where alone these occur, the backslash changes nothing."""
    return script.replace("</script", "<\\/script").replace("<!--", "<\\!--")


def policy(style: str, script: str) -> str:
    """What the browser may run and fetch: this style, this script, pictures made by it, and nothing from anywhere."""
    return (
        f"default-src 'none'; img-src data: blob:; style-src {_hash(style)}; script-src {_hash(script)}; "
        "base-uri 'none'; form-action 'none'"
    )


def _hash(inline: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(inline.encode('utf-8')).digest()).decode('ascii')}'"
