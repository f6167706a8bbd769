"""``GET /v1/families``: what is known of each family of chain, and how well it meets each criterion of choice."""

from typing import Annotated, Any

import msgspec
from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath
from msgspec import UNSET, Meta, UnsetType

from service.api.answers import AnswerCaution, Context, Versions
from service.api.attachments import FamilyAttachments, family_attachments
from service.api.chain_sheets import Provenance, lifting_cautions, provenance
from service.api.contract import Example, operation
from service.api.paging import Cursor, Limit, page_of
from service.api.problems import unknown_entry
from service.api.query import read_query
from service.api.representations import Reply, Representation, Representations
from service.reference.families import ANY, CriterionKind, Family, LoadClass, Making, SizesHeld, SpeedClass

Identifier = Annotated[str, Meta(min_length=1, max_length=60)]


class FamilyFilter(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Which families are wanted; all conditions hold together."""

    load_class: Annotated[LoadClass, Meta(description="How heavily it is usually loaded.")] | UnsetType = UNSET
    speed_class: Annotated[SpeedClass, Meta(description="How fast it usually runs.")] | UnsetType = UNSET
    sizes: Annotated[SizesHeld, Meta(description="What the tables hold of its sizes.")] | UnsetType = UNSET
    criterion: Annotated[Identifier, Meta(description="A criterion of choice, such as `abrasion`.")] | UnsetType = UNSET
    min_rating: Annotated[int, Meta(ge=0, le=4, description="Least rating by the criterion.")] = 1
    limit: Limit = 50
    cursor: Cursor | UnsetType = UNSET


class FamilyFacts(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What a family is in few words."""

    id: str
    name: str
    also_called: list[str]
    sizes: SizesHeld
    load_class: LoadClass
    speed_class: SpeedClass
    made_by: list[Making]


class FamilySummary(FamilyFacts, frozen=True, kw_only=True, omit_defaults=True):
    """A family in one line."""

    rating: Annotated[int, Meta(description="By the criterion asked: 0 unfit to 4 first choice.")] | UnsetType = UNSET


class FamilyList(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Families in the order of the register."""

    items: list[FamilySummary]
    total: int
    next_cursor: Annotated[str, Meta(description="Left out on the last page.")] | UnsetType = UNSET
    versions: Versions


class FamilyView(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How much of a family is shown."""

    topic: Annotated[Identifier, Meta(description="Statements on one topic only, such as `joint`.")] | UnsetType = UNSET


class FamilyStatement(msgspec.Struct, frozen=True, kw_only=True):
    """One statement with its source."""

    topic: str
    statement: str
    provenance: Provenance


class FamilyRating(msgspec.Struct, frozen=True, kw_only=True):
    """How well the family meets a criterion: 0 unfit, 1 poor, 2 fair, 3 good, 4 first choice."""

    criterion: str
    kind: CriterionKind
    question: str
    rating: int
    reason: str
    provenance: Provenance


class FamilySizes(msgspec.Struct, frozen=True, kw_only=True):
    """Sizes that belong to the family: those of `GET /v1/chains` with this family and a series that starts so."""

    family: str
    series: str
    count: int


class FamilySheet(FamilyFacts, frozen=True, kw_only=True):
    """What is known of a family of chain."""

    size_groups: list[FamilySizes]
    statements: Annotated[list[FamilyStatement], Meta(description="On this family, in the order of the topics.")]
    general_statements: Annotated[list[FamilyStatement], Meta(description="Holding for chains of every kind.")]
    ratings: list[FamilyRating]
    attachments: FamilyAttachments
    cautions: list[AnswerCaution]
    versions: Versions


def routes(context: Context) -> list[HTTPRouteHandler]:
    """The handlers of this resource."""
    families = {family.id: family for family in context.reference.families.families}
    known = Representations()

    @get(
        "/v1/families",
        **operation(
            "list_families",
            tag="catalogue",
            summary="Families of chain by load, speed and criterion of choice",
            description=(
                "Each family with its usual load and speed; with a criterion only those that reach the least rating, "
                "with their rating. A criterion that there is not is refused with the list of those that there are."
            ),
            examples=LIST_EXAMPLES,
            answer=FamilyList,
            query=FamilyFilter,
        ),
    )
    def list_families(request: Request[Any, Any, Any]) -> Reply:
        wanted = read_query(request, FamilyFilter)
        criteria = [criterion.id for criterion in context.reference.families.criteria]
        if not isinstance(wanted.criterion, UnsetType) and wanted.criterion not in criteria:
            raise unknown_entry("criterion", wanted.criterion, criteria, "criterion")
        lines = [line for family in families.values() if (line := _line(family, wanted, context)) is not None]
        items, next_cursor = page_of(
            lines,
            wanted.cursor,
            wanted.limit,
            filters=msgspec.structs.replace(wanted, limit=50, cursor=UNSET),
            data_version=context.versions.data,
        )
        answer = FamilyList(items=items, total=len(lines), next_cursor=next_cursor, versions=context.versions)
        return Representation.of(answer).reply(request)

    @get(
        "/v1/families/{family:str}",
        **operation(
            "get_family",
            tag="catalogue",
            summary="A family of chain: construction, joint, wheels, wear, use, and how it suits",
            description="Each statement and each rating with its source; common practice is marked as such.",
            examples=EXAMPLES,
            answer=FamilySheet,
            query=FamilyView,
            errors=(404,),
        ),
    )
    def get_family(request: Request[Any, Any, Any], family: FromPath[str]) -> Reply:
        topic = read_query(request, FamilyView).topic
        topics = [entry.id for entry in context.reference.families.topics]
        if family not in families:
            raise unknown_entry("family of chain", family, families)
        if not isinstance(topic, UnsetType) and topic not in topics:
            raise unknown_entry("topic", topic, topics, "topic")
        return known.get((family, topic), lambda: _sheet(families[family], topic or None, context)).reply(request)

    return [list_families, get_family]


def _facts(family: Family) -> dict[str, Any]:
    facts = msgspec.structs.asdict(family)
    return {name: facts[name] for name in FamilyFacts.__struct_fields__}


def _line(family: Family, wanted: FamilyFilter, context: Context) -> FamilySummary | None:
    """The family in one line, if it meets the filter."""
    if not (
        wanted.load_class in (UNSET, family.load_class)
        and wanted.speed_class in (UNSET, family.speed_class)
        and wanted.sizes in (UNSET, family.sizes)
    ):
        return None
    rating: int | UnsetType = UNSET
    if not isinstance(wanted.criterion, UnsetType):
        rating = context.reference.families.rating(family.id, wanted.criterion).rating
        if rating < wanted.min_rating:
            return None
    return FamilySummary(**_facts(family), rating=rating)


def _sheet(family: Family, topic: str | None, context: Context) -> FamilySheet:
    families = context.reference.families
    lifts = families.rating(family.id, "lift").rating > 0 or families.rating(family.id, "hold").rating > 0
    return FamilySheet(
        **_facts(family),
        size_groups=[
            FamilySizes(
                family=group.family,
                series=group.series,
                count=sum(group.holds(size.row) for size in context.reference.chains.sizes),
            )
            for group in family.size_groups
        ],
        statements=_statements(family.id, topic, context),
        general_statements=_statements(ANY, topic, context),
        ratings=[
            FamilyRating(
                criterion=criterion.id,
                kind=criterion.kind,
                question=criterion.question,
                rating=row.rating,
                reason=row.reason,
                provenance=provenance(row),
            )
            for criterion in families.criteria
            for row in [families.rating(family.id, criterion.id)]
        ],
        attachments=family_attachments(family.id, context),
        cautions=lifting_cautions(context) if lifts else [],
        versions=context.versions,
    )


def _statements(family: str, topic: str | None, context: Context) -> list[FamilyStatement]:
    return [
        FamilyStatement(topic=row.topic, statement=row.statement, provenance=provenance(row))
        for row in context.reference.families.statements(family, topic)
    ]


LIST_EXAMPLES = {
    "first_choice_for_lifting": Example("First choice to lift", query={"criterion": "lift", "min_rating": "4"}),
    "rating_beyond_the_scale": Example("A rating that there is not", query={"min_rating": "5"}, status=422),
}
EXAMPLES = {
    "joint_of_draw_bench_chain": Example(
        "How the joint of draw-bench chain works", path={"family": "draw_bench"}, query={"topic": "joint"}
    ),
    "not_listed": Example("A family that there is not", path={"family": "paper"}, status=404),
}
