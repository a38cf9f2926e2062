"""A project begun from a mesh in its folder: the survey's draft, made by a process of its own that can be ended."""

from __future__ import annotations

import argparse
import io
import signal
import tempfile
from contextlib import redirect_stderr, redirect_stdout
from multiprocessing.connection import Connection
from pathlib import Path

from ribway.editing.changes import Change, Raw, edited
from ribway.models.file_kinds import PROJECT_FILE
from ribway.models.survey_answers import SURVEY_FILE

MESHES = (".glb", ".gltf", ".obj", ".ply", ".stl", ".3mf", ".off")
_SHEETS = ("equipment.xlsx", "equipment.csv")


def meshes_in(folder: Path) -> list[str]:
    """Names of the mesh files in a folder.

    Args:
        folder: may be missing.
    """
    try:
        items = sorted(folder.iterdir()) if folder.is_dir() else []
    except OSError:
        return []
    return [item.name for item in items if item.suffix.lower() in MESHES and item.is_file()]


def drafting(pipe: Connection) -> None:
    """Survey one mesh, put the draft beside it, and end; the request holds folder and mesh.

    Args:
        pipe: to the server.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server ends it
    _, number, what = pipe.recv()
    folder, mesh = Path(what["folder"]), str(what["mesh"])
    pipe.send(("phase", number, f"surveying {mesh}: its unit, walls, ribs and holes"))
    words = io.StringIO()
    try:
        with tempfile.TemporaryDirectory(dir=folder, prefix=".draft-") as fresh:
            pipe.send(("begun", number, fresh))
            out = Path(fresh) / folder.absolute().name
            good = _surveyed(folder / mesh, out, words)
            if good:
                _put(out, folder, mesh)
    except OSError as error:
        pipe.send(("refused", number, f"{folder}: cannot be written: {error.strerror or error}"))
        return
    kind = "drafted" if good else "refused"
    pipe.send((kind, number, words.getvalue().strip()))


def _surveyed(mesh: Path, out: Path, words: io.StringIO) -> bool:
    """Whether the survey could draft a project; what it says goes into words."""
    from ribway.commands.survey import run
    from ribway.models.project_faults import ProjectFaults
    from ribway.outputs import OutputRefusedError

    given = argparse.Namespace(mesh=mesh, out=out, picture=None, answers=None)
    try:
        with redirect_stdout(words), redirect_stderr(words):
            return run(given) == 0
    except (ProjectFaults, OutputRefusedError) as error:
        words.write(str(error))
        return False


def _put(out: Path, folder: Path, mesh: str) -> None:
    """Move a draft's files into the folder, the project last; nothing that is there is written over."""
    # The page places things by itself: an empty sheet would be one more thing to fill in.
    project = edited((out / PROJECT_FILE).read_text(encoding="utf-8"), _without_sheet)
    survey = out / SURVEY_FILE
    survey.write_text(
        edited(survey.read_text(encoding="utf-8"), lambda _: [Change(("mesh",), mesh)]), encoding="utf-8", newline=""
    )
    items = [item for item in sorted(out.iterdir()) if item.name not in (*_SHEETS, PROJECT_FILE)]
    there = [item.name for item in items if (folder / item.name).exists()]
    if there:
        raise FileExistsError(0, f"there is {', '.join(there)} already: move it away first")
    for item in items:
        item.rename(folder / item.name)
    with (folder / PROJECT_FILE).open("x", encoding="utf-8", newline="") as file:
        file.write(project)


def _without_sheet(_: Raw) -> list[Change]:
    return [Change(("equipment",), None)]
