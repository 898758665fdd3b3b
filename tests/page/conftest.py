"""One page that tests look at."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from opened import PAD, Page, opened

pytest.importorskip("uvicorn", reason="the extra 'page' is not installed")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A page over a folder with one plan, `pad.yaml`."""
    folder = tmp_path_factory.mktemp("plans")
    (folder / "pad.yaml").write_text(PAD, encoding="utf-8")
    with opened(folder) as found:
        yield found
