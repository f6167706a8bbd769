"""Requests that no sound client sends, over raw sockets: each has its one right answer, and none is left hanging."""

from __future__ import annotations

import json
import time
from dataclasses import dataclass, field
from typing import Any

import msgspec
import pytest

from service.api.problems import Problem
from service.reference.codes import load_codes

CODES = load_codes()
POST = "/v1/chain-lengths"
GET = "/health/live"
SOUND: dict[str, Any] = {
    "own_chain": {"pitch": {"value": 25.4, "unit": "mm"}},
    "driver_teeth": 19,
    "driven_teeth": 57,
    "centre_distance": {"value": 800, "unit": "mm"},
}
JSON = ("Content-Type", "application/json")


def text(**changes: Any) -> bytes:
    return json.dumps({**SOUND, **changes}, ensure_ascii=False).encode()


def teeth(literal: bytes) -> bytes:
    """The sound body with a bare token where the driver's tooth count stands."""
    return text().replace(b'"driver_teeth": 19', b'"driver_teeth": ' + literal)


@dataclass
class Odd:
    """What is sent, and what must come back."""

    name: str
    status: int
    code: str | None = None
    fault: str | None = None
    method: str = "POST"
    target: str = POST
    headers: list[tuple[str, str]] = field(default_factory=lambda: [JSON])
    body: bytes = b""
    chunked: bool = False
    length: str | None = None
    plain: bool = False
    """Answered by the server in plain text before the service sees it."""


def post(name: str, status: int, code: str | None, fault: str | None, body: bytes, **more: Any) -> Odd:
    return Odd(name, status, code, fault, body=body, **more)


def get(name: str, status: int, code: str | None = None, **more: Any) -> Odd:
    return Odd(name, status, code, **{"method": "GET", "target": GET, "headers": [], **more})


BAD, BREAKS, GONE, VERB = "malformed_json", "invalid_request", "not_found", "method_not_allowed"
TYPE, ACCEPT, LARGE, HEADERS = (
    "unsupported_media_type",
    "not_acceptable",
    "content_too_large",
    "header_too_large",
)

BODIES = [
    post("sound", 200, None, None, text()),
    post("byte-order mark first", 200, None, None, b"\xef\xbb\xbf" + text()),
    post("blanks around", 200, None, None, b" \r\n\t" + text() + b"\n\n"),
    post("whole number as 19.0", 200, None, None, teeth(b"19.0")),
    post("whole number as 1.9e1", 200, None, None, teeth(b"1.9e1")),
    post("escapes in a key", 200, None, None, text().replace(b"driver_teeth", b"\\u0064river_teeth")),
    post("text with a colon in an escape", 200, None, None, text(client_ref="a").replace(b'"a"', b'"\\u003a"')),
    post("formula of a spreadsheet", 200, None, None, text(client_ref='=HYPERLINK("x")')),
    post("markup", 200, None, None, text(client_ref="<script>alert(1)</script>")),
    post("emoji", 200, None, None, text(client_ref="\U0001f517")),
    post("number in quotes", 422, BREAKS, "number_as_text", teeth(b'"19"')),
    post("number with decimal comma in quotes", 422, BREAKS, "decimal_comma", teeth(b'"19,5"')),
    post("NaN in quotes", 422, BREAKS, "number_as_text", teeth(b'"NaN"')),
    post("words for a number", 422, BREAKS, "wrong_type", teeth(b'"nineteen"')),
    post("true for a number", 422, BREAKS, "wrong_type", teeth(b"true")),
    post("null for a number", 422, BREAKS, "field_required", teeth(b"null")),
    post("list for a number", 422, BREAKS, "wrong_type", teeth(b"[19]")),
    post("object for a number", 422, BREAKS, "wrong_type", teeth(b'{"value": 19}')),
    post("NaN", 400, BAD, "number_not_finite", teeth(b"NaN")),
    post("Infinity", 400, BAD, "number_not_finite", teeth(b"Infinity")),
    post("-Infinity", 400, BAD, "number_not_finite", teeth(b"-Infinity")),
    post("1e400", 422, BREAKS, "number_out_of_range", teeth(b"1e400")),
    post("a number of 400 digits", 422, BREAKS, "number_out_of_range", teeth(b"9" * 400)),
    post("a number of 5000 digits", 422, BREAKS, "number_out_of_range", teeth(b"9" * 5000)),
    post("minus zero", 422, BREAKS, "must_be_positive", teeth(b"-0.0")),
    post("leading zero", 400, BAD, "json_invalid", teeth(b"019")),
    post("leading plus", 400, BAD, "json_invalid", teeth(b"+19")),
    post("hexadecimal", 400, BAD, "json_invalid", teeth(b"0x13")),
    post("thousands separator", 400, BAD, "json_invalid", teeth(b"1,000")),
    post("unknown field", 422, BREAKS, "field_unknown", text(foo=1)),
    post("unknown field deep inside", 422, BREAKS, "field_unknown", text(own_chain={"pitch": {"x": 1}})),
    post("key with slash, tilde and dot", 422, BREAKS, "field_unknown", text(**{"a/b~c.d": 1})),
    post("key of the language", 422, BREAKS, "field_unknown", text(__class__=1, __proto__=2)),
    post("a thousand unknown fields", 422, BREAKS, "field_unknown", text(**{f"f{i}": i for i in range(1000)})),
    post("key given twice", 400, BAD, "json_duplicate_key", b'{"driver_teeth": 20, ' + text()[1:]),
    post(
        "key given twice deep inside",
        400,
        BAD,
        "json_duplicate_key",
        text().replace(b'"unit": "mm"', b'"unit": "in", "unit": "mm"'),
    ),
    post(
        "key given twice, once as an escape",
        400,
        BAD,
        "json_duplicate_key",
        b'{"\\u0064river_teeth": 20, ' + text()[1:],
    ),
    post(
        "key given twice beside an escaped colon",
        400,
        BAD,
        "json_duplicate_key",
        b'{"driver_teeth": 20, "client_ref": "\\u003A", ' + text()[1:],
    ),
    post("list", 422, BREAKS, "body_wrong_shape", b"[]"),
    post("null", 422, BREAKS, "body_wrong_shape", b"null"),
    post("text", 422, BREAKS, "body_wrong_shape", b'"chain"'),
    post("empty object", 422, BREAKS, "field_required", b"{}"),
    post("empty", 400, BAD, "body_missing", b""),
    post("blanks only", 400, BAD, "body_missing", b"  \n"),
    post("cut short", 400, BAD, "json_invalid", text()[:-20]),
    post("trailing bytes", 400, BAD, "json_invalid", text() + b"x"),
    post("two objects", 400, BAD, "json_invalid", text() + text()),
    post("trailing comma", 400, BAD, "json_invalid", text()[:-1] + b",}"),
    post("comment", 400, BAD, "json_invalid", b"// chain\n" + text()),
    post("single quotes", 400, BAD, "json_invalid", text().replace(b'"', b"'")),
    post("byte that is no UTF-8", 400, BAD, "encoding_invalid", text(client_ref="Z").replace(b"Z", b"\xff")),
    post("overlong UTF-8", 400, BAD, "encoding_invalid", text(client_ref="Z").replace(b"Z", b"\xc0\xaf")),
    post("UTF-8 of a surrogate", 400, BAD, "encoding_invalid", text(client_ref="Z").replace(b"Z", b"\xed\xa0\x80")),
    post("Latin-1 half", 400, BAD, "encoding_invalid", text(client_ref="Z").replace(b"Z", b"\xbd")),
    post("half a character pair as a key", 400, BAD, "encoding_invalid", b'{"\\ud800": 1}'),
    post(
        "half a character pair in an escape",
        400,
        BAD,
        "encoding_invalid",
        text(client_ref="Z").replace(b"Z", b"\\ud800"),
    ),
    post("UTF-16", 400, BAD, None, text().decode().encode("utf-16")),
    post("NUL in a text", 422, BREAKS, "text_invalid", text(client_ref="a\x00b")),
    post("raw control character", 400, BAD, "json_invalid", text(client_ref="Z").replace(b"Z", b"\x01")),
    post("text of 100 kB", 422, BREAKS, "text_too_long", text(client_ref="a" * 100_000)),
    post("key of 100 kB", 422, BREAKS, "field_unknown", text(**{"k" * 100_000: 1})),
    post("digits of 100 kB in quotes", 422, BREAKS, None, teeth(b'"' + b"1" * 100_000 + b'x"')),
    post("100,000 nested lists", 400, BAD, "too_deep", b"[" * 100_000 + b"]" * 100_000),
    post("100,000 nested objects", 400, BAD, "too_deep", b'{"a":' * 100_000 + b"1" + b"}" * 100_000),
    post("5,000 nested lists in a field", 400, BAD, "too_deep", teeth(b"[" * 5000 + b"]" * 5000)),
    post("a list of 100,000 items for a number", 422, BREAKS, "wrong_type", teeth(b"[" + b"1," * 99_999 + b"1]")),
]

PROTOCOL = [
    post(
        "content type with charset",
        200,
        None,
        None,
        text(),
        headers=[("Content-Type", "application/json; charset=utf-8")],
    ),
    post(
        "content type in capitals",
        200,
        None,
        None,
        text(),
        headers=[("Content-Type", "Application/JSON;Charset=UTF-8")],
    ),
    post("no content type", 415, TYPE, None, text(), headers=[]),
    post("plain text", 415, TYPE, None, text(), headers=[("Content-Type", "text/plain")]),
    post("form", 415, TYPE, None, b"a=1", headers=[("Content-Type", "application/x-www-form-urlencoded")]),
    post("XML", 415, TYPE, None, b"<a/>", headers=[("Content-Type", "application/xml")]),
    post("other JSON", 415, TYPE, None, text(), headers=[("Content-Type", "application/ld+json")]),
    post("charset UTF-16", 415, TYPE, None, text(), headers=[("Content-Type", "application/json; charset=utf-16")]),
    post("garbage as content type", 415, TYPE, None, text(), headers=[("Content-Type", ";;;")]),
    post("two content types", 415, TYPE, None, text(), headers=[JSON, ("Content-Type", "text/plain")]),
    post("gzip claimed", 415, TYPE, None, text(), headers=[JSON, ("Content-Encoding", "gzip")]),
    post("accepts XML only", 406, ACCEPT, None, text(), headers=[JSON, ("Accept", "application/xml")]),
    post("garbage as Accept", 406, ACCEPT, None, text(), headers=[JSON, ("Accept", ";;q=x")]),
    post("JSON refused by weight", 406, ACCEPT, None, text(), headers=[JSON, ("Accept", "application/json;q=0, */*")]),
    post("accepts anything", 200, None, None, text(), headers=[JSON, ("Accept", "text/html, */*;q=0.1")]),
    post("unknown language", 200, None, None, text(), headers=[JSON, ("Accept-Language", "tlh")]),
    post("query on a calculation", 422, BREAKS, "field_unknown", text(), target=POST + "?units=inch"),
    post("chunked", 200, None, None, text(), chunked=True),
    post("2 MB announced", 413, LARGE, None, b"", headers=[JSON, ("Expect", "100-continue")], length="2000000"),
    post("a little over 1 MiB", 413, LARGE, None, b" " * 1_048_576 + text()),
    post("a little over 1 MiB, chunked", 413, LARGE, None, b" " * 1_048_576 + text(), chunked=True),
    get("GET with a body", 200, headers=[JSON], body=b"{}"),
    get("HEAD", 200, method="HEAD"),
    get("HEAD of nothing", 404, GONE, method="HEAD", target="/nope"),
    get("HEAD of a calculation", 405, VERB, method="HEAD", target=POST),
    get("GET of a calculation", 405, VERB, target=POST),
    get("PUT", 405, VERB, method="PUT", target=POST, headers=[JSON], body=text()),
    get("PATCH", 405, VERB, method="PATCH", target=POST, headers=[JSON], body=text()),
    get("DELETE", 405, VERB, method="DELETE", target=POST),
    get("TRACE", 405, VERB, method="TRACE", target=POST),
    get("OPTIONS", 204, method="OPTIONS", target=POST),
    get("OPTIONS with a query", 204, method="OPTIONS", target=POST + "?a=1"),
    get("OPTIONS of everything", 404, GONE, method="OPTIONS", target="*"),
    get("OPTIONS of nothing", 404, GONE, method="OPTIONS", target="/nope"),
    get("POST where only GET is", 405, VERB, method="POST", headers=[JSON], body=text()),
    get("nothing there", 404, GONE, target="/nope"),
    get("the root", 404, GONE, target="/"),
    get("trailing slash", 404, GONE, target=GET + "/"),
    get("double slash", 404, GONE, target="//health/live"),
    get("double slash inside", 404, GONE, target="/health//live"),
    get("slash in percent coding", 404, GONE, target="/health%2Flive"),
    get("dots", 404, GONE, target="/health/../health/live"),
    get("NUL in the path", 404, GONE, target="/health/live%00"),
    get("path that is no UTF-8", 404, GONE, target="/%ff"),
    get("markup in the path", 404, GONE, target="/%3Cscript%3E"),
    get("line feed in the path", 404, GONE, target="/a%0d%0aX-Evil:%201"),
    get("path of 30 kB", 404, GONE, target="/" + "a" * 30_000),
    get("absolute target", 200, target="http://127.0.0.1" + GET),
    get("unknown parameter", 422, BREAKS, target=GET + "?nope=1"),
    get("parameter twice", 422, BREAKS, target=GET + "?a=1&a=2"),
    get("empty parameter", 422, BREAKS, target=GET + "?="),
    get("query that is no UTF-8", 422, BREAKS, target=GET + "?a=%ff"),
    get("NUL in the query", 422, BREAKS, target=GET + "?a=%00"),
    get("query of 20 kB", 422, BREAKS, target=GET + "?a=" + "a" * 20_000),
    get("a thousand parameters", 422, BREAKS, target=GET + "?" + "&".join(f"a{i}=1" for i in range(1000))),
    get("bare question mark", 200, target=GET + "?"),
    get("request id with odd characters", 200, headers=[("X-Request-ID", "a b\xe9")]),
    get("request id of 10 kB", 200, headers=[("X-Request-ID", "a" * 10_000)]),
    get("header of 40 kB", 431, HEADERS, headers=[("X-A", "a" * 40_000)]),
    get("2,000 headers", 200, headers=[(f"X-{i}", "a") for i in range(2000)]),
    get("10,000 headers", 431, HEADERS, headers=[(f"X-{i}", "a") for i in range(10_000)]),
    get("upgrade to a websocket", 200, headers=[("Upgrade", "websocket"), ("Connection", "close, Upgrade")]),
    get("made-up verb", 400, method="BREW", plain=True),
    get("verb in small letters", 400, method="get", plain=True),
    get("length that is no number", 400, length="abc", plain=True),
    get("negative length", 400, length="-1", plain=True),
    get("two lengths", 400, headers=[("Content-Length", "2"), ("Content-Length", "3")], body=b"{}", plain=True),
    get("target of 70 kB", 400, target="/" + "a" * 70_000, plain=True),
]


def raw(odd: Odd) -> bytes:
    head = f"{odd.method} {odd.target} HTTP/1.1\r\nHost: 127.0.0.1\r\n"
    if all(name != "Connection" for name, _ in odd.headers):
        head += "Connection: close\r\n"
    head += "".join(f"{name}: {value}\r\n" for name, value in odd.headers)
    body = odd.body
    if odd.chunked:
        head += "Transfer-Encoding: chunked\r\n"
        body = b"%x\r\n%s\r\n0\r\n\r\n" % (len(body), body)
    elif odd.length is not None:
        head += f"Content-Length: {odd.length}\r\n"
    elif (body or odd.method == "POST") and all(name != "Content-Length" for name, _ in odd.headers):
        head += f"Content-Length: {len(body)}\r\n"
    return head.encode("latin-1") + b"\r\n" + body


@pytest.mark.parametrize("odd", BODIES + PROTOCOL, ids=lambda odd: odd.name)
def test_odd_request(server, odd):
    started = time.perf_counter()
    reply = server.send(raw(odd))
    assert time.perf_counter() - started < 4, "the answer took too long"
    assert reply.closed, "the connection was left open"
    assert reply.status == odd.status, reply
    if odd.plain:
        return
    assert reply.headers["x-request-id"].isalnum()
    if odd.code is not None and odd.method != "HEAD":
        problem = msgspec.json.decode(reply.body, type=Problem)
        assert reply.headers["content-type"] == "application/problem+json"
        assert (problem.code, problem.status) == (odd.code, odd.status)
        assert problem.title == CODES[odd.code].title
        assert odd.fault is None or odd.fault in {fault.code for fault in problem.errors}, problem
    if odd.method == "HEAD":
        assert reply.body == b""
    if odd.status == 405:
        assert reply.headers["allow"]


def test_server_still_answers(server):
    assert server.send(raw(get("sound", 200))).json() == {"status": "alive"}


def test_no_fault_was_logged(server):
    assert [line for line in server.lines() if line.get("level") == "error"] == []
