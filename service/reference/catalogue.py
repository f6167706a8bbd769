"""All reference data, loaded and checked once when the service starts."""

import hashlib
from collections.abc import Container, Mapping
from pathlib import Path

from service.reference.attachments import AttachmentReference, load_attachments
from service.reference.cautions import Cautions, load_cautions
from service.reference.chains import Chains, load_chains
from service.reference.codes import Code, load_codes
from service.reference.drive_proportions import ProportionRow, load_proportions
from service.reference.drive_ranking import RankingRow, load_drive_ranking
from service.reference.elongation import (
    ElongationLimitRow,
    LengthToleranceRow,
    load_elongation_limits,
    load_length_tolerances,
)
from service.reference.engineering_chain import EngineeringReference, load_engineering
from service.reference.equivalents import Equivalents, load_equivalents
from service.reference.errors import BadTable
from service.reference.factors import Factors, load_factors
from service.reference.families import Families, load_families
from service.reference.family_selection import SelectionReference, load_family_selection
from service.reference.fault_finding import FaultReference, load_fault_finding
from service.reference.identification_bands import BandRow, load_identification_bands
from service.reference.interchange import InterchangeReference, load_interchange
from service.reference.item_words import ItemWords, load_item_words
from service.reference.keys import KeySizes, load_key_sizes
from service.reference.loader import TABLES, Table
from service.reference.lubrication import (
    LubricationCaseRow,
    LubricationQuantityRow,
    LubricationStateRow,
    SpeedLimitRow,
    ViscosityRow,
    load_lubrication_cases,
    load_lubrication_quantities,
    load_lubrication_states,
    load_speed_limits,
    load_viscosities,
)
from service.reference.printed_tables import PrintedTable, load_printed_tables
from service.reference.quantities import Quantity, load_quantities
from service.reference.records import Record
from service.reference.register import Publication, load_register
from service.reference.round_link import PropertyRow, WorkingLoadLimitRow, load_properties, load_working_load_limits
from service.reference.sags import RecommendedSags, load_recommended_sags
from service.reference.service_factors import (
    LoadClassRow,
    ServiceFactorRow,
    StrandFactorRow,
    load_load_classes,
    load_service_factors,
    load_strand_factors,
)
from service.reference.silent_chain import SilentReference, load_silent
from service.reference.standard_tolerances import ToleranceRow, load_standard_tolerances
from service.reference.textbook_ratings import KilowattRatingRow, load_kw_ratings
from service.reference.wear import WearReference, load_wear

HERE = Path(__file__).parent


class Reference(Record, frozen=True):
    """The loaded data; ``data_version`` changes whenever any of it does."""

    chains: Chains
    equivalents: Equivalents
    publications: dict[str, Publication]
    table_source_ids: frozenset[str]
    printed_tables: dict[str, PrintedTable]
    cautions: Cautions
    codes: dict[str, Code]
    quantities: dict[str, Quantity]
    service_factors: Table[ServiceFactorRow]
    strand_factors: Table[StrandFactorRow]
    load_classes: Table[LoadClassRow]
    lubrication_speed_limits: Table[SpeedLimitRow]
    lubricant_viscosities: Table[ViscosityRow]
    lubrication_states: Table[LubricationStateRow]
    lubrication_quantities: Table[LubricationQuantityRow]
    lubrication_cases: Table[LubricationCaseRow]
    faults: FaultReference
    proportions: Table[ProportionRow]
    drive_ranking: Table[RankingRow]
    elongation_limits: Table[ElongationLimitRow]
    length_tolerances: Table[LengthToleranceRow]
    kw_ratings: Table[KilowattRatingRow]
    item_words: ItemWords
    identification_bands: Table[BandRow]
    standard_tolerances: Table[ToleranceRow]
    key_sizes: KeySizes
    wear: WearReference
    factors: Factors
    families: Families
    family_selection: SelectionReference
    interchange: InterchangeReference
    silent: SilentReference
    engineering: EngineeringReference
    working_load_limits: Table[WorkingLoadLimitRow]
    round_link_properties: Table[PropertyRow]
    sags: RecommendedSags
    attachments: AttachmentReference
    data_version: str


def load_reference(folder: Path = HERE) -> Reference:
    """Load every register and table.

    Raises:
        BadTable: anything is wrong; the message names file and line, and the service does not start.
    """
    tables = folder / TABLES.name
    publications = load_register(folder)
    printed = load_printed_tables(tables)
    table_source_ids = check_sources(publications, printed)
    chains = load_chains(tables)
    families = load_families(folder)
    designations = {size.designation for size in chains.sizes}
    return Reference(
        chains=chains,
        equivalents=load_equivalents(designations, tables),
        publications=publications,
        table_source_ids=table_source_ids,
        printed_tables=printed,
        cautions=load_cautions(folder),
        codes=load_codes(folder / "codes.toml"),
        quantities=load_quantities(folder),
        service_factors=load_service_factors(tables),
        strand_factors=load_strand_factors(tables),
        load_classes=load_load_classes(tables),
        lubrication_speed_limits=load_speed_limits(tables),
        lubricant_viscosities=load_viscosities(tables),
        lubrication_states=load_lubrication_states(tables),
        lubrication_quantities=load_lubrication_quantities(tables),
        lubrication_cases=load_lubrication_cases(tables),
        faults=load_fault_finding(tables),
        proportions=load_proportions(tables),
        drive_ranking=load_drive_ranking(tables),
        elongation_limits=load_elongation_limits(tables),
        length_tolerances=load_length_tolerances(tables),
        kw_ratings=load_kw_ratings(tables),
        item_words=load_item_words(tables),
        identification_bands=load_identification_bands(tables),
        standard_tolerances=load_standard_tolerances(tables),
        key_sizes=load_key_sizes(tables),
        wear=load_wear(tables),
        factors=load_factors(tables),
        families=families,
        family_selection=load_family_selection(families, tables),
        interchange=load_interchange(tables),
        silent=load_silent(tables),
        engineering=load_engineering(designations, tables),
        working_load_limits=load_working_load_limits(tables),
        round_link_properties=load_properties(tables),
        sags=load_recommended_sags(tables),
        attachments=load_attachments(families, tables),
        data_version=data_version(folder),
    )


def check_sources(known: Container[str], tables: Mapping[str, PrintedTable]) -> frozenset[str]:
    """Source ids that the rows of all tables name.

    Raises:
        BadTable: a row or a card names a source that is not registered; the message names file and line.
    """
    used: set[str] = set()
    for table in tables.values():
        for source_id in table.card.preferred:
            if source_id not in known:
                raise BadTable(f"{table.name}.toml: preferred source {source_id} is not in sources.toml")
        named = table.column("source_id")
        used.update(named)
        for (line, _), source_id in zip(table.lines, named, strict=True):
            if source_id not in known:
                raise BadTable(f"{table.name}.csv line {line}: source {source_id} is not in sources.toml")
    return frozenset(used)


def data_version(folder: Path = HERE) -> str:
    """Short hash over every card, which holds the hash of its table, and every register."""
    digest = hashlib.sha256()
    for path in (*sorted((folder / TABLES.name).glob("*.toml")), *sorted(folder.glob("*.toml"))):
        digest.update(path.name.encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]
