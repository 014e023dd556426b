"""A county's files agree with one another and with the package; what a cluster makes of them is not tried here."""

import re
import shlex
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
import yaml

from labkit.shipped import SHIPPED
from tests.install.test_wheel import CHECKOUT

COUNTY = CHECKOUT / "labkit" / "hall" / "county"


@pytest.fixture(scope="module")
def values() -> dict[str, Any]:
    read: dict[str, Any] = yaml.safe_load((COUNTY / "values.yaml").read_text(encoding="utf-8"))
    return read


@pytest.fixture(scope="module")
def steps() -> dict[str, list[str]]:
    """What stands after each instruction of the container file."""
    text = (COUNTY / "Containerfile").read_text(encoding="utf-8")
    lines = re.sub(r"\\\n", " ", re.sub(r"^#.*\n", "", text, flags=re.MULTILINE)).splitlines()
    found: dict[str, list[str]] = {}
    for name, _, rest in (line.partition(" ") for line in lines if line):
        found.setdefault(name, []).append(rest.strip())
    return found


def test_the_pod_is_what_the_image_makes(
    values: dict[str, Any], steps: dict[str, list[str]]
) -> None:
    pod = values["singleuser"]
    variables = dict(one.split("=") for one in shlex.split(steps["ENV"][0]))
    (made,) = steps["RUN"]

    assert steps["USER"] == [str(pod["uid"])] == [str(pod["fsGid"])]
    assert f"useradd --uid {pod['uid']}" in made
    assert variables["HOME"] == pod["storage"]["homeMountPath"] == steps["WORKDIR"][0]
    assert steps["CMD"] == [str(pod["cmd"]).replace("'", '"')]
    assert find_spec(pod["cmd"][-1]) is not None
    assert "waves=True" in made
    assert "labkit.lab.behind import engine" in made, "works out the checks of the home page"
    assert not variables["XDG_CACHE_HOME"].startswith(variables["HOME"]), "hidden by the disk"


def test_names_follow_the_package(values: dict[str, Any], steps: dict[str, list[str]]) -> None:
    pod = values["singleuser"]
    wheel = f"labkit-{version('labkit')}-py3-none-any.whl"
    assert pod["image"]["tag"] == version("labkit")
    assert steps["COPY"] == [f"{wheel} /opt/labkit/"]
    lesson = unquote(pod["defaultUrl"].removeprefix("/lab/tree/"))
    assert (Path(SHIPPED) / lesson).is_file()


def test_nobody_else_gets_in_or_out(values: dict[str, Any], steps: dict[str, list[str]]) -> None:
    pod = values["singleuser"]
    assert pod["allowPrivilegeEscalation"] is False
    assert pod["networkPolicy"] == {"enabled": True, "egressAllowRules": {"nonPrivateIPs": False}}
    assert values["proxy"]["https"]["enabled"] is True
    assert "0" not in steps["USER"]
    text = (COUNTY / "values.yaml").read_text(encoding="utf-8")
    for secret in ("client_id", "client_secret"):
        assert re.search(rf"{secret}: [A-Z-]+$", text, re.MULTILINE), "a placeholder, no secret"
