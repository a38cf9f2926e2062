"""What a run asks of its conductor: currents node by node, limits, surroundings, and the fuse."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.sizing.errors import BadNumberError, SizingError, check_number
from ribway.sizing.heat.section import Section
from ribway.sizing.maker import MakerLimits, Terminal


@dataclass(frozen=True)
class Leg:
    """A piece of the run that ends at a node where current is drawn; a plain run has one.

    Attributes:
        cut_m: cable length of this piece, one way [m].
        run_a: design current drawn at the node and by everything fed on from it [A].
        start_a: the same while motors start [A]; `run_a` if not given.
        beyond_v: lost past the node in other conductors, down to the worst device, running [V].
        beyond_start_v: the same while starting [V]; `beyond_v` if not given.
        return_ohm: the whole way back of this piece if it is not a core like the one there (body, thinner negative),
            hot [ohm].
        extra_ohm: joints and contacts of this piece [ohm].
    """

    cut_m: float
    run_a: float
    start_a: float | None = None
    beyond_v: float = 0.0
    beyond_start_v: float | None = None
    return_ohm: float | None = None
    extra_ohm: float = 0.0

    def __post_init__(self) -> None:
        check_number(self.cut_m, "cable length of a leg [m]")
        check_number(self.run_a, "running current of a leg [A]")
        check_number(self.beyond_v, "drop beyond a leg [V]")
        check_number(self.extra_ohm, "extra resistance of a leg [ohm]")
        for value, name in (
            (self.start_a, "starting current of a leg [A]"),
            (self.beyond_start_v, "drop beyond a leg while starting [V]"),
            (self.return_ohm, "resistance of a leg's way back [ohm]"),
        ):
            if value is not None:
                check_number(value, name)


@dataclass(frozen=True)
class Stretch:
    """Surroundings of part of the run.

    Attributes:
        where: for the papers, e.g. `loom B, roof void`.
        ambient_c: hottest air there [deg C].
        loaded_conductors: current-carrying conductors in the bundle there, both of this run counted.
        heat: the bundle as the heat balance needs it; None to go by the factor alone.
    """

    where: str
    ambient_c: float
    loaded_conductors: int
    heat: Section | None = None

    def __post_init__(self) -> None:
        if not -60.0 <= self.ambient_c <= 200.0:
            raise BadNumberError(f"{self.where}: ambient is {self.ambient_c!r} C; give one from -60 to 200 C")
        if self.loaded_conductors < 1:
            raise BadNumberError(f"{self.where}: {self.loaded_conductors!r} loaded conductors; give 1 or more")


@dataclass(frozen=True)
class Demand:
    """All that decides whether a stocked conductor will do for a run.

    Attributes:
        legs: pieces of the run from the source on, at least one.
        stretches: surroundings along the run, at least one; the worst one counts.
        nominal_v: nominal voltage of the system [V].
        drop_limit_percent: greatest drop source to device while running [%]; None for no limit.
        start_limit_percent: the same while starting [%]; None for no limit.
        upstream_v: lost before this run begins, with all the current that flows there [V].
        upstream_start_v: the same while starting [V]; `upstream_v` if not given.
        fixed_loss_v: fuse, switch and joint losses given in volts, not ohms [V].
        circuit_a: design current of the whole circuit behind the fuse [A]; this run's own if not given.
        fuse_a: rating of a fuse that is already settled [A]; None to choose one.
        fused: False if no fuse protects this run (then neither is a window asked for).
        conductor_temperature_c: copper temperature for the drop [deg C]; the insulation's rated one if not given. Never
            taken cooler than the hottest stretch.
        least_area_mm2: a user's own least size [mm2].
        maker: what the device's maker asks for; the stricter of it and the rules decides.
        terminals: what the run ends in: terminals, plugs.

    Raises:
        SizingError: no leg or no stretch. BadNumberError: see `check_number`.
    """

    legs: tuple[Leg, ...]
    stretches: tuple[Stretch, ...]
    nominal_v: float
    drop_limit_percent: float | None
    start_limit_percent: float | None = None
    upstream_v: float = 0.0
    upstream_start_v: float | None = None
    fixed_loss_v: float = 0.0
    circuit_a: float | None = None
    fuse_a: float | None = None
    fused: bool = True
    conductor_temperature_c: float | None = None
    least_area_mm2: float = 0.0
    maker: MakerLimits | None = None
    terminals: tuple[Terminal, ...] = ()

    def __post_init__(self) -> None:
        if not self.legs:
            raise SizingError("a run without a leg: give at least one length with its current")
        if not self.stretches:
            raise SizingError("a run without surroundings: give at least one stretch with its ambient")
        check_number(self.nominal_v, "nominal voltage [V]", positive=True)
        check_number(self.upstream_v, "drop before the run [V]")
        check_number(self.fixed_loss_v, "fixed losses [V]")
        check_number(self.least_area_mm2, "least area [mm2]")
        for value, name in (
            (self.drop_limit_percent, "drop limit [%]"),
            (self.start_limit_percent, "drop limit while starting [%]"),
            (self.fuse_a, "fuse rating [A]"),
        ):
            if value is not None:
                check_number(value, name, positive=True)
        for value, name in (
            (self.upstream_start_v, "drop before the run while starting [V]"),
            (self.circuit_a, "current of the circuit [A]"),
        ):
            if value is not None:
                check_number(value, name)

    @property
    def cut_m(self) -> float:
        """Length of the whole run, one way [m]."""
        return sum(leg.cut_m for leg in self.legs)

    @property
    def run_amps(self) -> float:
        """Design current in this run's first piece [A]."""
        return sum(leg.run_a for leg in self.legs)

    @property
    def fuse_load_amps(self) -> float:
        """Design current through the fuse [A]: the circuit's, and never less than this run's."""
        return max(self.run_amps, self.circuit_a or 0.0)

    @property
    def starts(self) -> bool:
        """Whether anything is different while motors start."""
        legs = any(leg.start_a is not None or leg.beyond_start_v is not None for leg in self.legs)
        return legs or self.upstream_start_v is not None

    def copper_c(self, insulation_c: float) -> float:
        """Temperature of the copper the drop is reckoned at [deg C]."""
        said = insulation_c if self.conductor_temperature_c is None else self.conductor_temperature_c
        return max(said, *(stretch.ambient_c for stretch in self.stretches))
