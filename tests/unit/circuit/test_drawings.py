"""The ladder diagram and the sequence chart, as a reader and a page get them."""

from __future__ import annotations

import gzip
import re
from xml.etree import ElementTree

import pytest

from kbgen.compute.circuit.state import State
from kbgen.views.ladder import ladder, legend
from kbgen.views.sequence_chart import sequence_chart
from tests.unit.circuit.bases import make_base, read_base, string

ONDREL = read_base("ondrel")
DRAWINGS = {
    "limits": ladder(ONDREL, "limits"),
    "vashby": ladder(read_base("vashby"), "string", State(stage="heat")),
    "zellick": ladder(read_base("zellick"), "safety"),
    "sequence": sequence_chart(ONDREL, "ondrel-sb", "sb-3"),
}


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_drawing_is_sound_xml_without_styles_scripts_or_colours_of_its_own(name):
    svg = DRAWINGS[name].svg
    ElementTree.fromstring(svg)
    assert not re.search(r"style|script|class=|id=|on\w+=|href|#", svg)
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg)) <= {"none", "currentColor"}
    assert f"<desc>{DRAWINGS[name].alt.split('&')[0][:40]}" in svg


def test_the_string_stands_in_words_too_in_its_order():
    alt = DRAWINGS["limits"].alt
    places = [
        alt.index(word)
        for word in ("X1:1", "Fuse F4", "Burner switch", "X3:5", "First low-water", "test point N")
    ]
    assert places == sorted(places)


def test_contacts_are_drawn_as_they_should_stand():
    assert "Start timer, open" in DRAWINGS["vashby"].alt
    assert "Low outlet temperature cut-out, closed" in DRAWINGS["vashby"].alt
    assert (
        "Low gas pressure switch, open"
        in ladder(ONDREL, "limits", State(valves_shut=frozenset({"boiler-cock"}))).alt
    )


def test_a_part_of_another_size_is_not_drawn():
    assert "Low-fire position" not in ladder(ONDREL, "start-interlock", State(size="sb-1")).alt
    assert "Low-fire position" in ladder(ONDREL, "start-interlock", State(size="sb-3")).alt


def test_the_factory_link_stands_where_the_option_is_not_fitted():
    fitted = ladder(read_base("vashby"), "string", State(options=frozenset({"dirty-filter"})))
    assert "Blue link" in DRAWINGS["vashby"].alt
    assert "Blue link" not in fitted.alt
    assert "Dirty-filter cut-out" in fitted.alt


def test_a_plain_string_fits_a_phone():
    assert DRAWINGS["zellick"].width == 320


def test_25_devices_stay_under_4_kilobytes():
    path = [part for n in range(25) for part in ({"point": f"X3:{n}"}, {"contact": f"device-number-{n}"})]
    path += [{"point": "X3:25"}, {"input": "limits"}, {"point": "N"}]
    devices = {
        f"device-number-{n}": {"title": f"Some safety device {n}", "guards": "temperature"} for n in range(25)
    }
    base = string(path, {"voltage": "120 V", "current": "AC"}, devices=devices)
    assert len(gzip.compress(ladder(base, "c").svg.encode())) < 4096


def test_what_an_author_types_stays_text():
    devices = {"a": {"title": "<b>&\"' switch"}}
    path = [{"point": "<1>"}, {"contact": "a"}, {"coil": "a"}]
    svg = ladder(string(path, {"voltage": "24 V", "current": "DC"}, devices=devices), "c").svg
    root = ElementTree.fromstring(svg)
    words = "".join(element.text or "" for element in root.iter("{http://www.w3.org/2000/svg}text"))
    assert "<1>" in words
    assert "<b>&\"' switch" in words


@pytest.mark.parametrize(
    ("typed", "shown"), [("24 V", "24 V DC"), ("24 V DC", "24 V DC"), ("24 Vdc", "24 Vdc")]
)
def test_the_current_is_said_once(typed, shown):
    path = [{"point": "A"}, {"contact": "one"}, {"point": "B"}]
    alt = ladder(string(path, {"voltage": typed, "current": "DC"}), "c").alt
    assert alt.startswith(f"From the supply, {shown}: ")


def test_the_legend_names_only_the_signs_used():
    assert legend(read_base("zellick"), "safety") == (
        "half circle: pressure or draught", "square: other", "flag: flow", "helix: temperature",
    )  # fmt: skip


def test_the_chart_tells_made_open_ignored_and_what_passes():
    chart = DRAWINGS["sequence"]
    assert "Before the fan: made: Burner switch" in chart.alt
    assert "open: Combustion air switch" in chart.alt
    words = "".join(ElementTree.fromstring(chart.svg).itertext())
    assert "(AIR NOT" in words
    assert "stroke-dasharray" in chart.svg


def test_a_plant_without_stages_has_no_chart():
    assert sequence_chart(make_base({"equipment": {"p": {"title": "P"}}}), "p") is None


def test_an_open_contact_is_drawn_away_from_its_terminal_and_one_closed_at_rest_struck_through():
    devices = {
        "s": {"title": "S"},
        "k": {
            "title": "K",
            "type": "relay",
            "contacts": [
                {"id": "rest", "made_when": "off", "made_energised": "false"},
                {"id": "work", "made_when": "on"},
            ],
        },
    }
    plant = {
        "sequence": [{"id": "open", "title": "O", "open": ["s"]}, {"id": "made", "title": "M", "made": ["s"]}]
    }
    volts = {"voltage": "24 V", "current": "DC"}

    def drawn(path, stage=""):
        base = string([*path, {"input": "i"}], volts, devices=devices, plant=plant)
        return ladder(base, "c", State(stage=stage)).svg

    away, touching, struck = "M0 10L-13-7", "M0 10L-3-12", "M-9 10L9-10"
    assert away in drawn([{"contact": "s"}], "open")
    assert away not in drawn([{"contact": "s"}], "made")
    assert touching in drawn([{"contact": "s"}], "made")
    assert struck in drawn([{"contact": "k", "which": "rest"}])
    assert struck not in drawn([{"contact": "k", "which": "work"}])
