"""Typed reading of environment variables, and the folder where the program keeps its own files.

An unexpected value stops the start with a sentence saying what to change.
"""

import os
import secrets
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

YES = {"1", "on", "true", "yes"}
NO = {"0", "off", "false", "no", ""}


def text(name: str, default: str = "") -> str:
    return os.environ.get(name, default).strip()


def switch(name: str, default: bool) -> bool:
    """A yes/no variable; raises ImproperlyConfigured for any other word."""
    value = os.environ.get(name)
    if value is None:
        return default
    word = value.strip().lower()
    if word in YES | NO:
        return word in YES
    raise ImproperlyConfigured(f"{name} is {value!r}: write on or off.")


def one_of(name: str, allowed: tuple[str, ...]) -> str:
    """One of these words, the first where none is given; raises ImproperlyConfigured."""
    value = text(name, allowed[0])
    if value not in allowed:
        raise ImproperlyConfigured(f"{name} is {value!r}: write one of {', '.join(allowed)}.")
    return value


def words(name: str, default: list[str]) -> list[str]:
    """A list separated by commas."""
    value = os.environ.get(name)
    if value is None:
        return default
    return [word.strip() for word in value.split(",") if word.strip()]


def data_folder() -> Path:
    """Where the database, the photographs and the secret key live: outside the program."""
    chosen = text("TOE_TO_HEEL_DATA")
    if chosen:
        folder = Path(chosen)
    else:
        share = text("XDG_DATA_HOME") or Path.home() / ".local" / "share"
        folder = Path(share) / "toe-to-heel"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as problem:
        raise ImproperlyConfigured(
            f"The data folder {folder} cannot be made ({problem.strerror}): "
            "set TOE_TO_HEEL_DATA to a folder that the program may write to."
        ) from problem
    return folder


def secret_key(folder: Path) -> str:
    """SECRET_KEY where given, else one made at the first start and kept in the data folder."""
    given = text("SECRET_KEY")
    if given:
        return given
    kept = folder / "secret_key"
    try:
        # Exclusive creation: two servers starting together must end with the same key.
        handle = os.open(kept, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return kept.read_text(encoding="ascii").strip()
    with os.fdopen(handle, "w", encoding="ascii") as file:
        key = secrets.token_urlsafe(64)
        file.write(key)
    return key
