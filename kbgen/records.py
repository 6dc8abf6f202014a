"""Values as bytes and back; nothing but the program's own records, and arrays, is made of bytes."""

from __future__ import annotations

import io
import pickle
from functools import cache
from importlib import import_module
from typing import Any, Protocol

# What a value may be made of beside the program's own records and enumerations.
_PLAIN = frozenset(
    {
        ("builtins", "frozenset"),
        ("builtins", "set"),
        ("builtins", "complex"),
        ("numpy", "ndarray"),
        ("numpy", "dtype"),
    }
)
# What makes an array of its bytes, in the releases of NumPy that we work with.
_ARRAYS = frozenset(
    (module, name)
    for module in (
        "numpy._core.multiarray",
        "numpy.core.multiarray",
        "numpy._core.numeric",
        "numpy.core.numeric",
    )
    for name in ("_reconstruct", "scalar", "_frombuffer")
)


class Door(Protocol):
    """Stands for what a value names and does not hold, such as the knowledge base it was made from."""

    def name_of(self, thing: object) -> Any | None:
        """Return the name under which a thing is kept; ``None`` for what is kept as it is."""
        ...

    def thing_of(self, name: Any) -> object:
        """Return the thing of a name, as it is now."""
        ...


def dump(value: object, door: Door | None = None) -> bytes:
    """Turn a value into bytes.

    Raises:
        pickle.PicklingError: It holds what cannot be kept, such as an open file.
    """
    into = io.BytesIO()
    _Writer(into, door).dump(value)
    return into.getvalue()


def load(body: bytes, door: Door | None = None) -> Any:
    """Turn bytes back into the value; nothing but the program's own records is made of them.

    Raises:
        pickle.UnpicklingError: They hold something else.
    """
    return _Reader(io.BytesIO(body), door).load()


class _Writer(pickle.Pickler):
    def __init__(self, into: io.BytesIO, door: Door | None) -> None:
        super().__init__(into, protocol=5)
        self._door = door

    # Asked of records only; `persistent_id` would be asked of every number and text as well.
    def reducer_override(self, obj: object) -> Any:
        name = self._door.name_of(obj) if self._door is not None else None
        return NotImplemented if name is None else (_named, (name,))


class _Reader(pickle.Unpickler):
    def __init__(self, body: io.BytesIO, door: Door | None) -> None:
        super().__init__(body)
        self._door = door

    def find_class(self, module: str, name: str) -> Any:
        if (module, name) == (__name__, _named.__name__):
            return self._door.thing_of if self._door is not None else _named
        return _record(module, name)


def _named(name: Any) -> object:
    """Stand in the bytes for a thing that the value names."""
    raise pickle.UnpicklingError(f"this value names {name}, which is not here")


@cache
def _record(module: str, name: str) -> Any:
    """Return a class of the program, or what makes an array.

    Raises:
        pickle.UnpicklingError: It is something else.
    """
    if module.partition(".")[0] == "kbgen" or (module, name) in _PLAIN:
        found = getattr(import_module(module), name, None)
        if isinstance(found, type):
            return found
    if (module, name) in _ARRAYS:
        return getattr(import_module(module), name)
    raise pickle.UnpicklingError(f"{module}.{name} is no record of this program")
