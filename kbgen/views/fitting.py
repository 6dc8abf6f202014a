"""Which plants of a family something holds for, so that a page can leave out what another plant has."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Fitted
from kbgen.model.equipment import Equipment
from kbgen.model.equipment import Variant as PlantVariant
from kbgen.views.blocks import Block, Fits, Only
from kbgen.views.page import Choosing


def choosing(base: KnowledgeBase, equipment: Sequence[str], sizes: tuple[str, ...] = ()) -> Choosing | None:
    """Return what a reader of a page says of the plant at hand; nothing where it makes no difference.

    Args:
        equipment: Ids of the families the page is about; only a page about one asks.
        sizes: Ids of the sizes the whole page holds for; empty for every size.
    """
    plant = base.equipment(equipment[0]) if len(equipment) == 1 else None
    if plant is None or not (len(plant.sizes) > 1 or plant.options):
        return None
    return Choosing(
        plant=equipment[0],
        sizes=tuple((size.id, size.title) for size in plant.sizes) if len(plant.sizes) > 1 else (),
        options=tuple((option.id, option.title) for option in plant.options),
        fits=fits_sizes(plant, sizes),
    )


def fits_sizes(plant: Equipment, sizes: Iterable[str]) -> Fits | None:
    """Return what holds for some sizes; nothing for something that holds for all of them."""
    wanted = tuple(sizes)
    return fits(plant, wanted, (), ()) if wanted else None


def fits_part(plant: Equipment, part: Fitted) -> Fits | None:
    """Return for which plants a part of a circuit is there; nothing for all of them."""
    fitted = [option for option in plant.options if option.id == part.option]
    return fits(plant, part.sizes, fitted, ()) if part.sizes or fitted else None


def fits(
    plant: Equipment, sizes: tuple[str, ...], fitted: Sequence[PlantVariant], missing: Sequence[PlantVariant]
) -> Fits:
    """Say for which sizes of a plant something holds, and with and without which options."""
    titles = {size.id: size.title for size in plant.sizes}
    said = [f"for {', '.join(titles.get(size, size) for size in sizes)}"] if sizes else []
    said += [f"with {option.title}" for option in fitted]
    said += [f"without {option.title}" for option in missing]
    return Fits(sizes, tuple(o.id for o in fitted), tuple(o.id for o in missing), ", ".join(said))


def only(fitting: Fits | None, *blocks: Block | None) -> tuple[Block, ...]:
    """Mark blocks with the plants they hold for; as they are where they hold for every plant."""
    kept = tuple(block for block in blocks if block is not None)
    return (Only(fitting, kept),) if fitting and kept else kept
