"""What the tests of words share."""

from __future__ import annotations

import pytest

from tests.mutants.ground import demonstration
from tests.mutants.words import Words


@pytest.fixture(scope="session")
def words() -> Words:
    """The judge of words, on the demonstration."""
    return Words(demonstration())
