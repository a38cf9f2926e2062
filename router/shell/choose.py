"""The shell a project asks for: a preset with what was measured, a tape, or a mesh file with named parts."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from ribway.models.project import Project
from ribway.models.vehicle import Vehicle
from ribway.router.errors import RouterError
from ribway.router.faults import RouterFaults
from ribway.router.shell.build import build
from ribway.router.shell.errors import ShellError
from ribway.router.shell.from_project import mesh_shell, preset_parameters
from ribway.router.shell.parameters import ShellParameters
from ribway.router.shell.parts import Shell
from ribway.router.shell.surveyed import surveyed
from ribway.router.shell.tape import tape_shell
from ribway.router.shell.tape_faults import TapeError


@lru_cache(maxsize=4)
def _built(parameters: ShellParameters) -> Shell:
    """A shell from its parameters; alternatives of one project mostly share it."""
    return build(parameters)


def shell_of(project: Project, folder: Path) -> Shell:
    """Build or read the project's shell.

    Args:
        project: what the user said.
        folder: where the project file lies; a mesh path is relative to it.

    Raises:
        RouterFaults: an unknown preset or parameter, a tape that makes no van, or a mesh that can't be used.
    """
    return shell_of_vehicle(project.vehicle, folder)


def shell_of_vehicle(vehicle: Vehicle, folder: Path) -> Shell:
    """Build or read the shell of a vehicle, of a project that may not be complete yet.

    Args:
        vehicle: what the user said of it.
        folder: as for `shell_of`.

    Raises:
        RouterFaults: as for `shell_of`.
    """
    try:
        if vehicle.preset is not None:
            return _built(preset_parameters(vehicle))
        if vehicle.tape is not None:
            return _built(tape_shell(vehicle.tape).parameters)
        return mesh_shell(vehicle, folder)
    except TapeError as fault:
        raise _faults_of(fault) from fault
    except ShellError as fault:
        place = " / ".join(part for part in ("vehicle", fault.place) if part)
        raise RouterFaults(tuple(RouterError(place, sentence, "") for sentence in fault.sentences)) from fault


def survey_of(project: Project) -> Project:
    """The project with its tape's holes and keep-outs, every place from the bare floor.

    Args:
        project: what the user said.

    Raises:
        RouterFaults: a tape that makes no van, all its faults.
    """
    try:
        return surveyed(project)
    except TapeError as fault:
        raise _faults_of(fault) from fault


def _faults_of(fault: TapeError) -> RouterFaults:
    return RouterFaults(tuple(RouterError(one.place, one.found, one.accepted) for one in fault.faults))
