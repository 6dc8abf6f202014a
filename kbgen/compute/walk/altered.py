"""What may not be in while a fuel or a supply comes back, or while something runs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import ALTERATIONS
from kbgen.compute.walk.plant import BRIDGING, SIGNALS, Plant
from kbgen.compute.walk.result import because
from kbgen.compute.walk.settings import nobody_changes, stands_over
from kbgen.compute.walk.state import FITTED, State, facts, may_run
from kbgen.model import action as act
from kbgen.model.equipment import Setting

_HARMLESS_IN_FIRE = SIGNALS | {"open-test-point"}
_NOT_EVEN_TURNING = frozenset({"other-fuse"})
"""What is out before anything is live again: a fuse too large protects nothing while the control supply is on."""

JUMPER_WITH_FUEL = ALTERATIONS.hazard(
    "jumper-with-fuel",
    "A burner that fires with a safety contact bridged.",
    "- do: Fit the jumper.\n  fit: jumper",
    "- do: Shut the burner cock.\n  shut_valve: burner-cock\n- do: Fit the jumper.\n  fit: jumper",
    rests_on="The alterations that are in, and the state of fuel and supply on every way.",
)
FIRE_WITH_ALTERATION = ALTERATIONS.hazard(
    "fire-with-alteration",
    "The plant lights with something in it that is not as it should be.",
    "- do: Take the tube off.\n  fit: unplugged-tube\n- do: Start it.\n  start_demand: Burner switch on",
    "- do: Put the tube back.\n  undo: tube-1\n- do: Start it.\n  start_demand: Burner switch on",
    rests_on="The alterations that are in, when something starts or fires.",
)


def comes_back(moment: Moment, field: str, following: State) -> Iterator[Finding]:
    """Yield what is in while a fuel or a supply comes back, after which it may start by itself."""
    plant, state = moment.plant, moment.state
    if plant.fuel_shut(state) and not plant.fuel_shut(following):
        for where, fit in plant.bridges(state):
            yield JUMPER_WITH_FUEL.finding(
                fit.name,
                field,
                f"fuel comes back while `{fit.name}` is in",
                "Take the jumper out first; then the fuel valve is opened.",
                because(where, "the jumper is fitted here"),
                clears=facts(FITTED, [where]),
            )
    if may_run(state):
        others = [(where, fit) for where, fit in plant.fitted(state) if fit.fit not in BRIDGING]
        yield from fires(moment, field, following, others)


def fires(
    moment: Moment, field: str, state: State, fitted: Iterable[tuple[str, act.Fit]]
) -> Iterator[Finding]:
    """Yield what is in, or goes in, while the plant may run."""
    plant = moment.plant
    for where, fit in fitted:
        what = _endangers(plant, fit, state)
        if what:
            yield FIRE_WITH_ALTERATION.finding(
                fit.name,
                field,
                f"{what} while `{fit.name}` is in",
                written_as(setting)
                if (setting := setting_of(plant, fit))
                else f"Undo it before the burner can start{_or_shut_here(plant)}."
                if field != "fit"
                else "Stop the burner and shut its fuel first, and undo it before they come back.",
                because(where, "it is fitted here") if field != "fit" else (),
                clears=facts(FITTED, [where]),
            )


def _or_shut_here(plant: Plant) -> str:
    """Say what else will do on a page that comes after another: only a lock keeps shut what that one shut."""
    valves = [
        f"`shut_valve: {name}`"
        for name, valve in plant.valves.items()
        if valve.stops in ("burner-fuel", "pilot-fuel")
    ]
    if not valves or not plant.procedure.after:
        return ""
    return f", or shut its fuel on this page ({', '.join(valves)}): what a page before shut without a lock may be open again"


def setting_of(plant: Plant, fit: act.Fit) -> Setting | None:
    """Return the setting of the plant that a changed setting is; none where the plant lists none for its device."""
    if fit.fit != "changed-setting" or not fit.over:
        return None
    return next(
        (each for each in plant.settings.values() if each.device == fit.over and not nobody_changes(each)),
        None,
    )


def written_as(setting: Setting) -> str:
    """Say how a change of a listed setting is written, so that it can be told which way it goes."""
    return (
        f"Write it as `adjust: {setting.id}` with `from` and `to`, so that the check sees which way it goes; see the trip, "
        f"and adjust it back to {setting.value}."
    )


def _endangers(plant: Plant, fit: act.Fit, state: State) -> str:
    """Say what may happen with an alteration in; empty where it does no harm."""
    if fit.fit in _NOT_EVEN_TURNING and not plant.off(state):
        return "the plant is switched on"
    if not plant.can_fire(state) or fit.fit in _HARMLESS_IN_FIRE or _tests_a_limit(plant, fit):
        return ""
    # With the burner's own valve shut a pilot alone may be seen with, say, a wire lifted; never with a jumper.
    return "the burner may light" if fit.fit in BRIDGING or not plant.burner_shut(state) else ""


def _tests_a_limit(plant: Plant, fit: act.Fit) -> bool:
    """Return whether an operating control stands elsewhere for the page to see a limit of its quantity trip."""
    over = plant.device(fit.over)
    if fit.fit != "changed-setting" or over is None or over.role != "operating":
        return False
    setting = setting_of(plant, fit)
    proved = {
        step.action.prove_trip for step in plant.procedure.steps if isinstance(step.action, act.ProveTrip)
    }
    return setting is None or any(
        each.device in proved and stands_over(plant.base, each, setting) for each in plant.settings.values()
    )
