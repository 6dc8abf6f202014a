"""The helper on a circuit's page, used as in a plant room: from disk, on a tablet, with gloves."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from kbgen.outputs.web import build_edition
from kbgen.pipeline import compile_folder

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def sites(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    found = {}
    for name, folder in (("sb", "kb_source"), ("mah", "tests/kb/good/vashby-mah")):
        compiled = compile_folder(ROOT / folder)
        assert compiled.sound
        found[name] = tmp_path_factory.mktemp(name) / "site"
        build_edition(compiled, found[name], lambda _: None)
    return found


@pytest.fixture
def limits(page: Page, sites: dict[str, Path]) -> Page:
    page.context.set_offline(True)
    page.goto((sites["sb"] / "circuits" / "sb-limits.html").as_uri())
    return page


def press(page: Page, *words: str) -> None:
    for word in words:
        page.click(f"[data-word={word}]")


def told(page: Page) -> str:
    return page.locator(".kb-locate-next").inner_text()


def test_the_supply_comes_first_and_three_taps_lead_to_a_part(limits: Page) -> None:
    assert "T19" in told(limits)
    press(limits, "full", "full", "none")
    assert limits.locator(".kb-locate-readings li").count() == 3
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
    assert told(limits).startswith("Repeat ")


def test_a_middle_reading_excludes_nothing_until_repeated_in_low_impedance(limits: Page) -> None:
    press(limits, "full")
    before = limits.locator(".kb-locate-result").inner_text()
    limits.select_option("#kb-locate-port", "T25")
    press(limits, "some")
    assert limits.locator(".kb-locate-result").inner_text() == before
    assert "T25" in told(limits)
    assert "low impedance" in told(limits)
    assert limits.locator("#kb-locate-low").is_checked()


def test_a_circuit_that_reads_sound_leads_to_what_opens_only_sometimes(limits: Page) -> None:
    press(limits, "full")
    limits.select_option("#kb-locate-port", "T27")
    press(limits, "full")
    assert "made now" in told(limits)
    assert "What opens only sometimes" in limits.locator(".kb-locate-result").inner_text()


def test_volts_are_taken_with_a_comma_and_nonsense_is_refused(limits: Page) -> None:
    limits.fill("#kb-locate-volts", "118,5 V")
    limits.press("#kb-locate-volts", "Enter")
    assert "T19: 118.5 V" in limits.locator(".kb-locate-readings").inner_text()
    limits.fill("#kb-locate-volts", "lots")
    limits.press("#kb-locate-volts", "Enter")
    assert limits.locator(".kb-locate-readings li").count() == 1
    assert "Type volts" in limits.locator("#kb-locate-volts-says").inner_text()


def test_readings_survive_sleep_and_are_gone_after_one_tap_or_the_next_day(limits: Page) -> None:
    press(limits, "full", "full")
    limits.reload()
    assert limits.locator(".kb-locate-readings li").count() == 2
    limits.click(".kb-locate-reset")
    limits.reload()
    assert limits.locator(".kb-locate-readings li").count() == 0
    press(limits, "full")
    limits.evaluate(
        """() => {
          const key = Object.keys(localStorage).find((name) => name.includes('.locate.'));
          const kept = JSON.parse(localStorage.getItem(key));
          kept.at -= 9 * 3600 * 1000;
          localStorage.setItem(key, JSON.stringify(kept));
        }"""
    )
    limits.reload()
    assert limits.locator(".kb-locate-readings li").count() == 0
    assert "earlier visit" in limits.locator(".kb-locate-readings").inner_text()


def test_without_storage_the_helper_still_answers(page: Page, sites: dict[str, Path]) -> None:
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new Error('refused'); }})"
    )
    page.goto((sites["sb"] / "circuits" / "sb-limits.html").as_uri())
    press(page, "full")
    assert "T25" in told(page)


def test_a_warning_stands_beside_a_dead_supply_and_a_meter_that_would_be_a_jumper(limits: Page) -> None:
    press(limits, "none")
    assert "prove the meter on a known live source" in limits.locator(".kb-locate-result").inner_text()
    limits.select_option("#kb-locate-port", "sb-burner-switch")
    limits.check("#kb-locate-low")
    press(limits, "none")
    assert "itself a jumper" in limits.locator(".kb-locate-result").inner_text()


def test_what_a_place_asks_for_stands_with_the_test_there(page: Page, sites: dict[str, Path]) -> None:
    page.goto((sites["sb"] / "circuits" / "mah-string.html").as_uri())
    page.select_option("#kb-locate-options", "")
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
    assert page.locator("#kb-locate-port option[value=vashby-unit-door]").count() == 1
    assert page.locator("#kb-locate-port option[value=vashby-dirty-filter]").count() == 0
    page.select_option("#kb-locate-options", "dirty-filter")
    assert page.locator("#kb-locate-port option[value=vashby-dirty-filter]").count() == 1


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
    press(page, "full", "none")
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    small = page.evaluate(
        """() => [...document.querySelectorAll('.kb-locate button, .kb-locate select, .kb-locate label[for=kb-locate-low],'
             + '.kb-locate input[type=text]')].map((each) => [each.textContent || each.id, each.getBoundingClientRect()])
             .filter(([, box]) => box.height < 48 || box.width < 48).map(([text]) => text)"""
    )
    assert small == []
    found = Axe().run(page, options={"resultTypes": ["violations"], "preload": False})
    assert found.response["violations"] == []


@pytest.mark.parametrize("name", ["sb", "mah"])
def test_the_data_of_a_circuit_is_small(sites: dict[str, Path], name: str) -> None:
    scripts = list((sites[name] / "assets" / "circuits").glob("*.js"))
    assert scripts
    for file in scripts:
        assert len(gzip.compress(file.read_bytes())) < 40_000, file.name
