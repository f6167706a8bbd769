"""The container's files agree with the service: locked packages, probes, limits, and no host of a registry anywhere."""

from __future__ import annotations

import re
import subprocess
import tomllib
from importlib import metadata
from pathlib import Path
from typing import Any

import yaml
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from service import __version__
from service.settings import Settings

ROOT = Path(__file__).parents[2]
DOCKER = ROOT / "docker"
IMAGE = f"chain-engineering-service:{__version__}"


def locked() -> dict[str, tuple[str, int]]:
    """Version and number of hashes of each locked package."""
    found: dict[str, tuple[str, int]] = {}
    text = (DOCKER / "requirements.txt").read_text(encoding="utf-8").replace("\\\n", " ")
    for line in text.splitlines():
        if line and not line.startswith("#"):
            match = re.match(r"([a-z0-9.-]+)==(\S+)", line)
            assert match, line
            found[canonicalize_name(match[1])] = (match[2], line.count("--hash=sha256:"))
    return found


def needed() -> list[Requirement]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [Requirement(text) for text in project["dependencies"]]


def test_every_dependency_is_locked_at_a_version_that_fits_and_with_hashes() -> None:
    lock = locked()
    for requirement in needed():
        version, hashes = lock[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), requirement
        assert hashes, requirement
    assert all(hashes for _, hashes in lock.values())


def test_lock_is_closed() -> None:
    lock = locked()
    missing = {
        f"{name} needs {requirement.name}"
        for name in lock
        for text in metadata.requires(name) or ()
        for requirement in [Requirement(text)]
        if requirement.marker is None or requirement.marker.evaluate({"extra": ""})
        if canonicalize_name(requirement.name) not in lock
    }
    assert missing == set()


def test_nothing_for_tests_is_locked() -> None:
    assert set(locked()) & {"pytest", "hypothesis", "schemathesis", "ruff", "mypy", "pydantic"} == set()


def test_no_file_names_the_host_of_a_registry() -> None:
    hosts = [b"py" + b"pi.", b"python" + b"hosted.", b"registry." + b"npm", b"npm" + b"js.", b"--index" + b"-url http"]
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True).stdout
    files = [ROOT / name.decode() for name in listed.split(b"\0") if name]
    assert [str(path) for path in files if path.exists() and any(host in path.read_bytes() for host in hosts)] == []


def test_dockerfile_runs_as_nobody_in_particular_and_gets_the_signal_itself() -> None:
    text = (DOCKER / "Dockerfile").read_text(encoding="utf-8")
    last = text.split("FROM ")[-1]
    assert re.search(r"^USER 10001:10001$", last, re.MULTILINE)
    assert re.search(r'^ENTRYPOINT \["python3", "-m", "service"\]$', last, re.MULTILINE)
    assert "--require-hashes" in text
    assert "compileall" in text


def kubernetes() -> list[dict[str, Any]]:
    return list(yaml.safe_load_all((DOCKER / "kubernetes.yaml").read_text(encoding="utf-8")))


def test_probes_ask_for_paths_that_exist() -> None:
    contract = yaml.safe_load((ROOT / "openapi" / "openapi.yaml").read_text(encoding="utf-8"))
    pod = kubernetes()[0]["spec"]["template"]
    container = pod["spec"]["containers"][0]
    asked = [container[probe]["httpGet"]["path"] for probe in ("startupProbe", "readinessProbe", "livenessProbe")]
    asked.append(pod["metadata"]["annotations"]["prometheus.io/path"])
    asked += re.findall(r"127\.0\.0\.1:8000(/[\w/]+)", (DOCKER / "Dockerfile").read_text(encoding="utf-8"))
    asked += re.findall(r"127\.0\.0\.1:8000(/[\w/]+)", (DOCKER / "compose.yaml").read_text(encoding="utf-8"))
    assert len(asked) == 6
    assert set(asked) <= set(contract["paths"])


def test_kubernetes_gives_the_container_nothing_it_does_not_need() -> None:
    pod = kubernetes()[0]["spec"]["template"]["spec"]
    container = pod["containers"][0]
    assert container["image"] == IMAGE
    assert pod["securityContext"]["runAsNonRoot"] is True
    assert container["securityContext"]["readOnlyRootFilesystem"] is True
    assert container["securityContext"]["capabilities"] == {"drop": ["ALL"]}
    assert pod["terminationGracePeriodSeconds"] > Settings().shutdown_timeout_s + 5
    assert kubernetes()[1]["spec"]["ports"][0]["targetPort"] == container["ports"][0]["name"]


def test_compose_gives_the_container_nothing_it_does_not_need() -> None:
    service = yaml.safe_load((DOCKER / "compose.yaml").read_text(encoding="utf-8"))["services"]["chain-engineering"]
    assert service["image"] == IMAGE
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert int(service["stop_grace_period"].removesuffix("s")) > Settings().shutdown_timeout_s
    assert service["deploy"]["resources"]["limits"].keys() == {"cpus", "memory", "pids"}


def test_settings_are_documented() -> None:
    text = (DOCKER / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`([A-Z_]+)`", text))
    assert {name.upper() for name in Settings.__dataclass_fields__} <= named


def test_ci_runs_the_second_command_of_the_readme() -> None:
    blocks = re.findall(
        r"^```sh$\n(.*?)^```$", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE
    )
    assert blocks[1].strip().endswith("python tests/run.py")
    assert ".[test]" in blocks[1]
    script = ROOT / ".ci" / "run"
    assert script.stat().st_mode & 0o111, "it must be executable"
    extract = re.search(r"awk '(.*)' README.md", script.read_text(encoding="utf-8"))
    assert extract
    awk = subprocess.run(["awk", extract[1], "README.md"], cwd=ROOT, capture_output=True, text=True, check=True)
    assert awk.stdout == blocks[1]
