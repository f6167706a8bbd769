"""The OpenAPI contract, code first: the framework's document with schemas, errors, parameters and examples put right.

The framework loses constraints, leaves problem documents out and marks everything with empty noise. Schemas come
from msgspec, which validates by them; every example is executed while the document is made, so that what it shows is
what the service answers.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypedDict
from urllib.parse import urlencode

import msgspec
from litestar.handlers import HTTPRouteHandler

from service.api.faults import collect
from service.api.problems import MEDIA_TYPE, Problem
from service.api.protocol import JSON

if TYPE_CHECKING:
    from litestar import Litestar

REF = "#/components/schemas/{name}"
_REFERENCE = re.compile(r'"#/components/schemas/([^"]+)"')
DATA_VERSION_SHOWN = "0123456789ab"
"""Stands for the version of the data in examples, so that new tables leave the contract as it is."""


@dataclass(frozen=True, slots=True)
class Example:
    """One executed example: a body for POST, or path and query values for GET."""

    summary: str
    body: dict[str, Any] | None = None
    text: tuple[str, str] | None = None
    """Media type and content of a body that is no JSON."""
    status: int = 200
    path: dict[str, str] = field(default_factory=dict)
    query: dict[str, str] = field(default_factory=dict)
    varying: tuple[str, ...] = ()
    """Fields of the answer's top level that new reference data change; the document shows a stand-in for them."""


class Operation(TypedDict):
    """Keyword arguments of a route decorator that every operation states."""

    status_code: int
    sync_to_thread: bool | None
    return_dto: None
    operation_id: str
    tags: list[str]
    summary: str
    description: str
    opt: dict[str, Any]


def operation(
    operation_id: str,
    *,
    tag: str,
    summary: str,
    description: str,
    examples: dict[str, Example],
    answer: type | None = None,
    query: type[msgspec.Struct] | None = None,
    errors: tuple[int, ...] = (),
    produces: tuple[str, ...] = (JSON,),
    reads: tuple[str, ...] = (JSON,),
    in_thread: bool | None = False,
) -> Operation:
    """What an operation states about itself.

    Args:
        operation_id: verb_noun, unique; client generators name their function after it.
        tag: Group in the documentation.
        summary: One line.
        description: A paragraph in the words of the trade.
        examples: Executed examples by name; at least one success and, where input can be refused, one refusal.
        answer: Struct of the answer where the handler returns encoded bytes; its annotation says it elsewhere.
        query: Struct of the query parameters.
        errors: Further statuses beside those that every operation of its method can answer.
        produces: Media types of the answer; the Accept header chooses, the first one where it is indifferent.
        reads: Media types of the body.
        in_thread: Whether the handler takes milliseconds, as a batch does, and so must not hold the event loop; None
            for a coroutine, which hands its own work to threads.
    """
    opt: dict[str, Any] = {"examples": examples, "errors": errors, "produces": produces, "reads": reads}
    if answer is not None:
        opt["answer"] = answer
    if query is not None:
        opt["query"] = query
    return Operation(
        status_code=200,
        sync_to_thread=in_thread,
        return_dto=None,
        operation_id=operation_id,
        tags=[tag],
        summary=summary,
        description=description,
        opt=opt,
    )


_ERRORS: dict[int, str] = {
    304: "The caller's copy is current; no body.",
    400: "The body is not JSON.",
    401: "An API key is required and was not sent.",
    404: "There is no such entry; the nearest are named.",
    406: "No offered media type fits the Accept header.",
    408: "The body did not arrive in time.",
    413: "The body is too large.",
    415: "The body's media type is not one that this path reads.",
    422: "The request breaks the contract, or has no valid engineering answer; every fault is listed.",
    431: "The headers are too large.",
    500: "A fault of the service.",
    503: "The service is at its limit or not ready.",
}
_ALWAYS = (401, 406, 422, 431, 500, 503)
_POST = (400, 408, 413, 415)


async def build_contract(app: Litestar) -> dict[str, Any]:
    """The finished OpenAPI 3.1 document of the routes of an application."""
    document: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(app.openapi_schema.to_schema(), enc_hook=str))
    handlers = _handlers(app)
    models: set[type] = {Problem}
    for handler in handlers.values():
        models.update(_models(handler))
    _, schemas = msgspec.json.schema_components(sorted(models, key=lambda model: model.__name__), ref_template=REF)
    for schema in schemas.values():
        _settle(schema)
    for path, item in document["paths"].items():
        for method, described in item.items():
            handler = handlers[described["operationId"]]
            item[method] = await _operation(app, path, method, handler, described)
    document["components"] = {
        "schemas": _referenced(schemas, document["paths"]),
        "securitySchemes": {
            "ApiKey": {
                "type": "apiKey",
                "in": "header",
                "name": "X-API-Key",
                "description": "Only where the operator has switched keys on.",
            }
        },
    }
    document["paths"] = dict(sorted(document["paths"].items()))
    return document


def _referenced(schemas: dict[str, Any], paths: dict[str, Any]) -> dict[str, Any]:
    """The schemas that the paths lead to; those of queries stand in their parameters already."""
    wanted: set[str] = set()
    waiting = [paths]
    while waiting:
        names = set(_REFERENCE.findall(msgspec.json.encode(waiting.pop()).decode())) - wanted
        wanted |= names
        waiting += [schemas[name] for name in names]
    return {name: schemas[name] for name in sorted(wanted)}


def _handlers(app: Litestar) -> dict[str, HTTPRouteHandler]:
    found = {}
    for route in app.routes:
        for handler in getattr(route, "route_handlers", ()):
            if isinstance(handler, HTTPRouteHandler) and isinstance(handler.operation_id, str):
                found[handler.operation_id] = handler
    return found


def _models(handler: HTTPRouteHandler) -> set[type]:
    models = {_answer(handler)}
    if "query" in handler.opt:
        models.add(handler.opt["query"])
    if handler.parsed_data_field is not None:
        models.add(handler.parsed_data_field.annotation)
    return {model for model in models if isinstance(model, type) and issubclass(model, msgspec.Struct)}


def _answer(handler: HTTPRouteHandler) -> Any:  # noqa: ANN401 an annotation
    return handler.opt.get("answer") or handler.parsed_fn_signature.return_type.annotation


async def _operation(
    app: Litestar, path: str, method: str, handler: HTTPRouteHandler, described: dict[str, Any]
) -> dict[str, Any]:
    examples: dict[str, Example] = handler.opt["examples"]
    answers = {name: await _execute(app, path, method, example) for name, example in examples.items()}
    finished = {key: described[key] for key in ("tags", "summary", "description", "operationId")}
    # An empty requirement says that the key is optional: the operator decides.
    finished["security"] = [{}, {"ApiKey": []}]
    parameters = [_tidy_path(parameter) for parameter in described.get("parameters", ()) if parameter["in"] == "path"]
    for parameter in parameters:
        parameter["examples"] = {
            name: {"value": example.path[parameter["name"]]}
            for name, example in examples.items()
            if parameter["name"] in example.path and example.status < 400
        }
    if "query" in handler.opt:
        parameters += _query_parameters(handler.opt["query"])
    if parameters:
        finished["parameters"] = parameters
    if handler.parsed_data_field is not None:
        finished["requestBody"] = {
            "required": True,
            "content": {
                JSON: {
                    "schema": _ref(handler.parsed_data_field.annotation),
                    "examples": {
                        name: {"summary": example.summary, "value": example.body}
                        for name, example in examples.items()
                        if example.body is not None and _keeps(example.body, handler.parsed_data_field.annotation)
                    },
                },
                **{name: _texts(examples, name) for name in handler.opt["reads"] if name != JSON},
            },
        }
    finished["responses"] = _responses(method, handler, examples, answers)
    return finished


def _keeps(body: dict[str, Any], model: type) -> bool:
    """Whether a body keeps the schema; one that breaks it on purpose is shown by its refusal only."""
    return not collect(body, model)


def _responses(
    method: str, handler: HTTPRouteHandler, examples: dict[str, Example], answers: dict[str, Any]
) -> dict[str, Any]:
    request_id = {"X-Request-ID": {"description": "Echo of the caller's id, or a fresh one.", "schema": _TEXT}}
    reference = "answer" in handler.opt and method == "get" and JSON in handler.opt["produces"]
    headers = dict(request_id)
    if reference:
        headers["ETag"] = {"description": "Tag of this content, for If-None-Match.", "schema": _TEXT}
    content = {media_type: {"schema": _schema(media_type, handler)} for media_type in handler.opt["produces"]}
    shown = _shown(examples, answers, ok=True)
    if shown:
        content[handler.opt["produces"][0]]["examples"] = shown
    responses: dict[str, Any] = {"200": {"description": "The answer.", "headers": headers, "content": content}}
    statuses = {*_ALWAYS, *handler.opt["errors"], *(_POST if method == "post" else ()), *((304,) if reference else ())}
    for status in sorted(statuses):
        response: dict[str, Any] = {"description": _ERRORS[status], "headers": request_id}
        if status != 304:
            problem: dict[str, Any] = {"schema": {"$ref": REF.format(name="Problem")}}
            refused = {name: example for name, example in examples.items() if example.status == status}
            if refused:
                problem["examples"] = _shown(refused, answers, ok=False)
            response["content"] = {MEDIA_TYPE: problem}
        responses[str(status)] = response
    return responses


_TEXT = {"type": "string"}
_BYTES = {"type": "string", "format": "binary"}


def _schema(media_type: str, handler: HTTPRouteHandler) -> dict[str, Any]:
    if media_type == JSON:
        return _ref(_answer(handler))
    return _BYTES if media_type == "image/png" else _TEXT


def _texts(examples: dict[str, Example], media_type: str) -> dict[str, Any]:
    """A body that is no JSON: its schema and examples."""
    shown = {
        name: {"summary": example.summary, "value": example.text[1]}
        for name, example in examples.items()
        if example.text is not None and example.text[0] == media_type
    }
    return {"schema": _TEXT, "examples": shown}


def _shown(examples: dict[str, Example], answers: dict[str, Any], *, ok: bool) -> dict[str, Any]:
    return {
        name: {"summary": example.summary, "value": answers[name]}
        for name, example in examples.items()
        if (example.status < 400) == ok and answers[name] is not None
    }


async def _execute(app: Litestar, path: str, method: str, example: Example) -> Any:  # noqa: ANN401 JSON
    """The service's own answer to an example.

    Raises:
        AssertionError: the status is not the one that the example states.
    """
    # The document is asked for rarely; its maker need not be imported by every start.
    from httpx import ASGITransport, AsyncClient  # noqa: PLC0415

    query = f"?{urlencode(example.query)}" if example.query else ""
    url = path.format(**example.path) + query
    async with AsyncClient(transport=ASGITransport(app=app), base_url="http://example.invalid") as client:  # type: ignore[arg-type]
        if example.text is None:
            response = await client.request(method, url, json=example.body)
        else:
            media_type, text = example.text
            response = await client.request(method, url, content=text, headers={"content-type": media_type})
    if response.status_code != example.status:
        raise AssertionError(f"{method} {url}: {response.status_code}, the example says {example.status}")
    if "json" not in response.headers.get("content-type", ""):
        return None
    answer = response.json()
    _hide_data_versions(answer)
    for name in example.varying:
        # A list keeps its first entry, so that its form is shown.
        given = answer[name]
        answer[name] = (
            given[:1] if isinstance(given, list) else 0 if isinstance(given, int) else "changes with the data"
        )
    return answer


def _hide_data_versions(node: Any) -> None:  # noqa: ANN401 JSON
    """Put the stand-in for every version of the data in an answer and in the items of a batch."""
    if isinstance(node, dict):
        if isinstance(node.get("versions"), dict):
            node["versions"]["data"] = DATA_VERSION_SHOWN
        for value in node.values():
            _hide_data_versions(value)
    elif isinstance(node, list):
        for item in node:
            _hide_data_versions(item)


def _ref(model: Any) -> dict[str, str]:  # noqa: ANN401 a type
    return {"$ref": REF.format(name=model.__name__)}


def _tidy_path(parameter: dict[str, Any]) -> dict[str, Any]:
    return {
        "name": parameter["name"],
        "in": "path",
        "required": True,
        "description": parameter.get("description") or f"The {parameter['name'].replace('_', ' ')}.",
        "schema": {"type": "string", "minLength": 1, "maxLength": 200},
    }


def _query_parameters(model: type[msgspec.Struct]) -> list[dict[str, Any]]:
    schema = msgspec.json.schema(model, ref_template=REF)
    properties = schema["$defs"][model.__name__]["properties"] if "$defs" in schema else schema["properties"]
    parameters = []
    for name, described in properties.items():
        text = described.pop("description", f"The {name.replace('_', ' ')}.")
        _settle(described)
        parameters.append({"name": name, "in": "query", "required": False, "description": text, "schema": described})
    return parameters


def _settle(node: Any) -> None:  # noqa: ANN401 a schema
    """Say what msgspec leaves unsaid: the type of an enumeration, and that a number in steps of one is an integer."""
    if isinstance(node, list):
        for item in node:
            _settle(item)
        return
    if not isinstance(node, dict):
        return
    if "enum" in node and "type" not in node:
        node["type"] = "string"
    if node.get("multipleOf") == 1:
        node["type"] = "integer"
        del node["multipleOf"]
    one = node.get("anyOf")
    if isinstance(one, list) and len(one) == 1:
        del node["anyOf"]
        node.update(one[0])
    for value in node.values():
        _settle(value)
