"""Every catalogued equation is documented in the same form, and what it says agrees with its signature."""

from __future__ import annotations

import doctest
import inspect
import re
from textwrap import dedent

import pytest

from service.core.equations import Equation, load_catalogue
from service.reference.register import load_register

CATALOGUE = load_catalogue()
REGISTER = load_register()

SECTIONS = ["Equation", "Args", "Returns", "Raises", "Validity", "Deviations", "Sources", "Examples"]

UNIT_OF_SUFFIX: dict[str, set[str]] = {
    "mm": {"mm"},
    "m": {"m"},
    "in": {"in"},
    "ft": {"ft"},
    "mm2": {"mm²", "mm2"},
    "m2": {"m²", "m2"},
    "in2": {"in²", "in2"},
    "m3": {"m³", "m3"},
    "l": {"L"},
    "ft3": {"ft³", "ft3"},
    "per_mm": {"1/mm"},
    "kw": {"kW"},
    "w": {"W"},
    "hp": {"hp"},
    "hp_per_in": {"hp/in"},
    "rpm": {"r/min"},
    "hz": {"Hz"},
    "n": {"N"},
    "kn": {"kN"},
    "lbf": {"lbf"},
    "n_m": {"N·m", "N/m"},
    "n_mm": {"N·mm", "N/mm"},
    "lbf_in": {"lbf·in", "lbf/in"},
    "lbf_ft": {"lbf·ft", "lbf/ft"},
    "n_mm2": {"N/mm²", "N/mm2"},
    "mpa": {"MPa"},
    "psi": {"psi", "lbf/in²", "lbf/in2"},
    "m_s": {"m/s"},
    "m_min": {"m/min"},
    "ft_min": {"ft/min"},
    "mm_s": {"mm/s"},
    "m_s2": {"m/s²", "m/s2"},
    "rad_s": {"rad/s"},
    "deg": {"°", "deg"},
    "rad": {"rad"},
    "kg": {"kg"},
    "t": {"t"},
    "lb": {"lb"},
    "kg_m": {"kg/m"},
    "lb_ft": {"lb/ft"},
    "kg_m3": {"kg/m³", "kg/m3"},
    "t_m3": {"t/m³", "t/m3"},
    "lb_ft3": {"lb/ft³", "lb/ft3"},
    "kg_h": {"kg/h"},
    "lb_h": {"lb/h"},
    "t_h": {"t/h"},
    "ton_h": {"ton/h", "short ton/h"},
    "m3_h": {"m³/h", "m3/h"},
    "ft3_h": {"ft³/h", "ft3/h"},
    "kg_m2": {"kg·m²", "kg·m2"},
    "j": {"J"},
    "c": {"°C"},
    "f": {"°F"},
    "percent": {"%"},
    "pitches": {"pitches"},
    "h": {"h"},
    "d": {"d"},
    "s": {"s"},
}
"""Ending of an argument's name, longest first, to the units that its description may give."""

UNIT_WITHOUT_SUFFIX = {"-", "pitches", "strands", "teeth", "text", "flag", "object"}
"""Units of names that carry no unit: pure numbers, counts, words and results of other relations."""


def sections(entry: Equation) -> dict[str, str]:
    """The text of each section of a docstring, in the order of the page."""
    parts = re.split(r"^([A-Z][a-z]+):", inspect.getdoc(entry.function) or "", flags=re.MULTILINE)
    return {name: dedent(text).strip() for name, text in zip(parts[1::2], parts[2::2], strict=True)}


def arguments(entry: Equation) -> dict[str, str]:
    """Name and description of each documented argument."""
    text = re.split(r"^Args:\n", inspect.getdoc(entry.function) or "", maxsplit=1, flags=re.MULTILINE)[1]
    block = re.split(r"^\S", text, maxsplit=1, flags=re.MULTILINE)[0]
    parts = re.split(r"^ {4}(\w+):", block, flags=re.MULTILINE)
    return {name: text.strip() for name, text in zip(parts[1::2], parts[2::2], strict=True)}


def unit_of_name(name: str) -> set[str] | None:
    """Units that the ending of a name allows; None where it has no such ending."""
    words = name.split("_")
    for start in range(1, len(words)):
        if (suffix := "_".join(words[start:])) in UNIT_OF_SUFFIX:
            return UNIT_OF_SUFFIX[suffix]
    return None


@pytest.fixture(params=sorted(CATALOGUE), name="entry")
def _entry(request: pytest.FixtureRequest) -> Equation:
    return CATALOGUE[request.param]


def test_the_catalogue_is_not_empty() -> None:
    assert CATALOGUE


def test_identifiers_are_subject_and_relation() -> None:
    assert [name for name in CATALOGUE if not re.fullmatch(r"[a-z][a-z0-9_]*\.[a-z][a-z0-9_]*", name)] == []


def test_sections_stand_in_the_fixed_order(entry: Equation) -> None:
    found = sections(entry)
    assert list(found) == SECTIONS
    assert [name for name, text in found.items() if not text] == []


def test_summary_is_one_sentence(entry: Equation) -> None:
    assert re.fullmatch(r"[A-Z0-9].*\.", entry.summary)


def test_documented_arguments_are_those_of_the_signature(entry: Equation) -> None:
    assert list(arguments(entry)) == list(inspect.signature(entry.function).parameters)


def test_arguments_are_keyword_only_annotated_and_have_no_default_figure(entry: Equation) -> None:
    for name, parameter in inspect.signature(entry.function).parameters.items():
        assert parameter.kind is inspect.Parameter.KEYWORD_ONLY, name
        assert parameter.annotation is not inspect.Parameter.empty, name
        assert unit_of_name(name) is None or parameter.default in (inspect.Parameter.empty, None), name
    assert inspect.signature(entry.function).return_annotation is not inspect.Signature.empty


def test_each_argument_gives_the_unit_that_its_name_carries(entry: Equation) -> None:
    for name, text in arguments(entry).items():
        units = re.findall(r"\[([^\]]*)\]", text)
        assert units, f"{name}: no [unit]"
        assert units[0] in (unit_of_name(name) or UNIT_WITHOUT_SUFFIX), f"{name}: [{units[0]}]"


def test_the_result_is_described_in_the_catalogued_unit(entry: Equation) -> None:
    if entry.unit != "object":
        assert f"[{entry.unit}]" in sections(entry)["Returns"]


def test_sources_section_names_the_sources_of_the_catalogue(entry: Equation) -> None:
    text = sections(entry)["Sources"]
    named = [word for word in re.findall(r"[a-z0-9](?:[a-z0-9.-]*[a-z0-9])?", text) if word in REGISTER]
    assert named == [source.id for source in entry.sources]
    assert re.findall(r"\[(\w+)\]", text) == [source.confidence for source in entry.sources]


def test_sources_are_in_the_register_and_say_where(entry: Equation) -> None:
    assert [source.id for source in entry.sources if source.id not in REGISTER] == []
    assert all(source.locator for source in entry.sources)


def test_there_is_an_example_that_calls_the_function(entry: Equation) -> None:
    examples = doctest.DocTestParser().get_examples(inspect.getdoc(entry.function) or "")
    assert any(f"{getattr(entry.function, '__name__', '?')}(" in example.source for example in examples)
    assert any(example.want for example in examples)
