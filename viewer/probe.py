"""Whether this machine can draw: tried in a process of its own, since VTK without a driver ends the process it is in.

Run as a command, `python -m ribway.viewer.probe` prints the answer and exits 0 (can draw) or 1.
"""

from __future__ import annotations

import os
import platform
import signal
import subprocess
import sys
from collections.abc import Mapping, MutableMapping, Sequence
from dataclasses import dataclass

WINDOW_VARIABLE = "VTK_DEFAULT_OPENGL_WINDOW"
"""The environment variable by which VTK (9.4 and later) is told which kind of window to open."""

# A blue cube on red, 8 x 8 pixels: the corner must come back red and the middle blue, else nothing was really drawn.
_DRAWING = """
import pyvista
plotter = pyvista.Plotter(off_screen=True, window_size=(8, 8))
plotter.disable_anti_aliasing()
plotter.set_background("red")
plotter.add_mesh(pyvista.Cube(), color="blue", lighting=False)
plotter.render()
pixels = plotter.screenshot(return_img=True)
corner, middle = [tuple(int(value) for value in pixels[place][:3]) for place in ((0, 0), (4, 4))]
if (corner, middle) != ((255, 0, 0), (0, 0, 255)):
    raise SystemExit(f"the pixels read back are {corner} and {middle}, not red and blue")
"""


@dataclass(frozen=True)
class Probe:
    """The answer of a trial drawing.

    Attributes:
        ok: Whether the trial drawing came out.
        reason: Why not; empty when it did.
        advice: What to do about it; empty when it did.
    """

    ok: bool
    reason: str = ""
    advice: str = ""

    def sentence(self) -> str:
        """Say the answer in one line for a person.

        Returns:
            One line, e.g. `Pictures cannot be drawn on this machine: ...; ...`.
        """
        if self.ok:
            return "Pictures can be drawn on this machine."
        return f"Pictures cannot be drawn on this machine: {self.reason}; {self.advice}."


def choose_window(environ: MutableMapping[str, str]) -> None:
    """Tell VTK to draw without a display where there is none, by setting its variable in `environ`.

    To be called with `os.environ` before the first picture of a process. A choice already made there is kept; a blank
    one, on which VTK crashes, is dropped.

    Args:
        environ: The environment, changed in place.
    """
    if not environ.get(WINDOW_VARIABLE):
        environ.pop(WINDOW_VARIABLE, None)
        if platform.system() == "Linux" and not environ.get("DISPLAY"):
            environ[WINDOW_VARIABLE] = "vtkEGLRenderWindow"


def can_draw(
    environ: Mapping[str, str] | None = None,
    command: Sequence[str] = (sys.executable, "-c", _DRAWING),
    time_limit_s: float = 120.0,
) -> Probe:
    """Draw a tiny picture off screen in another process and read its pixels back.

    Takes about a second; nothing that draws is loaded into the calling process.

    Args:
        environ: The environment to draw in; the process's own if None. `choose_window` is applied to a copy.
        command: The command that draws; exit code 0 means it could.
        time_limit_s: How long the drawing may take [s].

    Returns:
        Whether it worked, and if not, why and what to do.
    """
    drawing_environ = dict(os.environ if environ is None else environ)
    choose_window(drawing_environ)
    try:
        done = subprocess.run(
            command,
            env=drawing_environ,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            errors="replace",
            timeout=time_limit_s,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return Probe(False, f"a trial drawing had not ended after {time_limit_s:g} s", _advice())
    except OSError as fault:
        return Probe(False, f"the trial drawing could not be started ({fault})", _advice())
    if done.returncode == 0:
        return Probe(True)
    return Probe(False, _reason(done.returncode, done.stderr), _advice())


def _reason(code: int, stderr: str) -> str:
    """Say how the drawing process ended.

    Args:
        code: Its exit code; negative for a signal, as subprocess gives it.
        stderr: What it wrote to standard error.

    Returns:
        A clause, without a full stop.
    """
    if code < 0:
        return f"a trial drawing was ended by {_signal_name(-code)}, as happens where no graphics driver is installed"
    lines = stderr.strip().splitlines()
    return f"a trial drawing failed with exit code {code}" + (f" ({lines[-1].strip()})" if lines else "")


def _signal_name(number: int) -> str:
    """Name a signal, e.g. `SIGSEGV`; `signal 77` for one that has no name here."""
    try:
        return signal.Signals(number).name
    except ValueError:
        return f"signal {number}"


def _advice() -> str:
    """Say what gives this kind of machine a way to draw."""
    if platform.system() == "Linux":
        return "install Mesa's EGL driver (Debian, Ubuntu: sudo apt-get install libegl1 libgl1-mesa-dri)"
    return "install or renew the graphics driver"


def main() -> int:
    """Print the answer for this machine.

    Returns:
        Exit code: 0 if it can draw, 1 if not.
    """
    answer = can_draw()
    sys.stdout.write(answer.sentence() + "\n")
    return 0 if answer.ok else 1


if __name__ == "__main__":
    raise SystemExit(main())
