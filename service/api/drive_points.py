"""The operating points of a checked drive in the caller's units, each by its own method, and what changes between."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Literal, NamedTuple

import msgspec
from msgspec import UNSET, Meta, UnsetType

from service.api.drive_fields import present_drive
from service.api.pull_drive_fields import present_pull
from service.api.running_fields import present_running
from service.api.silent_drive_fields import present_silent
from service.calculations.pull_check import PullPoint
from service.calculations.silent_check import SilentPoint

if TYPE_CHECKING:
    from service.api.quantities import Presenter
    from service.calculations.drive_check import DriveCheckResult, DrivePoint
    from service.reference.catalogue import Reference

Method = Literal["power_ratings", "silent_ratings", "chain_pull"]


class DriveChange(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What changes from the first operating point to the second, in per cent of the first."""

    rated_power_percent: Annotated[
        float, Meta(description="Of the power that is rated or allowed before the service factor.")
    ]
    design_power_percent: float
    chain_speed_percent: float
    effective_pull_percent: float
    joint_flexings_percent: Annotated[float, Meta(description="Turnings of a joint in an hour.")]
    joint_wear_index_percent: (
        Annotated[float, Meta(description="Pressure times sliding way in an hour, oil and dirt unchanged.")] | UnsetType
    ) = UNSET
    utilisation_before: float
    utilisation_after: float
    governed_by_before: str
    governed_by_after: str
    lubrication_before: str
    lubrication_after: str


class _Compared(NamedTuple):
    """The figures of a point that are compared."""

    rated_power_kw: float
    design_power_kw: float
    chain_speed_m_s: float
    pull_n: float
    utilisation: float
    governed_by: str
    lubrication: str


def present_points(result: DriveCheckResult, presenter: Presenter, reference: Reference) -> dict[str, Any]:
    """The fields of the answer by name."""
    now, changed = result.point, result.changed
    method = _method(now)
    fields: dict[str, Any] = {
        "method": method,
        "verdict": "carries" if (changed or now).option.utilisation <= 1.0 else "overloaded",
        **_point(now, "", presenter, reference),
    }
    if changed is not None:
        fields |= _point(changed, "changed_", presenter, reference)
        fields["change"] = _change(now, changed, presenter)
        if _method(changed) != method:
            fields["changed_method"] = _method(changed)
    return fields


def _method(point: DrivePoint) -> Method:
    if isinstance(point, SilentPoint):
        return "silent_ratings"
    return "chain_pull" if isinstance(point, PullPoint) else "power_ratings"


def _point(point: DrivePoint, prefix: str, presenter: Presenter, reference: Reference) -> dict[str, Any]:
    """The drive at one point, under the names of its method."""
    fields: dict[str, Any] = {f"{prefix}running": present_running(point.running, presenter)}
    if isinstance(point, SilentPoint):
        fields["ratings_generation"] = point.case.tables.generation
        fields[f"{prefix}silent_drive"] = present_silent(point.option, point.case.service_factor, presenter)
    elif isinstance(point, PullPoint):
        fields[f"{prefix}pull_drive"] = present_pull(point.option, presenter)
    else:
        also = reference.equivalents.same_size(point.option.chain.designation)
        fields["ratings_edition"] = point.load.edition
        fields[f"{prefix}drive"] = present_drive(point.option, point.load.service_factor, also, presenter, point.iso)
    return fields


def _compared(point: DrivePoint) -> _Compared:
    if isinstance(point, PullPoint):
        pulled = point.option
        return _Compared(
            pulled.power_at_allowable_kw * pulled.case.service_factor,
            pulled.case.power_kw * pulled.case.service_factor,
            pulled.chain_speed_m_s,
            pulled.pull_n,
            pulled.utilisation,
            pulled.governed_by,
            "not_read",
        )
    if isinstance(point, SilentPoint):
        silent = point.option
        return _Compared(
            silent.rated_power_kw,
            silent.design_power_kw,
            silent.chain_speed_m_s,
            silent.effective_pull_n,
            silent.utilisation,
            "rated_power",
            "not_read",
        )
    roller = point.option
    return _Compared(
        roller.rated_power_kw,
        roller.design_power_kw,
        roller.chain_speed_m_s,
        roller.forces.pull_n,
        roller.utilisation,
        roller.governed_by,
        roller.lubrication or "not_read",
    )


def _change(before: DrivePoint, after: DrivePoint, presenter: Presenter) -> DriveChange:
    def growth(new: float, old: float) -> float:
        return presenter.number(100.0 * (new / old - 1.0))

    old, new = _compared(before), _compared(after)
    was, now = before.running, after.running
    return DriveChange(
        rated_power_percent=growth(new.rated_power_kw, old.rated_power_kw),
        design_power_percent=growth(new.design_power_kw, old.design_power_kw),
        chain_speed_percent=growth(new.chain_speed_m_s, old.chain_speed_m_s),
        effective_pull_percent=growth(new.pull_n, old.pull_n),
        joint_flexings_percent=growth(now.flexings_per_hour, was.flexings_per_hour),
        joint_wear_index_percent=(
            UNSET if now.joint is None or was.joint is None else growth(now.joint.wear_index, was.joint.wear_index)
        ),
        utilisation_before=presenter.number(old.utilisation),
        utilisation_after=presenter.number(new.utilisation),
        governed_by_before=old.governed_by,
        governed_by_after=new.governed_by,
        lubrication_before=old.lubrication,
        lubrication_after=new.lubrication,
    )
