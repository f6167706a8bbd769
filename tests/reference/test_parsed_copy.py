"""The parsed copy of cards and registers says what the files say, and an edited file counts at once."""

from __future__ import annotations

import hashlib

import msgspec

from service.reference import toml_files
from service.reference.codes import load_codes
from service.reference.toml_files import HERE, PARSED, Parsed, read_toml

LINES = msgspec.json.Decoder(Parsed).decode_lines(PARSED.read_bytes())


def test_copy_holds_every_file_as_it_stands():
    kept = {(line.file, line.sha256) for line in LINES}
    files = {path.relative_to(HERE).as_posix(): path for path in HERE.glob("**/*.toml")}
    present = {(name, hashlib.sha256(path.read_bytes()).hexdigest()) for name, path in files.items()}
    assert kept == present, "run: python -m service.reference seal"
    assert len(LINES) == len(kept)
    for line in LINES:
        assert msgspec.json.decode(line.content) == msgspec.toml.decode(files[line.file].read_bytes()), line.file


def test_edited_file_is_read_as_it_is_now(tmp_path):
    told = load_codes()
    first = next(iter(told.values()))
    path = tmp_path / "codes.toml"
    text = (HERE / "codes.toml").read_text(encoding="utf-8")
    path.write_text(text.replace(f'"{first.title}"', '"Another title"', 1), encoding="utf-8")
    edited = load_codes(path)
    assert edited[first.id].title == "Another title"
    assert {code: entry for code, entry in edited.items() if code != first.id} == {
        code: entry for code, entry in told.items() if code != first.id
    }


def test_file_without_a_copy_is_parsed(tmp_path, monkeypatch):
    told = load_codes()
    monkeypatch.setattr(toml_files, "PARSED", tmp_path / "none.jsonl")
    monkeypatch.setattr(toml_files, "_READ", {})
    toml_files._parsed_before.cache_clear()
    try:
        assert load_codes() == told
    finally:
        toml_files._parsed_before.cache_clear()


def test_copy_is_what_a_start_reads(monkeypatch):
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("the parser was asked")

    monkeypatch.setattr(toml_files, "_READ", {})
    monkeypatch.setattr(msgspec.toml, "decode", refuse)
    assert read_toml(HERE / "codes.toml", dict)["code"]
