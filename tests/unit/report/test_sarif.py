"""What a code review gets: SARIF 2.1.0.

The whole published schema is large; what it demands of the parts we write is checked here by hand.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from kbgen.cli import main
from kbgen.rules.registry import BY_NAME
from tests.unit.shops import write_shop

FILES = {
    "devices/a.yaml": "title: Große Düse °\nstatus: draft\nproves: x\nmeens: y\n",
    "symptoms/b.yaml": "title: B\ncauses: [\n",
    "devices/c.yaml": "title: C\nformer_ids: [a]\n",
    "devices/d d.yaml": "title: D\n",
}
LEVELS = ("none", "note", "warning", "error")


def sarif(root: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    capsys.readouterr()
    main(["check", "--no-cache", "--kb", str(root), "--format", "sarif"])
    whole: dict[str, Any] = json.loads(capsys.readouterr().out)
    return whole


def place(location: dict[str, Any]) -> tuple[str, int, int]:
    physical = location["physicalLocation"]
    region = physical["region"]
    assert set(region) == {"startLine", "startColumn"}
    assert min(region.values()) >= 1
    return physical["artifactLocation"]["uri"], region["startLine"], region["startColumn"]


def test_sarif_has_what_the_standard_demands(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    write_shop(tmp_path / "shop", FILES)
    monkeypatch.chdir(tmp_path)
    whole = sarif(Path("shop"), capsys)
    assert whole["version"] == "2.1.0"
    assert whole["$schema"].endswith("sarif-schema-2.1.0.json")
    (run,) = whole["runs"]
    assert run["columnKind"] == "unicodeCodePoints"
    assert run["invocations"][0]["executionSuccessful"] is True
    rules = run["tool"]["driver"]["rules"]
    assert len({rule["id"] for rule in rules}) == len(rules)
    for rule in rules:
        assert rule["shortDescription"]["text"] == BY_NAME[rule["id"]].why
        assert rule["defaultConfiguration"]["level"] in LEVELS
    assert run["results"]
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
        assert result["level"] in LEVELS
        assert result["message"]["text"]
        for location in (*result["locations"], *result.get("relatedLocations", ())):
            uri, _, _ = place(location)
            assert uri.startswith("shop/")
            assert "\\" not in uri
            assert " " not in uri
    ids = [[near["id"] for near in result.get("relatedLocations", ())] for result in run["results"]]
    assert all(len(set(each)) == len(each) for each in ids)


def test_sarif_and_json_say_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = write_shop(tmp_path, FILES)
    main(["check", "--no-cache", "--kb", str(root), "--json"])
    wanted = json.loads(capsys.readouterr().out)["problems"]
    results = sarif(root, capsys)["runs"][0]["results"]
    assert [(each["ruleId"], *place(each["locations"][0])[1:]) for each in results] == [
        (each["rule"], each["line"], each["column"]) for each in wanted
    ]


def test_checks_that_did_not_run_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (run,) = sarif(write_shop(tmp_path, {}), capsys)["runs"]
    told = [each["message"]["text"] for each in run["invocations"][0]["toolExecutionNotifications"]]
    assert told == ["not run: reviews that have run out (give --today)"]
    assert run["results"] == []
