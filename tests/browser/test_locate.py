"""The helper on a circuit's page, used as in a plant room: from disk, on a tablet, with gloves."""

from __future__ import annotations

import gzip
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from access import faults
from playwright.sync_api import Browser, Page, expect

from tests.stories import CALLED, STORIES


@pytest.fixture(scope="module")
def sites(built: Callable[[str], Path]) -> dict[str, Path]:
    return {"sb": built("kb_source"), "mah": built("tests/kb/good/vashby-mah")}


@pytest.fixture
def limits(page: Page, sites: dict[str, Path]) -> Page:
    page.context.set_offline(True)
    page.goto((sites["sb"] / "circuits" / "sb-limits.html").as_uri())
    return page


def press(page: Page, *words: str) -> None:
    for word in words:
        page.click(f"[data-word={word}]")


def read_at(page: Page, port: str, volts: float, mode: str = "high_z") -> None:
    page.select_option("#kb-locate-port", port)
    page.select_option("#kb-locate-mode", mode)
    page.fill("#kb-locate-volts", str(volts))
    page.press("#kb-locate-volts", "Enter")


def told(page: Page) -> str:
    return page.locator(".kb-locate-next").inner_text()


def test_the_supply_comes_first_and_three_taps_lead_to_a_part(limits: Page) -> None:
    assert "T19" in told(limits)
    press(limits, "full", "full", "none")
    read_at(limits, "T24", 118)
    read_at(limits, "T22", 118)
    assert limits.locator(".kb-locate-readings li").count() == 5
    press(limits, "full")
    assert "doing its job" in limits.locator(".kb-locate-job").inner_text()
    assert "Not sure counts as real" in limits.locator(".kb-locate-job").inner_text()


def test_every_verdict_stands_with_the_caution_and_a_warning_comes_before_the_first_input(
    limits: Page,
) -> None:
    for words in ((), ("full",), ("full", "full")):
        press(limits, *words)
        assert "Live work" in limits.locator(".kb-locate-result").inner_text()
    order = limits.evaluate(
        """() => document.querySelector('#judge .kb-notice').compareDocumentPosition(
             document.querySelector('#judge select, #judge input, #judge button'))"""
    )
    assert order & 4, "the warning must stand before the first input"


def test_contradicting_readings_say_which_to_repeat(limits: Page) -> None:
    press(limits, "full")
    limits.select_option("#kb-locate-port", "T21")
    press(limits, "none")
    limits.select_option("#kb-locate-port", "T26")
    press(limits, "full")
    assert told(limits).startswith("These readings contradict each other.")
    assert "is the lead on the neutral" in told(limits)
    assert "\nRepeat T2" in told(limits).replace("\n\n", "\n")
    assert "supply of another circuit" in limits.locator(".kb-locate-result").inner_text()


def test_a_middle_reading_excludes_nothing_until_repeated_in_low_impedance(limits: Page) -> None:
    def shares() -> list[str]:
        return limits.locator(".kb-locate-result li").all_inner_texts()

    press(limits, "full")
    before = shares()
    limits.select_option("#kb-locate-port", "T25")
    press(limits, "some")
    assert shares() == before
    assert "Not counted: T25: some." in limits.locator(".kb-locate-result").inner_text()
    assert "T25" in told(limits)
    assert "low impedance" in told(limits)
    assert limits.locator("#kb-locate-mode").input_value() == "low_z"


def test_a_circuit_that_is_made_leads_to_wires_that_do_not_belong_and_what_opens_only_sometimes(
    limits: Page,
) -> None:
    read_at(limits, "T19", 119)
    read_at(limits, "T27", 118.6)
    assert "is made as far as read" not in told(limits), "one reading alone decides nothing"
    for _ in range(20):
        if "made as far as read" in told(limits):
            break
        device = limits.locator("#kb-locate-port").input_value().startswith("sb-")
        limits.fill("#kb-locate-volts", "0.02" if device else "118.4")
        limits.press("#kb-locate-volts", "Enter")
    assert "Every contact between T19 and T27 is made as far as read." in told(limits)
    assert "Look for wires that do not belong" in told(limits)
    shown = limits.locator(".kb-locate-result").inner_text()
    assert "What opens only sometimes" in shown
    assert "Reads the same: " in shown
    for word in ("sound", "healthy", "OK"):
        assert word not in limits.locator(".kb-locate").inner_text().split()


@pytest.mark.parametrize("name", STORIES)
def test_the_page_answers_the_stories_as_the_command_does(
    page: Page, sites: dict[str, Path], name: str
) -> None:
    story = STORIES[name]
    page.goto((sites["sb"] / "circuits" / f"{story.circuit}.html").as_uri())
    for asked in ("#kb-locate-size", "#kb-locate-options"):
        if page.locator(asked).count():
            page.select_option(asked, index=1)
    if story.stage and page.locator("#kb-locate-stage").count():
        page.select_option("#kb-locate-stage", story.stage)
    for reading in story.readings:
        port, _, rest = reading.partition("=")
        volts, _, mode = rest.partition(":")
        read_at(page, port, float(volts), "low_z" if mode else "high_z")
    shown = page.locator(".kb-locate-next, .kb-locate-result").all_inner_texts()
    for phrase in story.says:
        assert phrase in " ".join(shown), shown
    for phrase in story.never:
        assert phrase not in " ".join(shown), shown
    for _, fault in story.left:
        assert fault in shown[1], shown
    if story.verdict == "foreign":
        # Nothing to go on with; the reading can be removed.
        assert page.locator(".kb-locate-result li").count() == 0
        assert not page.locator("#kb-locate-volts").is_visible()
        page.locator(".kb-locate-readings li button").last.click()
        assert page.locator("#kb-locate-volts").is_visible()
    for word in CALLED:
        assert not re.search(rf"\b{word}\b", page.locator(".kb-locate").inner_text())


def test_a_second_person_ticks_that_the_place_was_found_anew(page: Page, sites: dict[str, Path]) -> None:
    page.goto((sites["sb"] / "circuits" / "td-heat.html").as_uri())
    for asked in ("#kb-locate-size", "#kb-locate-options"):
        if page.locator(asked).count():
            page.select_option(asked, index=1)
    page.select_option("#kb-locate-stage", "standby")
    for port, volts, mode in (
        ("D1", 208.5, "high_z"),
        ("D1", 209, "low_z"),
        ("D2", 0.8, "high_z"),
        ("D2", 1.2, "low_z"),
    ):
        read_at(page, port, volts, mode)
    assert "All of this hangs on D2 alone." in told(page)
    assert page.locator("#kb-locate-port").input_value() == "D2"
    tick = page.locator("#kb-locate-anew")
    assert tick.is_visible()
    page.select_option("#kb-locate-port", "D1")
    assert not tick.is_visible()
    page.select_option("#kb-locate-port", "D2")
    tick.check()
    read_at(page, "D2", 1, "low_z")
    assert "Found: " in told(page)
    assert "found anew" in page.locator(".kb-locate-readings").inner_text()
    assert not tick.is_visible()


def test_the_words_are_volts_of_the_supply_as_read(limits: Page) -> None:
    limits.select_option("#kb-locate-port", "T27")
    assert "within 5 V of T19" in limits.locator("[data-word=full]").inner_text()
    read_at(limits, "T19", 118)
    limits.select_option("#kb-locate-port", "T25")
    assert "113 to 123 V" in limits.locator("[data-word=full]").inner_text()


def test_volts_are_taken_with_a_comma_and_nonsense_is_refused(limits: Page) -> None:
    limits.fill("#kb-locate-volts", "118,5 V")
    limits.press("#kb-locate-volts", "Enter")
    assert "T19: 118.5 V" in limits.locator(".kb-locate-readings").inner_text()
    limits.fill("#kb-locate-volts", "lots")
    limits.press("#kb-locate-volts", "Enter")
    assert limits.locator(".kb-locate-readings li").count() == 1
    assert "Type volts" in limits.locator("#kb-locate-volts-says").inner_text()


def test_readings_are_of_one_machine_and_gone_after_one_tap_or_the_next_day(limits: Page) -> None:
    rows = limits.locator(".kb-locate-readings li")
    press(limits, "full", "full")
    limits.reload()
    expect(rows).to_have_count(0)
    limits.select_option("#kb-locate-plant", "t-101")
    expect(limits.locator(".kb-locate-readings")).to_contain_text("Read at T-101")
    press(limits, "full")
    expect(rows).to_have_count(1)
    limits.reload()
    expect(rows).to_have_count(1)
    limits.select_option("#kb-locate-plant", "own")
    limits.get_by_label("Its number, as it stands on it").fill("9")
    limits.get_by_label("Its number, as it stands on it").press("Tab")
    expect(limits.locator(".kb-locate-readings")).to_contain_text("Read at 9")
    expect(rows).to_have_count(0)
    limits.select_option("#kb-locate-plant", "t-101")
    expect(rows).to_have_count(1)
    limits.evaluate("() => { const now = Date.now; Date.now = () => now() + 9 * 3600 * 1000; }")
    limits.select_option("#kb-locate-plant", "t-101")
    expect(limits.locator(".kb-locate-readings")).to_contain_text("earlier visit")
    expect(rows).to_have_count(0)
    left = """async () => {
      const store = window.kbDoStore, closed = Date.now() - 9 * 3600000;
      for (const job of ["helper elsewhere", "real"]) await store.add(job, [{ k: "x", t: 1 }], [], 0, { closed });
      await store.tidy();
      const jobs = ["helper t-101 sb-limits", "helper elsewhere", "real"];
      return Promise.all(jobs.map(async (job) => (await store.read(job)).events.length));
    }"""
    assert limits.evaluate(left) == [0, 0, 1], "readings are deleted after hours, a job is not"
    press(limits, "full")
    expect(rows).to_have_count(1)
    limits.click(".kb-locate-reset")
    expect(rows).to_have_count(0)


def test_a_machine_takes_nothing_from_the_one_before_and_is_forgotten_when_taken_back(
    page: Page, sites: dict[str, Path]
) -> None:
    def own(number: str) -> None:
        page.select_option("#kb-locate-plant", "own")
        page.get_by_label("Its number, as it stands on it").fill(number)
        page.get_by_label("Its number, as it stands on it").press("Tab")

    page.goto((sites["sb"] / "circuits" / "sb-purge.html").as_uri())
    page.select_option("#kb-locate-plant", "t-101")
    expect(page.locator("#kb-locate-size option:checked")).not_to_have_text("Choose")
    own("9")
    expect(page.locator("#kb-locate-size option:checked")).to_have_text("Choose")
    page.goto((sites["sb"] / "circuits" / "td-heat.html").as_uri())
    page.select_option("#kb-locate-plant", "t-118")
    page.select_option("#kb-locate-stage", "standby")
    own("9")
    expect(page.locator("#kb-locate-stage")).not_to_have_value("standby")
    page.select_option("#kb-locate-plant", "t-118")
    page.select_option("#kb-locate-plant", "")
    page.reload()
    expect(page.locator("#kb-locate-plant")).to_have_value("")


def test_without_storage_the_helper_still_answers(page: Page, sites: dict[str, Path]) -> None:
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new Error('refused'); }})"
    )
    page.goto((sites["sb"] / "circuits" / "sb-limits.html").as_uri())
    press(page, "full")
    assert "T25" in told(page)


def test_a_warning_stands_beside_a_dead_supply_and_a_meter_that_would_be_a_jumper(limits: Page) -> None:
    press(limits, "none")
    assert "prove the meter on a known live source" in told(limits)
    limits.select_option("#kb-locate-port", "sb-burner-switch")
    limits.select_option("#kb-locate-mode", "low_z")
    press(limits, "none")
    assert "itself a jumper" in limits.locator(".kb-locate-result").inner_text()


def test_what_a_place_asks_for_stands_with_the_test_there(page: Page, sites: dict[str, Path]) -> None:
    page.goto((sites["sb"] / "circuits" / "mah-string.html").as_uri())
    page.select_option("#kb-locate-options", "")
    page.select_option("#kb-locate-stage", "heating")
    assert "Mind:" not in told(page)
    press(page, "full")
    page.select_option("#kb-locate-port", "M2")
    press(page, "full")
    page.select_option("#kb-locate-port", "M8")
    press(page, "none")
    assert "roof" in told(page)
    assert "Mind: Dry roof" in told(page)
    assert "Second person below" in told(page)


def test_a_shut_valve_is_part_of_the_state(limits: Page) -> None:
    limits.select_option("#kb-locate-opened", "shut:plant-cock")
    press(limits, "full")
    shown = limits.locator(".kb-locate-result").inner_text()
    assert "Low gas pressure switch open" not in shown, "it must be open: that is no fault"


def test_only_what_is_fitted_is_offered(page: Page, sites: dict[str, Path]) -> None:
    page.goto((sites["mah"] / "circuits" / "vashby-string.html").as_uri())
    page.select_option("#kb-locate-options", "")
    page.select_option("#kb-locate-stage", "running")
    expect(page.locator("#kb-locate-port option[value=vashby-unit-door]")).to_have_count(1)
    expect(page.locator("#kb-locate-port option[value=vashby-dirty-filter]")).to_have_count(0)
    page.select_option("#kb-locate-options", "dirty-filter")
    expect(page.locator("#kb-locate-port option[value=vashby-dirty-filter]")).to_have_count(1)


def test_the_size_is_chosen_once_for_all_circuits_of_a_plant(page: Page, sites: dict[str, Path]) -> None:
    circuits = sites["sb"] / "circuits"
    page.goto((circuits / "sb-purge.html").as_uri())
    page.select_option("#kb-locate-size", "sb-3")
    page.goto((circuits / "sb-start-interlock.html").as_uri())
    assert page.locator("#kb-locate-size").input_value() == "sb-3"


def test_without_javascript_the_helper_is_not_there(browser: Browser, sites: dict[str, Path]) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((sites["sb"] / "circuits" / "sb-limits.html").as_uri())
    assert not page.locator(".kb-locate").is_visible()
    assert page.locator("#judge noscript").count() == 1
    context.close()


@pytest.mark.parametrize("width", [360, 820])
@pytest.mark.parametrize("scheme", ["light", "dark", "sun"])
def test_the_page_has_large_targets_fits_and_breaks_no_rule_of_access(
    page: Page, sites: dict[str, Path], width: int, scheme: str
) -> None:
    page.set_viewport_size({"width": width, "height": 1180})
    page.goto((sites["mah"] / "circuits" / "vashby-string.html").as_uri())
    page.evaluate(f"document.documentElement.setAttribute('data-scheme', '{scheme}')")
    page.select_option("#kb-locate-options", "dirty-filter")
    page.select_option("#kb-locate-stage", "running")
    press(page, "full", "none")
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    small = page.evaluate(
        """() => [...document.querySelectorAll('.kb-locate button, .kb-locate select,'
             + '.kb-locate input[type=text]')].map((each) => [each.textContent || each.id, each.getBoundingClientRect()])
             .filter(([, box]) => box.height < 48 || box.width < 48).map(([text]) => text)"""
    )
    assert small == []
    assert faults(page, scheme) == []


@pytest.mark.parametrize("name", ["sb", "mah"])
def test_the_data_of_a_circuit_is_small(sites: dict[str, Path], name: str) -> None:
    scripts = list((sites[name] / "assets" / "circuits").glob("*.js"))
    assert scripts
    for file in scripts:
        # One state of the plant at a time: its own figures, and what is common to all states.
        assert len(gzip.compress(file.read_bytes(), 9)) < 14_336, file.name
