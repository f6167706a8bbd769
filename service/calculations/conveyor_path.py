"""The path of a conveyor in its states: sections for the core, envelopes over the chain mass, and tensions."""

from __future__ import annotations

from math import cos
from typing import TYPE_CHECKING, Literal

from service.calculations.conveyor_input import Boot, Curve, Named, Part, Run
from service.core.conveyor_mass import (
    Envelope,
    Line,
    StartRule,
    tension_envelope_at,
    tension_envelopes,
    upper_envelope,
)
from service.core.conveyor_power import acceleration_pull
from service.core.conveyor_pull import (
    Lump,
    PathTensions,
    Section,
    Turn,
    run_tension_change,
    start_tension_for_take_up,
    tensions_along_path,
)
from service.core.conveyor_pull import Run as RunSection
from service.reference.records import Record, field, replace

if TYPE_CHECKING:
    from service.calculations.conveyor_factors import FactorBook
    from service.calculations.conveyor_input import ConveyorSizingInput
    from service.calculations.conveyor_load import SettledLoad
    from service.calculations.trace import Trace
    from service.core.conveyor_mass import MassEnvelopes

State = Literal["empty", "full", "uneven", "start"]


class Loaded(Record, frozen=True, kw_only=True):
    """A state of the conveyor: which runs carry load, and what a start adds."""

    state: State
    runs: frozenset[int]
    friction_ratio: float = 1.0
    acceleration_m_s2: float = 0.0


class ConveyorPath(Record, frozen=True, kw_only=True):
    """A path with its frictions and loads settled; tensions follow from a state and a chain mass.

    ``fixed`` holds what depends on neither: turns and forces, by place in the path.
    """

    parts: tuple[Named, ...]
    angles_rad: tuple[float, ...]
    load: SettledLoad
    rides_on_chain: bool
    load_rests_on_chain: bool
    chain_friction: float
    load_friction: float
    attached_kg_m: float
    chain_lines: int
    least_tension_n: float
    slack_tension_n: float
    take_up_tension_n: float | None
    take_up_point: int
    fixed: dict[int, Turn | Lump] = field(default_factory=dict)

    def sections(self, loaded: Loaded, chain_kg_m: float, *, alone: bool = False) -> list[Section]:
        """Sections of a state with chain of a mass; ``alone`` leaves out all that is no chain, turns excepted."""
        made: list[Section] = []
        for index, named in enumerate(self.parts):
            if isinstance(named.part, Run):
                made.append(self._run(named.part, index, loaded, chain_kg_m, alone=alone))
                continue
            section = self.fixed[index]
            emptied = isinstance(named.part, Boot) and not loaded.runs
            made.append(Lump(force_n=0.0) if isinstance(section, Lump) and (alone or emptied) else section)
        return made

    def _run(self, run: Run, index: int, loaded: Loaded, chain_kg_m: float, *, alone: bool) -> RunSection:
        moving = chain_kg_m if alone else chain_kg_m + self.attached_kg_m
        bears = index in loaded.runs and not alone
        load = self.load.load_kg_m if bears else 0.0
        chain_friction, load_friction = self.frictions(run)
        inertia = 0.0
        if loaded.acceleration_m_s2:
            # Speed and time of a start stand for their quotient here: force for one metre of path.
            inertia = acceleration_pull(
                moved_mass_kg=moving + load, chain_speed_m_s=loaded.acceleration_m_s2, start_time_s=1.0
            )
        walls = self._walls_n_m(index) * loaded.friction_ratio if bears else 0.0
        return RunSection(
            length_m=run.length_m,
            angle_rad=self.angles_rad[index],
            moving_mass_kg_m=moving,
            load_mass_kg_m=load,
            chain_friction=chain_friction * loaded.friction_ratio,
            load_friction=load_friction * loaded.friction_ratio,
            wall_resistance_n_m=walls + inertia,
        )

    def _walls_n_m(self, index: int) -> float:
        """Resistance at the side walls of a run: on an incline the bed bears the material with its cosine only."""
        return self.load.wall_resistance_n_m * cos(self.angles_rad[index])

    def frictions(self, run: Run) -> tuple[float, float]:
        """Friction of the chain and of the load on a run: the run's own, else that of the conveyor."""
        chain = self.chain_friction if run.chain_friction is None else run.chain_friction
        if not run.supported:
            return 0.0, 0.0
        if run.load_friction is not None:
            return chain, run.load_friction
        return chain, chain if self.rides_on_chain and run.chain_friction is not None else self.load_friction

    @property
    def start_rule(self) -> StartRule:
        """What sets the tension on the slack side of the drive."""
        return StartRule(
            least_tension_n=self.least_tension_n,
            slack_tension_n=self.slack_tension_n,
            take_up_tension_n=self.take_up_tension_n,
            take_up_point=self.take_up_point,
        )

    def envelopes(self, loaded: Loaded, trace: Trace) -> MassEnvelopes:
        """Tensions of a state by the mass of the chain."""
        return trace.take(
            tension_envelopes,
            bare=self.sections(loaded, 0.0),
            chain_alone=self.sections(loaded, 1.0, alone=True),
            start=self.start_rule,
        )

    def rests_by_mass(self, loaded: Loaded) -> Envelope:
        """Mass normal to the track on a metre, the greatest of all runs that rest on it, by the mass of the chain."""
        lines = []
        for index, named in enumerate(self.parts):
            if isinstance(named.part, Run) and named.part.supported:
                share = cos(self.angles_rad[index])
                load = self.load.load_kg_m if self.load_rests_on_chain and index in loaded.runs else 0.0
                lines.append(Line(share, share * (self.attached_kg_m + load)))
        return upper_envelope(lines=lines)

    def moved_by_mass(self, loaded: Loaded) -> Line:
        """Mass on the whole path by the mass of the chain: chain, attachments and load."""
        length = load = 0.0
        for index, named in enumerate(self.parts):
            if isinstance(named.part, Run):
                length += named.part.length_m
                load += self.load.load_kg_m * named.part.length_m if index in loaded.runs else 0.0
        return Line(length, length * self.attached_kg_m + load)

    def curve_tensions(self, loaded: tuple[Loaded, ...]) -> list[tuple[float, Envelope]]:
        """Radius of each guide curve that tells it, and the greater tension at its ends by the mass of the chain."""
        found = []
        for index, named in enumerate(self.parts):
            if not isinstance(named.part, Curve) or named.part.radius_mm is None:
                continue
            lines = [
                line
                for state in loaded
                for line in tension_envelope_at(
                    bare=self.sections(state, 0.0),
                    chain_alone=self.sections(state, 1.0, alone=True),
                    start=self.start_rule,
                    point=index + 1,
                )
            ]
            found.append((named.part.radius_mm, upper_envelope(lines=lines)))
        return found

    def tensions(self, loaded: Loaded, chain_kg_m: float, start_n: float, trace: Trace) -> PathTensions:
        """Tension from point to point of a state with a chain of a mass."""
        sections = self.sections(loaded, chain_kg_m)
        if self.take_up_tension_n is not None:
            start_n = trace.take(
                start_tension_for_take_up,
                take_up_tension_n=self.take_up_tension_n,
                point=self.take_up_point,
                sections=sections,
            )
        return trace.take(tensions_along_path, start_tension_n=max(start_n, 0.0), sections=sections)

    def loaded_runs(self) -> frozenset[int]:
        """Places of the runs that carry load."""
        if self.load.load_kg_m == 0:
            return frozenset()
        return frozenset(i for i, named in enumerate(self.parts) if isinstance(named.part, Run) and named.part.loaded)

    def burdening_runs(self) -> frozenset[int]:
        """Places of the loaded runs on which the load adds to the pull; on steep descents it helps."""
        return frozenset(index for index in self.loaded_runs() if self._load_adds(index) > 0)

    def _load_adds(self, index: int) -> float:
        run = self.parts[index].part
        if not isinstance(run, Run):
            return 0.0
        return run_tension_change(
            length_m=run.length_m,
            angle_rad=self.angles_rad[index],
            moving_mass_kg_m=0.0,
            load_mass_kg_m=self.load.load_kg_m,
            chain_friction=0.0,
            load_friction=self.frictions(run)[1],
            wall_resistance_n_m=self._walls_n_m(index),
        )

    def shortened(self) -> ConveyorPath | None:
        """The path before it was lengthened; None where no run was."""
        if not any(isinstance(named.part, Run) and named.part.lengthened_by_m for named in self.parts):
            return None
        return replace(self, parts=tuple(replace(named, part=_before(named.part)) for named in self.parts))


def _before(part: Part) -> Part:
    if isinstance(part, Run) and part.lengthened_by_m:
        return replace(part, length_m=part.length_m - part.lengthened_by_m, lengthened_by_m=0.0)
    return part


def states_of(path: ConveyorPath, given: ConveyorSizingInput, book: FactorBook) -> list[Loaded]:
    """The states to look at: empty, full, unevenly loaded where that pulls more, and the start of the worst of them."""
    loaded, burdening = path.loaded_runs(), path.burdening_runs()
    states = [Loaded(state="empty", runs=frozenset()), Loaded(state="full", runs=loaded)]
    if burdening != loaded:
        states.append(Loaded(state="uneven", runs=burdening))
    drive = given.drive
    if drive.start_time_s is None and drive.starting_friction_ratio is None:
        book.trace.warn(
            "start_not_stated",
            "Nothing says how the conveyor starts, so a start is taken to pull as much as steady running: send"
            " drive.starting_friction_ratio and drive.start_time; no table holds the ratio.",
            severity="info",
            field="drive",
        )
        return states
    ratio = drive.starting_friction_ratio
    if ratio is None:
        ratio = book.default(
            "starting_friction_ratio",
            1.0,
            "no table holds it; starts need more than running",
            "drive.starting_friction_ratio",
        )
    else:
        book.given("starting_friction_ratio", ratio)
    acceleration = 0.0 if drive.start_time_s is None else given.chain_speed_m_s / drive.start_time_s
    states.append(Loaded(state="start", runs=burdening, friction_ratio=ratio, acceleration_m_s2=acceleration))
    return states
