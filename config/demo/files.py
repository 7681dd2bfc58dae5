"""Reading the files of the demo railway."""

import json
from pathlib import Path

from django.conf import settings

FOLDER = Path(settings.BASE_DIR) / "fixtures" / "demo"


def read(name: str) -> dict:
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
