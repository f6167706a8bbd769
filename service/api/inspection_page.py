"""The inspection sheet as a page to print: plain HTML without scripts or foreign addresses, every text escaped."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Literal

from msgspec import UnsetType

from service.api.answers import Versions
from service.api.elongation_checks import ElongationCheck
from service.api.inspection_rows import SheetRow
from service.api.load_chain_wear_checks import LoadChainWear
from service.api.quantities import Quantity
from service.calculations.wear_verdict import WORDS
from service.core.conversions import MM_PER_INCH

HTML = "text/html"
POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
STYLE = (Path(__file__).parent / "inspection_page.css").read_text(encoding="utf-8")

CHAIN_COLUMNS = (
    "No.",
    "Item",
    "Chain",
    "Pitches",
    "Measured",
    "Nominal",
    "At the limit",
    "Elongation",
    "Limit",
    "Status",
    "Next step, findings and warnings",
    "By hand",
)
LOAD_CHAIN_COLUMNS = (
    "No.",
    "Item",
    "Chain",
    "Mean diameter",
    "Measures against their limits",
    "Status",
    "Next step, findings and warnings",
    "By hand",
)
GRAVE = {"replace", "stop", "remove_from_service"}
ROUNDING = (
    "Lengths are shown to 0.01 mm or 0.001 in and percentages to 0.01. Limits are compared unrounded: a figure "
    "that reads like its limit may lie just below it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What the page shows, and how."""

    title: str
    heading: list[tuple[str, str | UnsetType]]
    notice: str
    rows: list[SheetRow]
    warnings: list[str]
    cautions: list[str]
    versions: Versions
    dual_units: bool
    paper: Literal["a4", "letter"]


def inspection_page(sheet: Sheet) -> bytes:
    """The page in UTF-8."""
    shown = _Shown(dual=sheet.dual_units)
    heading = "".join(
        f"<p>{name}: {_text(value)}</p>" for name, value in sheet.heading if not isinstance(value, UnsetType)
    )
    made_by = f"Engine {sheet.versions.engine}, data {sheet.versions.data}."
    parts = [
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{escape(sheet.title)}</title>',
        f"<style>{STYLE}@page {{ size: {'A4' if sheet.paper == 'a4' else 'letter'} landscape; }}</style></head><body>",
        f"<header><h1>{_text(sheet.title)}</h1>{heading}</header>",
        f'<p class="notice">{escape(sheet.notice)}</p>',
        *(f'<p class="notice">{escape(warning)}</p>' for warning in sheet.warnings),
        *_tables(sheet.rows, shown),
        _signatures(),
        f"<h2>Cautions</h2>{_list(sheet.cautions)}",
        f"<h2>Sources</h2>{_list(_sources(sheet.rows) or ['None: nothing was calculated.'])}",
        f"<footer><p>{ROUNDING}</p><p>{escape(made_by)}</p></footer></body></html>",
    ]
    return "\n".join(parts).encode()


def _text(text: str) -> str:
    """Text of the caller: escaped, and kept from turning the writing around it."""
    return f"<bdi>{escape(text)}</bdi>"


def _tables(rows: list[SheetRow], shown: _Shown) -> Iterable[str]:
    for kind, caption, columns, cells in (
        ("chain", "Chains", CHAIN_COLUMNS, shown.chain_cells),
        ("load_chain", "Round-link load chains", LOAD_CHAIN_COLUMNS, shown.load_chain_cells),
        ("blank", "Further chains", CHAIN_COLUMNS, shown.chain_cells),
    ):
        of_kind = [row for row in rows if row.kind == kind]
        if of_kind:
            yield _table(caption, columns, of_kind, cells)


def _table(caption: str, columns: tuple[str, ...], rows: list[SheetRow], cells: Callable[[SheetRow], list[str]]) -> str:
    head = "<tr>" + "".join(f'<th scope="col">{name}</th>' for name in columns) + "</tr>"
    body = "".join(_row(row.state, [str(row.number), *cells(row), ""]) for row in rows)
    return f'<h2>{caption}</h2><table class="figures"><thead>{head}</thead><tbody>{body}</tbody></table>'


def _row(state: str, cells: list[str]) -> str:
    return f'<tr class="{state}">{"".join(f"<td>{cell}</td>" for cell in cells)}</tr>'


class _Shown:
    """Cells of a row as escaped HTML."""

    def __init__(self, *, dual: bool) -> None:
        self._dual = dual

    def chain_cells(self, row: SheetRow) -> list[str]:
        """From item to the remark."""
        if isinstance(row.check, UnsetType):
            return [*_names(row), *[""] * 7, _remark(row)]
        result = row.check.result
        return [
            *_names(row),
            "" if isinstance(result.pitch_count, UnsetType) else str(result.pitch_count),
            self.length(result.measured_length),
            self.length(result.nominal_length),
            self.length(result.length_at_limit),
            _elongation(result),
            "" if isinstance(result.limit.percent, UnsetType) else f"{result.limit.percent:.2f} %",
            _status(result.lifting_status if isinstance(result.status, UnsetType) else result.status),
            _remark(row, result.next_step, (warning.message for warning in row.check.warnings)),
        ]

    def load_chain_cells(self, row: SheetRow) -> list[str]:
        """From item to the remark."""
        if isinstance(row.load_chain_check, UnsetType):
            return [*_names(row), *[""] * 3, _remark(row)]
        result = row.load_chain_check.result
        return [
            *_names(row),
            self.length(result.mean_diameter),
            _criteria(result),
            _status(result.lifting_status),
            _remark(row, result.next_step, (warning.message for warning in row.load_chain_check.warnings)),
        ]

    def length(self, length: Quantity | UnsetType) -> str:
        """A length to two decimals of mm or three of inches, both where asked."""
        if isinstance(length, UnsetType):
            return ""
        inches = length.value if length.unit == "in" else length.value / MM_PER_INCH
        millimetres = length.value * MM_PER_INCH if length.unit == "in" else length.value
        both = [f"{millimetres:.2f} mm", f"{inches:.3f} in"]
        first, second = reversed(both) if length.unit == "in" else both
        return f"{first}<br>({second})" if self._dual else first


def _names(row: SheetRow) -> list[str]:
    return ["" if isinstance(name, UnsetType) else _text(name) for name in (row.client_ref, row.chain)]


def _elongation(result: ElongationCheck) -> str:
    if not isinstance(result.elongation_percent, UnsetType):
        band = result.uncertainty_percent
        return f"{result.elongation_percent:.2f} %" + ("" if isinstance(band, UnsetType) else f"<br>± {band:.2f}")
    for words, bound in (("over", result.above_percent), ("under", result.below_percent)):
        if not isinstance(bound, UnsetType):
            return f"{words} {bound:.2f} %"
    return ""


def _criteria(result: LoadChainWear) -> str:
    return "<br>".join(
        f"{escape(one.criterion.replace('_', ' '))} {one.measured_percent:.2f} % of {one.limit_percent:.2f} %"
        for one in result.criteria
    )


def _status(status: str | UnsetType) -> str:
    if isinstance(status, UnsetType):
        return ""
    words = escape(WORDS[status])
    return f"<strong>{words.upper()}</strong>" if status in GRAVE else words


def _remark(row: SheetRow, next_step: str = "", warnings: Iterable[str] = ()) -> str:
    """What is to be done, what was found, and what is in doubt."""
    lines = [next_step] if next_step else []
    if row.state == "not_measured":
        lines.append("Not measured.")
    if not isinstance(row.problem, UnsetType):
        lines += ["Not judged:", *(fault.message for fault in row.problem.errors or ())]
    lines += [f"Found: {found.meaning} ({WORDS[found.least_status]})." for found in row.findings]
    return "<br>".join(escape(line) for line in [*lines, *warnings])


def _list(texts: Iterable[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(text)}</li>' for text in texts)}</ul>"


def _sources(rows: list[SheetRow]) -> list[str]:
    """Publications that the rows rest on, once each, with how they were seen."""
    told: dict[tuple[str, str], dict[str, None]] = {}
    for row in rows:
        for answer in (row.check, row.load_chain_check):
            if not isinstance(answer, UnsetType):
                for used in answer.sources:
                    told.setdefault((used.title, used.confidence), {})[used.locator] = None
    return [f"{title}: {'; '.join(places)} ({confidence})." for (title, confidence), places in told.items()]


def _signatures() -> str:
    fields = "".join(f"<td>{name}</td>" for name in ("Name", "Signature", "Date"))
    rows = "".join(f'<tr><th scope="row">{who}</th>{fields}</tr>' for who in ("Measured by", "Competent person"))
    return f'<table class="signatures"><tbody>{rows}</tbody></table>'
