"""Reading a body: strict, straight from bytes into the Struct, with every fault found when it is refused.

The framework's own way converts laxly (``"7.5"`` passes for a number), reads any media type and answers 500 to odd
bytes and deep nesting; all of that is put right here, once.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, NoReturn

import msgspec
from litestar.dto import AbstractDTO

from service.api.faults import NOT_FINITE, collect, field_words, step
from service.api.problems import Fault, Refusal, summary

if TYPE_CHECKING:
    from collections.abc import Callable, Generator, Iterator

    from litestar.dto.data_structures import DTOFieldDefinition

_DECODER = msgspec.json.Decoder()
_ENCODER = msgspec.json.Encoder()
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


class DuplicateKey(ValueError):
    """A JSON object names a key twice."""


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise DuplicateKey(name)
            seen.add(name)
    return found


def _whole(digits: str) -> float:
    """Integers that Python refuses to read for their length become infinite, and are then refused by their field."""
    return int(digits) if len(digits) < 400 else float(digits)


_SCAN = json.JSONDecoder(object_pairs_hook=_unique, parse_constant=lambda _: NOT_FINITE, parse_int=_whole)


def decode(
    body: bytes,
    decoder: msgspec.json.Decoder[Any],
    model: type,
    keys_stand_once: Callable[[bytes, Any], bool] | None = None,
) -> Any:
    """Decode a body into ``model``.

    Args:
        body: The text.
        decoder: Decoder of the model.
        model: What the text must be.
        keys_stand_once: Whether a decoded text surely names no key twice, where there is a cheaper way to tell.

    Raises:
        Refusal: 400 if the body is not JSON, 422 with every fault if it does not fit the model.
    """
    if body.startswith(BYTE_ORDER_MARK):
        body = body[3:]
    try:
        value = decoder.decode(body)
        # msgspec lets the last of repeated keys win; which one counts would be a guess.
        if not (_keys_stand_once(body) if keys_stand_once is None else keys_stand_once(body, value)):
            _SCAN.decode(body.decode())
    except (msgspec.DecodeError, ValueError, RecursionError) as error:
        _refuse(body, model, error)
    return value


def _keys_stand_once(body: bytes) -> bool:
    """Whether no object of a sound JSON text can name a key twice; False only asks for a closer look.

    An untyped round trip keeps every text and drops repeated keys, each with its colon, so equal numbers of colons
    tell that none was dropped, unless a text spells a colon as an escape. Counting costs a tenth of a scan.
    """
    if b"\\u003" in body:
        return False
    return body.count(b":") == _ENCODER.encode(_DECODER.decode(body)).count(b":")


def _refuse(body: bytes, model: type, error: Exception) -> NoReturn:
    """Find out what is wrong with a body that the fast decode refused."""
    if not body.strip():
        raise _empty(model)
    try:
        value = _SCAN.decode(body.decode("utf-8"))
        json.dumps(value, ensure_ascii=False, default=str).encode()
    except DuplicateKey as duplicate:
        message = f"A JSON object names the key {str(duplicate)[:60]!r} twice."
        raise _malformed("json_duplicate_key", message, "Keep one of the two.") from None
    except UnicodeDecodeError as bad:
        message = f"The body is not UTF-8 (byte {bad.start})."
        raise _malformed("encoding_invalid", message, "Send the JSON text in UTF-8.") from None
    except UnicodeEncodeError:
        message = "A text of the body spells one half of a character pair (\\ud800 to \\udfff) without the other."
        raise _malformed("encoding_invalid", message, "Send the character itself, in UTF-8.") from None
    except json.JSONDecodeError as bad:
        message = f"The body is not JSON: {bad.msg} at line {bad.lineno}, column {bad.colno}."
        raise _malformed("json_invalid", message, "Check commas, quotes and brackets there.") from None
    except RecursionError:
        raise _malformed(
            "too_deep", "The body is nested too deeply.", "No request needs more than ten levels."
        ) from None
    faults = collect(value, model)
    if not faults:
        faults = [_last_word(error)]
    if any(fault.code == "number_not_finite" for fault in faults):
        raise Refusal(400, "malformed_json", summary(faults), faults)
    raise Refusal(422, "invalid_request", summary(faults), faults)


def missing_body(reader: Any) -> Refusal:
    """The refusal of an empty body, which the framework does not hand to its reader."""
    return _empty(reader.model)


def _empty(model: type) -> Refusal:
    required = ", ".join(field.name for field in msgspec.structs.fields(model) if field.required)
    message = f"The body is empty; required fields: {required or 'none, but an object is expected'}."
    return _malformed("body_missing", message, "Send one JSON object; /openapi.json holds examples.")


def _malformed(code: str, message: str, hint: str) -> Refusal:
    return Refusal(400, "malformed_json", message, [Fault(pointer="", code=code, message=message, hint=hint)])


def _last_word(error: Exception) -> Fault:
    """Msgspec's own word where the walk found nothing, such as text that is no Unicode."""
    text, _, path = str(error).partition(" - at `$")
    pointer = ""
    for part in _path_steps(path):
        pointer = step(pointer, part)
    return Fault(pointer=pointer, code="text_invalid", message=f"The {field_words(pointer)}: {text}.")


def _path_steps(path: str) -> Iterator[str]:
    for part in path.rstrip("`").replace("[", ".").replace("]", "").split("."):
        if part:
            yield part


class JsonBody(AbstractDTO[Any]):
    """The framework hands the bytes over and skips its own conversion; made for a model by ``json_body``."""

    model: type
    decoder: msgspec.json.Decoder[Any]

    @classmethod
    def create_for_field_definition(cls, field_definition: Any, handler_id: str, backend_cls: Any = None) -> None:
        """Nothing to prepare: the decoder is made with the class."""

    @classmethod
    def create_openapi_schema(cls, field_definition: Any, handler_id: str, schema_creator: Any) -> Any:
        """The model's own schema."""
        return schema_creator.for_field_definition(field_definition)

    @classmethod
    def generate_field_definitions(cls, model_type: Any) -> Generator[DTOFieldDefinition, None, None]:
        """None: the model decodes itself."""
        yield from ()

    @classmethod
    def detect_nested_field(cls, field_definition: Any) -> bool:
        """No field is treated apart."""
        return False

    def decode_bytes(self, value: bytes) -> Any:
        """The model's instance.

        Raises:
            Refusal: see ``decode``.
        """
        return decode(value, self.decoder, self.model)


def json_body(model: type) -> type[JsonBody]:
    """The reader of a request's body: ``dto=json_body(Model)``."""
    return type(f"JsonBody{model.__name__}", (JsonBody,), {"model": model, "decoder": msgspec.json.Decoder(model)})
