"""The lines of a scan as the tape section of a project file, and as the tape itself."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.tape import Tape
from ribway.models.yaml_text import parse_yaml
from ribway.router.survey.scan.atlas import Gap
from ribway.router.survey.scan.lines import ScanLines


def tape_lines(lines: ScanLines) -> Iterator[str]:
    """The vehicle's ``tape`` section, without holes: those are a person's to add.

    Args:
        lines: as read off a scan.
    """
    yield "  # Read off a scan: each line counts as a tape reading, so within 5 mm, a rib's place within 10 mm."
    yield "  tape:"
    yield f"    length: {_m(lines.length_m)}"
    yield f"    floor_width: {_m(lines.floor_width_m)}"
    yield f"    waist_width: {_m(lines.waist_width_m)}"
    yield f"    waist_height: {_m(lines.waist_height_m)}"
    yield f"    roof_edge_width: {_m(lines.roof_edge_width_m)}   # under the rail: hidden from a scanner, check it"
    yield f"    roof_edge_height: {_m(lines.roof_edge_height_m)}"
    yield f"    centre_height: {_m(lines.centre_height_m)}"
    yield f"    rear_waist_width: {_m(lines.rear_waist_width_m)}"
    yield f"    ribs_left: {_row(lines.ribs_left)}"
    yield f"    ribs_right: {_row(lines.ribs_right)}"
    if lines.bows:
        yield f"    bows: {_row(lines.bows)}"
    yield f"    rib: {{depth: {_m(lines.rib_depth_m)}, face_width: {_m(lines.rib_width_m)}}}"
    without = []
    if lines.door is None:
        without.append("side_door")
        yield "    # no side door stood open: if the van has one, give side_door and take it out of without"
    else:
        side, gap = lines.door
        yield f"    side_door: {{side: {side}, front: {_m(gap.front_m)}, rear: {_m(gap.rear_m)}}}"
    if lines.arch is None:
        without.append("wheel_arch")
    else:
        arch = lines.arch
        yield (
            f"    wheel_arch: {{front: {_m(arch.front_m)}, length: {_m(arch.length_m)}, height: {_m(arch.height_m)}, "
            f"width: {_m(arch.width_m)}}}"
        )
    if without:
        yield f"    without: [{', '.join(without)}]"
    yield f"    windows: [{', '.join(_window(side, gap) for side, gap in lines.windows)}]"
    yield f"    front: {'bulkhead' if lines.has_bulkhead else 'pillar edge'}"
    yield "    # holes, as the tape finds them; where no row says anything, those of the nearest preset are assumed:"
    yield "    # holes: |"
    yield "    #   L2-L7: 25 mm at 420 mm"


def tape_of(lines: ScanLines) -> Tape:
    """The tape itself.

    Args:
        lines: as read off a scan.
    """
    text = "\n".join(["vehicle:", *tape_lines(lines)])
    return Tape.model_validate(parse_yaml(text, "scan").raw["vehicle"]["tape"])


def _m(value_m: float) -> str:
    return f"{value_m:.3f} m"


def _row(values: tuple[float, ...]) -> str:
    return " ".join(f"{value:.3f}" for value in values) + " m"


def _window(side: str, gap: Gap) -> str:
    return (
        f"{{side: {side}, front: {_m(gap.front_m)}, rear: {_m(gap.rear_m)}, bottom: {_m(gap.bottom_m)}, "
        f"top: {_m(gap.top_m)}}}"
    )
