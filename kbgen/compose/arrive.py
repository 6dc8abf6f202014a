"""Routines that ask: at the door, and whether a device does its job."""

from __future__ import annotations

from dataclasses import replace

from kbgen.compose.ledger import ASKED, Thing
from kbgen.compose.sheet import ON, Sheet, question
from kbgen.compose.usual import TURN
from kbgen.model.handling import Arrival, Deed
from kbgen.model.routine import ALL, Arrive, JobCheck
from kbgen.text.typed import typed


def arrive(sheet: Sheet, line: Arrive) -> None:
    """Ask the plant's questions at the door."""
    known = {each.id: each for each in sheet.plant.arrive}
    if not known:
        raise sheet.missing(
            "the top",
            "what is asked at the door",
            "`arrive: [{id: smell, do: …, ask: …, otherwise: leave-now}]`",
        )
    for name in tuple(known) if line.arrive == (ALL,) else line.arrive:
        if name not in known:
            raise sheet.unknown("arrive", "question at the door", name, known)
        asked = known[name]
        # Whoever does another page on the way stands at this plant already; a level falls and a lock is hung meanwhile.
        changes = asked.inspect or asked.sees_locks
        if sheet.called and not changes and sheet.before.get(Thing(ASKED, name)):
            continue
        _ask(
            sheet, replace(asked, otherwise=line.otherwise) if line.otherwise and not asked.danger else asked
        )


def _ask(sheet: Sheet, asked: Arrival) -> None:
    words = Deed(asked.do, asked.expect, "", asked.minutes or TURN, asked.note_down, asked.cautions)
    if asked.identify:
        sheet.write(asked.id, words, identify=asked.identify, ways={"same": ON, "different": asked.otherwise})
        return
    if not asked.ask:
        raise sheet.missing(f"`arrive`, `{asked.id}`", "what is asked", "`ask: Smell of gas or an alarm?`")
    bad = "No" if asked.good == "Yes" else "Yes"
    outcomes = question((asked.good, ON), (bad, asked.otherwise), unsure=asked.otherwise, danger=asked.danger)
    if asked.claims:
        outcomes[0]["claims"] = list(asked.claims)
    sheet.write(asked.id, words, inspect=asked.inspect, ask=asked.ask, outcomes=outcomes)
    if asked.sees_locks:
        sheet.steps[-1]["origin"]["sees_locks"] = True


def job_check(sheet: Sheet, line: JobCheck) -> None:
    """Ask whether a device does its job."""
    device = sheet.base.device(line.job_check)
    if device is None or sheet.plant_id not in device.equipment:
        raise sheet.unknown("job_check", "device", line.job_check, sheet.devices())
    check = device.independent_check
    if check is None:
        raise sheet.missing_in(
            f"devices/{line.job_check}.yaml",
            "how a real trip is told from a false one",
            "`independent_check` with `with`, `do`, `real` and `false`",
        )
    sheet.write(
        "check",
        # How it is looked at is the device's own word: what is only named there is skipped at the plant.
        typed(check.do),
        check_real=line.job_check,
        minutes="5 min",
        note_down=check.with_,
        ways={"real": line.real, "faulty": line.faulty},
    )
