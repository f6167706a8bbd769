"""The documentation page: complete in itself, bound by its own policy, and reading the contract that is served."""

from __future__ import annotations

import re

import pytest

from service.api.documentation import FILES, FOLDER

PARTS = sorted(FILES)


@pytest.mark.parametrize("path", PARTS)
def test_parts_are_answered_with_their_type_and_tag(service, path):
    response = service.get(path)
    assert response.status_code == 200
    assert response.headers["content-type"] == f"{FILES[path][1]}; charset=utf-8"
    assert response.content == (FOLDER / FILES[path][0]).read_bytes()
    again = service.get(path, headers={"if-none-match": response.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("path", PARTS)
def test_no_part_names_another_host(service, path):
    text = service.get(path).text
    assert re.findall(r"(?:https?:)?//[a-z0-9.-]+\.[a-z]{2,}", text) == []
    assert re.findall(r"@import|url\(|<base|srcset|<iframe|<form", text) == []


def test_page_refers_to_its_own_parts_only(service):
    text = service.get("/docs").text
    referred = re.findall(r'(?:href|src)="([^"#]+)"', text)
    assert {f"/{name}" for name in referred if name != "data:,"} <= {*PARTS, "/openapi.json"}
    assert {"docs/page.js", "docs/page.css"} <= set(referred)
    assert re.findall(r"<script(?![^>]* src=)|<style|\son[a-z]+=|\sstyle=", text) == []


def test_policy_lets_the_browser_ask_this_service_alone(service):
    policy = service.get("/docs").headers["content-security-policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == rules["connect-src"] == "'self'"
    assert rules["frame-ancestors"] == "'none'"
    assert "unsafe" not in policy


def test_script_never_makes_markup_of_text(service):
    script = service.get("/docs/page.js").text
    assert re.findall(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|new Function", script) == []


def test_page_can_be_used_without_sight_or_mouse(service):
    text = service.get("/docs").text
    assert '<html lang="en">' in text
    labelled = set(re.findall(r'<label for="([^"]+)"', text))
    assert labelled == set(re.findall(r'<input id="([^"]+)"', text))
    assert 'class="skip" href="#operation"' in text
    assert "<main" in text
    assert "<nav aria-label=" in text
    assert "<h1" in text


def test_keys_do_not_close_the_page(make_caller):
    keyed = make_caller(api_keys=("secret",))
    assert [keyed.get(path).status_code for path in PARTS] == [200] * len(PARTS)


def test_page_asks_for_html(service):
    accept = "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"
    assert service.get("/docs", headers={"accept": accept}).status_code == 200
    assert service.get("/docs", headers={"accept": "application/json"}).status_code == 406
