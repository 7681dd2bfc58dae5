"""What several modules here begin from."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings


@pytest.fixture(scope="session")
def loaded_demo(tmp_path_factory) -> Path:
    """A data folder as ``manage.py demo`` makes it; its loading is what takes time."""
    data = tmp_path_factory.mktemp("demo") / "data"
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "demo", "--no-serve"]
    subprocess.run(command, env=_surroundings(data), check=True, capture_output=True)
    return data


@pytest.fixture(scope="module")
def own_demo(loaded_demo, tmp_path_factory) -> dict[str, str]:
    """The environment of a process that works on a demo railway of the module's own."""
    data = tmp_path_factory.mktemp("demo") / "data"
    shutil.copytree(loaded_demo, data)
    return _surroundings(data)


def _surroundings(data: Path) -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "HTTPS", "DEBUG")}
    return {**kept, "TOE_TO_HEEL_DATA": str(data)}
