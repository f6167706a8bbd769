"""Factors, frictions, speeds and limits of conveyors and elevators as their sources print them."""

from pathlib import Path
from typing import Literal

from service.core.chain_pull_drive import SpeedFactorPoint
from service.reference.loader import TABLES, Row, Table, load_table
from service.reference.records import Record

SpeedSystem = Literal["large_conveyor_chain", "roller_conveyor_chain", "safety_on_ultimate"]
ServiceGroup = Literal["load", "shock_frequency", "surroundings", "daily_hours"]
RankingTerm = Literal["mass", "fitness", "unjudged", "recalled", "small_reserve"]
Discharge = Literal["continuous", "centrifugal_fine", "centrifugal_coarse"]


class SpeedFactorRow(Row, frozen=True, kw_only=True):
    """Factor of speed and teeth; a doubtful figure is shown and left out of use."""

    teeth: int
    speed_ft_min: float
    factor: float
    doubtful: bool = False


class SpeedBandRow(Row, frozen=True, kw_only=True):
    """Factor of one band of speed; ``above`` is outside the band and ``up_to`` inside."""

    system: SpeedSystem
    above: float
    up_to: float
    unit: Literal["m/min", "ft/min"]
    factor: float


class ServiceConditionRow(Row, frozen=True, kw_only=True):
    """Service factor of one condition; one of each group is multiplied."""

    group: ServiceGroup
    condition: str
    factor: float


class TrackFrictionRow(Row, frozen=True, kw_only=True):
    """Friction of chain on its track."""

    condition: str
    friction: float


class RollerFrictionRow(Row, frozen=True, kw_only=True):
    """One quantity that roller friction is worked out from."""

    quantity: str
    value_min: float
    value_max: float | None = None
    unit: str


class MaterialFrictionRow(Row, frozen=True, kw_only=True):
    """Friction of a material on a surface."""

    material: str
    surface: str
    friction: float


class WallConstantRow(Row, frozen=True, kw_only=True):
    """Side-wall constant of a material, metric c or inch C."""

    material: str
    system: Literal["metric", "inch"]
    constant: float


class DiggingRow(Row, frozen=True, kw_only=True):
    """Digging factor of a kind of discharge."""

    discharge: Discharge
    factor: float


class ConveyorSpeedRow(Row, frozen=True, kw_only=True):
    """Speeds in use for a machine and material."""

    machine: str
    material: str
    speed_max_ft_min: float
    speed_min_ft_min: float | None = None


class ConveyorLimitRow(Row, frozen=True, kw_only=True):
    """One limit of a machine."""

    machine: str
    condition: str
    quantity: Literal["incline_max", "fill", "sag_over_span_min"]
    value: float
    unit: str


class TemperatureRow(Row, frozen=True, kw_only=True):
    """Share of the allowable load between two temperatures, the lower included."""

    chain: str
    temperature_min_f: float
    temperature_max_f: float
    factor: float

    @property
    def least_c(self) -> float:
        """Lower end in degrees Celsius, itself included."""
        return (self.temperature_min_f - 32.0) / 1.8

    @property
    def greatest_c(self) -> float:
        """Upper end in degrees Celsius, itself left out."""
        return (self.temperature_max_f - 32.0) / 1.8


class ConveyorRankingRow(Row, frozen=True, kw_only=True):
    """Weight of one term of the score of conveyor chains; a lower score ranks better."""

    term: RankingTerm
    weight: float
    unit: str


class ConveyorFactors(Record, frozen=True):
    """All tables on conveyors and elevators."""

    speed_factors: Table[SpeedFactorRow]
    speed_bands: Table[SpeedBandRow]
    service_factors: Table[ServiceConditionRow]
    track_frictions: Table[TrackFrictionRow]
    roller_frictions: Table[RollerFrictionRow]
    material_frictions: Table[MaterialFrictionRow]
    wall_constants: Table[WallConstantRow]
    digging_factors: Table[DiggingRow]
    speeds: Table[ConveyorSpeedRow]
    limits: Table[ConveyorLimitRow]
    temperature_factors: Table[TemperatureRow]
    ranking: Table[ConveyorRankingRow]

    def speed_factor_points(self) -> tuple[SpeedFactorPoint, ...]:
        """The figures of speed and teeth that are in use: all but the doubtful ones."""
        return tuple(
            SpeedFactorPoint(teeth=row.teeth, speed_ft_min=row.speed_ft_min, factor=row.factor)
            for row in self.speed_factors.rows
            if not row.doubtful
        )


def load_conveyor_factors(folder: Path = TABLES) -> ConveyorFactors:
    """Load every table on conveyors and elevators; BadTable if one breaks its card."""
    return ConveyorFactors(
        speed_factors=load_table("conveyor_speed_factors", SpeedFactorRow, folder),
        speed_bands=load_table("conveyor_speed_bands", SpeedBandRow, folder),
        service_factors=load_table("conveyor_service_factors", ServiceConditionRow, folder),
        track_frictions=load_table("track_frictions", TrackFrictionRow, folder),
        roller_frictions=load_table("roller_frictions", RollerFrictionRow, folder),
        material_frictions=load_table("material_frictions", MaterialFrictionRow, folder),
        wall_constants=load_table("wall_constants", WallConstantRow, folder),
        digging_factors=load_table("digging_factors", DiggingRow, folder),
        speeds=load_table("conveyor_speeds", ConveyorSpeedRow, folder),
        limits=load_table("conveyor_limits", ConveyorLimitRow, folder),
        temperature_factors=load_table("temperature_factors", TemperatureRow, folder),
        ranking=load_table("conveyor_ranking", ConveyorRankingRow, folder),
    )
