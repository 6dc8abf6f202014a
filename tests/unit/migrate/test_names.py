"""Fuel points by their ids, conductors by the marks that the pages measure between."""

from __future__ import annotations

from kbgen.migrate import STEPS, Page, Shop, migrate_page
from kbgen.ref import Kind
from tests.unit.migrate.pages import migrated

POINTS = [{"id": "plug", "title": "Plug of P3"}, {"id": "p2", "title": "Test point P2"}]
GAS = "steps:\n  - {do: A., open_gas_train: Plug of P3}  # out\n  - {do: B., cap: plug of  P3}\n  - do: C.\n    leak_check: 'plug'  # all\n    with: gas\n"


def test_titles_of_fuel_points_become_ids_and_a_leak_check_is_a_list():
    new, done = migrated(GAS, Shop({"boiler": {"fuel_points": POINTS}}), ("boiler",))
    assert new == (
        "steps:\n  - {do: A., open_gas_train: plug}  # out\n  - {do: B., cap: plug}\n"
        "  - do: C.\n    leak_check: [plug]  # all\n    with: gas\n"
    )
    assert [(each.line, each.kind) for each in done.changes] == [
        (2, "fuel point"),
        (3, "fuel point"),
        (5, "fuel point"),
    ]
    assert not done.left


def test_what_names_no_point_of_every_plant_is_left():
    other = [{"id": "plug-3", "title": "Plug of P3"}, {"id": "p2", "title": "Test point P2"}]
    shop = Shop({"boiler": {"fuel_points": POINTS}, "other": {"fuel_points": other}})
    new, done = migrated(GAS, shop, ("boiler", "other"))
    assert new == GAS
    assert [each.line for each in done.left] == [2, 3, 5]
    assert all("the equipment has p2" in each.says for each in done.left)
    _, none = migrated(GAS)
    assert "list them under `fuel_points`" in none.left[0].says


def test_ids_in_place_are_left_in_peace():
    text = "steps:\n  - {do: A., open_gas_train: p2}\n  - {do: B., leak_check: [p2, plug]}\n"
    new, done = migrated(text, Shop({"boiler": {"fuel_points": POINTS}}), ("boiler",))
    assert new == text
    assert not done.left


def test_electric_sources_without_conductors_are_left_with_what_the_pages_say():
    equipment = """\
title: Boiler
sources:
  - {id: control, energy: electric}
  - {id: fan, energy: electric, conductors: [L1, L2, L3]}
  - {id: gas, energy: fuel}
  - id: pump
    energy: electric
"""
    page = Page(equipment, plants=["boiler"])
    prove = {"do": "P.", "prove_dead": "control", "between": ["X1 to N", "X1 to earth", "N to PE"]}
    procedures = {
        "make-safe": {"equipment": ["boiler"], "steps": [prove]},
        "elsewhere": {"equipment": ["dryer"], "steps": [{**prove, "between": ["D1 to D2"]}]},
    }
    ours = [step for step in STEPS if step.kind is Kind.EQUIPMENT]
    new, done = migrate_page(page, Shop({"boiler": page.data}, procedures), ours, "equipment/boiler.yaml")
    assert new.text == equipment
    assert [(each.line, each.says.partition("; ")[2]) for each in done.left] == [
        (3, "the pages measure [X1, N]: X1 (make-safe); N (make-safe)"),
        (6, "no page says what it measures between"),
    ]
