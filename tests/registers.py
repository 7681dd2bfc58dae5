"""A register of its own in a folder, for what runs beside the tests in processes of its own."""

import os
import shutil
from pathlib import Path

EMPTY = "EMPTY_REGISTER"  # environment: a database that is up to date, to begin from


def set_up(folder: Path | str, *, sqlite: bool = False) -> None:
    """Points Django at the register in a folder; ``sqlite`` whatever DATABASE_URL names."""
    os.environ |= {
        "TOE_TO_HEEL_DATA": str(folder),
        "HTTPS": "off",
        "ALLOWED_HOSTS": "testserver,127.0.0.1",
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }
    if sqlite:
        os.environ.pop("DATABASE_URL", None)
    import django

    django.setup()


def make_register(folder: Path | str, *, sqlite: bool = False) -> None:
    """The same with its tables made; quicker where there is an empty register to begin from."""
    if EMPTY in os.environ and (sqlite or "DATABASE_URL" not in os.environ):
        shutil.copy(os.environ[EMPTY], Path(folder) / "register.sqlite3")
    set_up(folder, sqlite=sqlite)
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
