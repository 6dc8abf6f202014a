"""What a setting of the plant is for: to trip when something is unsafe, or to set how it burns."""

from __future__ import annotations

import re

from kbgen.link.base import KnowledgeBase
from kbgen.model.equipment import Setting

_MIXTURE = frozenset({"gas", "air", "fuel", "damper", "manifold", "mixture", "regulator", "oil"})


def is_limit(base: KnowledgeBase, setting: Setting) -> bool:
    """Return whether a setting belongs to a device that trips when something is unsafe."""
    device = base.device(setting.device) if setting.device else None
    return device is not None and device.role != "operating"


def is_mixture(setting: Setting) -> bool:
    """Return whether a setting changes how much gas or air burns."""
    # The temperature of the air that leaves a heater is what it is asked for, not what it burns with.
    if setting.device or setting.quantity in ("temperature", "time"):
        return False
    words = set(re.findall(r"[a-z]+", f"{setting.id} {setting.title}".casefold()))
    return bool(words & _MIXTURE)


def nobody_changes(setting: Setting) -> bool:
    """Return whether a setting is not to be changed on site by anybody."""
    return setting.changed_by.casefold().startswith("nobody")
