"""All faults of a refused body at once, each with its JSON pointer, in words for a technician.

msgspec stops at the first fault and points at the parent of a missing or unknown field; this walk runs only after
its fast typed decode has failed, so it costs nothing on the good path.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Callable, Mapping
from typing import Any

import msgspec
from msgspec import UNSET
from msgspec import inspect as mi

from service.api.problems import Fault
from service.units.table import UNITS

MAX_FAULTS = 50
MAX_TEXT = 60
"""Texts are compared and shown up to this length: finding the nearest name to a long one costs time by its square."""
_NUMBER_TEXT = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)(e[-+]?\d+)?|[-+]?(nan|inf|infinity)", re.IGNORECASE)
_COMMA_TEXT = re.compile(r"[-+]?\d+,\d+")

NOT_FINITE = object()
"""Stands for the bare tokens NaN, Infinity and -Infinity in an untyped decode."""


def collect(value: object, model: type) -> list[Fault]:
    """Every fault of an untyped JSON value against a Struct type, at most ``MAX_FAULTS``."""
    faults: list[Fault] = []
    _walk(value, mi.type_info(model), "", faults)
    return faults[:MAX_FAULTS]


def step(pointer: str, key: object) -> str:
    """One more step of a JSON pointer (RFC 6901)."""
    return f"{pointer}/{str(key).replace('~', '~0').replace('/', '~1')}"


def field_words(pointer: str) -> str:
    """The field at a pointer in plain words: ``/duty/power/value`` is called ``power``."""
    names = [part for part in pointer.split("/") if part and not part.isdigit()]
    if len(names) > 1 and names[-1] in ("value", "unit"):
        names.pop()
    return names[-1].replace("_", " ") if names else "body"


def shown(value: object) -> str:
    """What was received, as short JSON text without control characters."""
    if value is NOT_FINITE:
        return "NaN or Infinity"
    if isinstance(value, float) and not math.isfinite(value):
        return "a number beyond double precision"
    try:
        text = msgspec.json.encode(value).decode()
    except (TypeError, ValueError, OverflowError, msgspec.EncodeError):
        text = type(value).__name__
    return text if len(text) <= 80 else text[:77] + "..."


def _fault(
    pointer: str,
    code: str,
    message: str,
    received: object = UNSET,
    *,
    allowed: str | None = None,
    hint: str | None = None,
) -> Fault:
    return Fault(
        pointer=pointer,
        code=code,
        message=message,
        received=UNSET if received is UNSET else shown(received),
        allowed=allowed or UNSET,
        hint=hint or UNSET,
    )


def _walk(value: object, info: mi.Type, pointer: str, faults: list[Fault]) -> None:
    if len(faults) >= MAX_FAULTS:
        return
    if isinstance(info, mi.Metadata):
        info = info.type
    if isinstance(info, mi.UnionType):
        info = _arm(info)
    if value is NOT_FINITE:
        faults.append(
            _fault(
                pointer,
                "number_not_finite",
                f"The {field_words(pointer)} is NaN or infinite; JSON has no such number.",
                value,
                hint="Send a finite number or leave the field out.",
            )
        )
    elif check := _CHECKS.get(type(info)):
        check(value, info, pointer, faults)


def _arm(info: mi.UnionType) -> mi.Type:
    """The one real arm of an optional field."""
    return next(arm for arm in info.types if type(arm) in _CHECKS or isinstance(arm, mi.Metadata))


def _walk_object(value: object, info: mi.StructType, pointer: str, faults: list[Fault]) -> None:
    fields = {field.encode_name: field for field in info.fields}
    if not isinstance(value, dict):
        code = "wrong_type" if pointer else "body_wrong_shape"
        hint = "Several cases in one call go to a batch path, where the contract has one." if not pointer else None
        if {"value", "unit"} <= fields.keys():
            hint = f'Send {{"value": 1.5, "unit": "{_first_unit(fields["unit"].type)}"}}.'
        faults.append(_fault(pointer, code, f"The {field_words(pointer)} must be one JSON object.", value, hint=hint))
        return
    for key in value:
        if key not in fields:
            if len(faults) >= MAX_FAULTS:
                return
            faults.append(_unknown(pointer, key, value[key], fields))
    for name, field in fields.items():
        at = step(pointer, name)
        if name in value and (value[name] is not None or _allows_null(field.type)):
            _walk(value[name], field.type, at, faults)
        elif name in value and not field.required:
            faults.append(
                _fault(at, "wrong_type", f"The {field_words(at)} is null.", None, hint="Leave the field out instead.")
            )
        elif field.required:
            faults.append(_missing(at, name, field.type))


_PICTURES = frozenset({"image", "images", "photo", "photos", "picture", "pictures", "foto", "bild"})


def _unknown(pointer: str, key: str, value: object, fields: Mapping[str, object]) -> Fault:
    """The fault of a field that the contract does not have; a picture is told what to send instead."""
    if key.casefold().removesuffix("_base64") in _PICTURES:
        hint = "Send numbers: roller diameter, inner width and the length over ten pitches, to /v1/identifications."
        message = f"{key[:MAX_TEXT]!r}: pictures are not read here."
        return _fault(step(pointer, key), "image_not_supported", message, hint=hint)
    near = difflib.get_close_matches(key[:MAX_TEXT], fields, n=1, cutoff=0.6)
    return _fault(
        step(pointer, key),
        "field_unknown",
        f"{key[:MAX_TEXT]!r} is not a field of the {field_words(pointer)}.",
        value,
        allowed=", ".join(fields),
        hint=f"Did you mean {near[0]!r}?" if near else None,
    )


def _missing(at: str, name: str, info: mi.Type) -> Fault:
    if name == "unit":
        return _fault(
            at,
            "unit_missing",
            f"The {field_words(at)} has no unit; none is assumed.",
            allowed=", ".join(_members(info)),
        )
    return _fault(at, "field_required", f"The {field_words(at)} is required.")


def _allows_null(info: mi.Type) -> bool:
    return isinstance(info, mi.UnionType) and any(isinstance(arm, mi.NoneType) for arm in info.types)


def _walk_list(value: object, info: mi.ListType, pointer: str, faults: list[Fault]) -> None:
    if not isinstance(value, list):
        faults.append(_fault(pointer, "wrong_type", f"The {field_words(pointer)} must be a list.", value))
        return
    if info.max_length is not None and len(value) > info.max_length:
        faults.append(
            _fault(pointer, "too_many_items",
                   f"The list of {field_words(pointer)} has {len(value)} items; {info.max_length} are allowed.",
                   UNSET, allowed=f"at most {info.max_length}", hint="Split it, or send those that matter.")
        )  # fmt: skip
        return
    if info.min_length and len(value) < info.min_length:
        faults.append(
            _fault(pointer, "too_few_items", f"The list of {field_words(pointer)} has {len(value)} items.", UNSET,
                   allowed=f"at least {info.min_length}")
        )  # fmt: skip
    for index, item in enumerate(value):
        if len(faults) >= MAX_FAULTS:
            return
        _walk(item, info.item_type, step(pointer, index), faults)


def _members(info: mi.Type) -> list[str]:
    if isinstance(info, mi.LiteralType):
        return [str(value) for value in info.values]
    if isinstance(info, mi.EnumType):
        return [str(member.value) for member in info.cls]
    return []


def _first_unit(info: mi.Type) -> str:
    return next(iter(_members(info)), "mm")


def _check_member(value: object, info: mi.LiteralType | mi.EnumType, pointer: str, faults: list[Fault]) -> None:
    members = _members(info)
    if isinstance(value, str) and value in members:
        return
    allowed = ", ".join(members)
    if pointer.endswith("/unit"):
        faults.append(_unit_fault(value, pointer, allowed))
        return
    text = value[:MAX_TEXT].strip().lower().replace(" ", "_").replace("-", "_") if isinstance(value, str) else ""
    near = [member for member in members if text and member.startswith(text)] or difflib.get_close_matches(
        text, members, n=1, cutoff=0.5
    )
    hint = f"Did you mean {near[0]!r}?" if near else None
    what = field_words(pointer)
    if pointer.rpartition("/")[2].isdigit():
        what = what.removesuffix("s")
    message = f"{shown(value)} is not a known {what}."
    faults.append(_fault(pointer, "enum_unknown", message, value, allowed=allowed, hint=hint))


def _unit_fault(value: object, pointer: str, allowed: str) -> Fault:
    text = value[:MAX_TEXT] if isinstance(value, str) else ""
    tokens = set(allowed.split(", "))
    for kind in UNITS.kinds.values():
        if tokens <= kind.tokens.keys() and text in kind.refused:
            return _fault(pointer, "unit_ambiguous", kind.refused[text], value, allowed=allowed)
    for name, kind in UNITS.kinds.items():
        if text in kind.tokens:
            return _fault(
                pointer,
                "unit_wrong_quantity",
                f"{text} is a unit of {name.replace('_', ' ')}, not of the {field_words(pointer)}.",
                value,
                allowed=allowed,
            )
    near = difflib.get_close_matches(text, sorted(tokens), n=1, cutoff=0.5)
    hint = f"Did you mean {near[0]!r}?" if near else None
    return _fault(
        pointer, "unit_unknown", f"{shown(value)} is not a unit known here.", value, allowed=allowed, hint=hint
    )


def _check_number(value: object, info: mi.FloatType | mi.IntType, pointer: str, faults: list[Fault]) -> None:
    name = field_words(pointer)
    if isinstance(value, str):
        text = value[:MAX_TEXT].strip()
        if _COMMA_TEXT.fullmatch(text):
            fault = _fault(pointer, "decimal_comma", f"The {name} has a decimal comma and quotes.", value,
                           hint=f"Send {text.replace(',', '.')} without quotes.")  # fmt: skip
        elif _NUMBER_TEXT.fullmatch(text):
            fault = _fault(pointer, "number_as_text", f"The {name} is text, not a number.", value,
                           hint="Send the number without quotes.")  # fmt: skip
        else:
            fault = _fault(pointer, "wrong_type", f"The {name} must be a number.", value)
        faults.append(fault)
        return
    if isinstance(value, bool) or not isinstance(value, int | float):
        faults.append(_fault(pointer, "wrong_type", f"The {name} must be a number.", value))
        return
    whole = isinstance(info, mi.IntType) or info.multiple_of == 1
    if whole and isinstance(value, float) and math.isfinite(value) and value != int(value):
        message = f"The {name} is counted in whole numbers."
        least, most = info.ge if info.ge is not None else -math.inf, info.le if info.le is not None else math.inf
        near = [str(count) for count in (math.floor(value), math.ceil(value)) if least <= count <= most]
        hint = f"Send {' or '.join(near)}." if near else None
        faults.append(_fault(pointer, "must_be_whole", message, value, hint=hint))
        return
    _check_bounds(value, info, pointer, faults)


def _check_bounds(value: float, info: mi.FloatType | mi.IntType, pointer: str, faults: list[Fault]) -> None:
    name = field_words(pointer)
    above = (info.gt is None or value > info.gt) and (info.ge is None or value >= info.ge)
    below = (info.lt is None or value < info.lt) and (info.le is None or value <= info.le)
    if above and below and abs(value) <= 1.7e308:
        return
    allowed = _bounds(info)
    least = info.gt if info.gt is not None else info.ge
    if not above and value <= 0 and least is not None and 0 <= least <= 1:
        code = "must_not_be_negative" if info.ge == 0 else "must_be_positive"
        hint = "Is the sign a dash from a list?" if value < 0 else None
        need = "zero or more" if info.ge == 0 else "a value above zero"
        message = f"The {name} is {shown(value)}; {need} is needed."
        faults.append(_fault(pointer, code, message, value, allowed=allowed, hint=hint))
        return
    message = f"The {name} is {shown(value)}; allowed is {allowed or 'a number of double precision'}."
    faults.append(_fault(pointer, "number_out_of_range", message, value, allowed=allowed))


def _bounds(info: mi.FloatType | mi.IntType) -> str:
    lower = f"above {info.gt:g}" if info.gt is not None else f"at least {info.ge:g}" if info.ge is not None else ""
    upper = f"below {info.lt:g}" if info.lt is not None else f"at most {info.le:g}" if info.le is not None else ""
    return " and ".join(part for part in (lower, upper) if part)


def _check_text(value: object, info: mi.StrType, pointer: str, faults: list[Fault]) -> None:
    name = field_words(pointer)
    if isinstance(value, int | float) and not isinstance(value, bool):
        faults.append(_fault(pointer, "number_as_identifier", f"The {name} is text; it was sent as a number.", value,
                             hint="Put it in quotes, so that leading zeros are kept."))  # fmt: skip
    elif not isinstance(value, str):
        faults.append(_fault(pointer, "wrong_type", f"The {name} must be text.", value))
    elif info.max_length is not None and len(value) > info.max_length:
        faults.append(_fault(pointer, "text_too_long", f"The {name} has {len(value)} characters.", UNSET,
                             allowed=f"at most {info.max_length}"))  # fmt: skip
    elif (info.min_length and len(value) < info.min_length) or (
        info.pattern is not None and re.search(info.pattern, value) is None
    ):
        faults.append(_fault(pointer, "text_invalid", f"The {name} is empty or holds characters that are not allowed.",
                             value))  # fmt: skip


def _check_truth(value: object, _: mi.BoolType, pointer: str, faults: list[Fault]) -> None:
    if not isinstance(value, bool):
        faults.append(_fault(pointer, "wrong_type", f"The {field_words(pointer)} must be true or false.", value))


_CHECKS: dict[type, Callable[[object, Any, str, list[Fault]], None]] = {
    mi.StructType: _walk_object,
    mi.ListType: _walk_list,
    mi.LiteralType: _check_member,
    mi.EnumType: _check_member,
    mi.FloatType: _check_number,
    mi.IntType: _check_number,
    mi.StrType: _check_text,
    mi.BoolType: _check_truth,
}
