"""A county's files agree with one another and with the package; what a cluster makes of them is not tried here."""

import re
import shlex
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final
from urllib.parse import unquote

import jsonschema
import pytest
import yaml

from labkit.shipped import SHIPPED
from tests.install.test_wheel import CHECKOUT

COUNTY = CHECKOUT / "labkit" / "hall" / "county"


def _only(**keys: Any) -> dict[str, Any]:
    return {"type": "object", "additionalProperties": False, "properties": keys}


def _or_none(kind: str) -> dict[str, Any]:
    return {"type": [kind, "null"]}


FLAG: Final = {"type": "boolean"}
AMOUNT: Final = {"type": ["number", "string", "null"]}
SCHEMA: Final = _only(
    hub=_only(config={"type": "object"}),
    proxy=_only(
        https=_only(
            enabled=_or_none("boolean"),
            type={"enum": [None, "", "letsencrypt", "manual", "offload", "secret"]},
            letsencrypt=_only(contactEmail=_or_none("string")),
            hosts={"type": "array"},
        )
    ),
    singleuser=_only(
        image=_only(name={"type": "string"}, tag={"type": "string"})
        | {"required": ["name", "tag"]},
        cmd={"type": ["array", "string", "null"]},
        defaultUrl=_or_none("string"),
        uid=_or_none("integer"),
        fsGid=_or_none("integer"),
        allowPrivilegeEscalation=_or_none("boolean"),
        startTimeout=_or_none("integer"),
        storage=_only(
            type={"enum": ["dynamic", "static", "none"]},
            capacity=_or_none("string"),
            homeMountPath={"type": "string"},
        )
        | {"required": ["type", "homeMountPath"]},
        memory=_only(guarantee=AMOUNT, limit=AMOUNT),
        cpu=_only(guarantee=_or_none("number"), limit=_or_none("number")),
        networkPolicy=_only(enabled=FLAG, egressAllowRules=_only(nonPrivateIPs=FLAG)),
    ),
    cull=_only(enabled=FLAG, timeout=_or_none("integer"), every=_or_none("integer"))
    | {"required": ["enabled"]},
)
"""What the chart's own schema says of the keys used here (``jupyterhub/values.schema.yaml`` of
jupyterhub/zero-to-jupyterhub-k8s at 02dd73df); no object there takes a key that it doesn't name."""


def test_the_chart_knows_every_key_and_its_kind(values: dict[str, Any]) -> None:
    jsonschema.validate(values, SCHEMA)
    with pytest.raises(jsonschema.ValidationError, match="defaultURL"):
        jsonschema.validate({"singleuser": {"defaultURL": "/lab"}}, SCHEMA)


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
    assert f"chown --recursive learner:learner {variables['XDG_CACHE_HOME']}" in made
    assert not variables["XDG_CACHE_HOME"].startswith(variables["HOME"]), "hidden by the disk"


def test_names_follow_the_package(values: dict[str, Any], steps: dict[str, list[str]]) -> None:
    pod = values["singleuser"]
    wheel = f"labkit-{version('labkit')}-py3-none-any.whl"
    assert pod["image"]["tag"] == version("labkit")
    assert steps["COPY"] == [f"{wheel} /opt/labkit/"]
    lesson = unquote(pod["defaultUrl"].removeprefix("/doc/tree/"))
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
