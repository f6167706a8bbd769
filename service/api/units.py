"""``GET /v1/units`` and ``GET /v1/quantities``: unit tokens, and the quantities that figures of chain carry."""

from typing import Annotated, Any

import msgspec
from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import Context, Versions
from service.api.contract import Example, operation
from service.api.paging import Cursor, Limit, page_of
from service.api.query import read_query
from service.api.representations import Reply, Representation, Representations
from service.reference.quantities import QuantityKind
from service.units.table import UNITS


class UnitFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Which kind of quantity is wanted."""

    kind: (
        Annotated[str, Meta(min_length=1, max_length=40, description="Kind of quantity, such as `force`.")] | UnsetType
    ) = UNSET


class UnitToken(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """An accepted token: `canonical = value * factor + offset`."""

    token: str
    factor: float
    offset: float
    ucum: Annotated[str, Meta(description="The Unified Code for Units of Measure; empty where it has none.")]
    rec20: Annotated[str, Meta(description="UN/CEFACT Recommendation 20; empty where it has none.")]
    reading: Annotated[str, Meta(description="How an ambiguous token is read; a warning says so.")] = ""


class RefusedToken(msgspec.Struct, frozen=True, kw_only=True):
    """A token that means several things."""

    token: str
    hint: str


class UnitKind(msgspec.Struct, frozen=True, kw_only=True):
    """A kind of quantity: the unit of the factors, the units of answers, and the tokens that are read."""

    kind: str
    canonical: str
    metric: Annotated[str, Meta(description="Unit of metric answers.")]
    inch: Annotated[str, Meta(description="Unit of inch answers.")]
    tokens: list[UnitToken]
    refused: list[RefusedToken]


class UnitList(msgspec.Struct, frozen=True, kw_only=True):
    """Kinds of quantity with their units."""

    items: list[UnitKind]
    versions: Versions


class QuantityFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which quantities are wanted."""

    kind: Annotated[QuantityKind, Meta(description="Kind of quantity.")] | UnsetType = UNSET
    limit: Limit = 100
    cursor: Cursor | UnsetType = UNSET


class QuantityMeaning(msgspec.Struct, frozen=True, kw_only=True):
    """A quantity that figures of chain carry."""

    id: str
    kind: QuantityKind
    meaning: str


class QuantityList(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Quantities in the order of the register."""

    items: list[QuantityMeaning]
    total: int
    next_cursor: Annotated[str, Meta(description="Left out on the last page.")] | UnsetType = UNSET
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of these resources."""
    kinds = _kinds()
    quantities = [
        QuantityMeaning(id=quantity.id, kind=quantity.kind, meaning=quantity.meaning)
        for quantity in context.reference.quantities.values()
    ]
    known = Representations()

    @get(
        "/v1/units",
        **operation(
            "list_units",
            tag="provenance",
            summary="Unit tokens of each kind of quantity",
            description=(
                "The closed list of tokens that requests may use, with exact factors to the unit used inside, open "
                "codes, and the tokens that are refused because they mean several things. A kind that there is not "
                "has no items."
            ),
            examples=UNIT_EXAMPLES,
            answer=UnitList,
            query=UnitFilter,
        ),
    )
    def list_units(request: Request[Any, Any, Any]) -> Reply:
        kind = read_query(request, UnitFilter).kind
        items = [entry for entry in kinds if kind in (UNSET, entry.kind)]
        key = kind if items else None
        return known.get(key, lambda: UnitList(items=items, versions=context.versions)).reply(request)

    @get(
        "/v1/quantities",
        **operation(
            "list_quantities",
            tag="provenance",
            summary="Quantities that figures of chain carry",
            description="What each name means that stands as `quantity` at a figure of a size.",
            examples=QUANTITY_EXAMPLES,
            answer=QuantityList,
            query=QuantityFilter,
        ),
    )
    def list_quantities(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, QuantityFilter)
        found = [entry for entry in quantities if wanted.kind in (UNSET, entry.kind)]
        items, next_cursor = page_of(
            found, wanted.cursor, wanted.limit, filters=wanted.kind or 0, data_version=context.versions.data
        )
        answer = QuantityList(items=items, total=len(found), next_cursor=next_cursor, versions=context.versions)
        return Representation.of(answer).reply(request)

    return [list_units, list_quantities]


def _kinds() -> list[UnitKind]:
    return [
        UnitKind(
            kind=name,
            canonical=kind.canonical,
            metric=kind.metric,
            inch=kind.inch,
            tokens=[
                UnitToken(
                    token=token,
                    factor=UNITS.factors[name][token].factor,
                    offset=UNITS.factors[name][token].offset,
                    ucum=definition.ucum,
                    rec20=definition.rec20,
                    reading=definition.reading,
                )
                for token, definition in kind.tokens.items()
            ],
            refused=[RefusedToken(token=token, hint=hint) for token, hint in kind.refused.items()],
        )
        for name, kind in UNITS.kinds.items()
    ]


UNIT_EXAMPLES = {
    "forces": Example("Units of force", query={"kind": "force"}),
    "parameter_unknown": Example("A parameter that there is not", query={"quantity": "force"}, status=422),
}
QUANTITY_EXAMPLES = {
    "forces": Example("Forces", query={"kind": "force", "limit": "1"}, varying=("total", "next_cursor")),
    "kind_unknown": Example("A kind that figures do not have", query={"kind": "power"}, status=422),
}
