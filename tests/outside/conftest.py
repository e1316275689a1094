"""The prints, made once a session."""

from __future__ import annotations

import pytest

from tests.outside.prints import Prints


@pytest.fixture(scope="session")
def prints(tmp_path_factory: pytest.TempPathFactory) -> Prints:
    return Prints(tmp_path_factory.mktemp("prints"))
