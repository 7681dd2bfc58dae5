"""Uploaded workbooks, kept between the plan and the loading in a private folder.

A file belongs to the account that sent it and is found by nobody else. Files are few and short
lived: whatever is older than a day, or beyond the latest of an account, goes when the next comes.
"""

import json
import re
import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile

from assets.workbook.opening import Book, open_book

KEPT_SECONDS = 24 * 3600
KEPT_FILES = 5  # of one account
_TOKEN = re.compile(r"[A-Za-z0-9_-]{22}")


@dataclass(frozen=True)
class Kept:
    """One uploaded file: the name it came with, and how its columns are matched, if they are."""

    token: str
    path: Path
    name: str
    matching: int | None = None

    @contextmanager
    def opened(self) -> Iterator[Book]:
        """The book in it; raises WorkbookRefused."""
        with self.path.open("rb") as file, open_book(file, self.name) as book:
            yield book

    def matched(self, matching: int | None) -> "Kept":
        """The same file, to be read by a matching of the register's."""
        return _describe(Kept(self.token, self.path, self.name, matching))

    def forget(self) -> None:
        for path in (self.path, _about(self.path)):
            with suppress(FileNotFoundError):
                path.unlink()


def keep(upload: UploadedFile, account) -> Kept:
    """Keeps an uploaded file for its account and clears away what has been left."""
    folder = _folder()
    _clear(folder, account)
    token = secrets.token_urlsafe(16)
    path = folder / f"{account.pk}-{token}"
    with path.open("xb") as file:
        for chunk in upload.chunks():
            file.write(chunk)
    return _describe(Kept(token, path, Path(upload.name or "workbook").name[:120]))


def find(token: str, account) -> Kept | None:
    """The account's own file of that token, or None."""
    if not _TOKEN.fullmatch(token):
        return None
    path = _folder() / f"{account.pk}-{token}"
    try:
        about = json.loads(_about(path).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    return Kept(token, path, about["name"], about["matching"])


def _describe(kept: Kept) -> Kept:
    about = {"name": kept.name, "matching": kept.matching}
    _about(kept.path).write_text(json.dumps(about), encoding="utf-8")
    return kept


def _about(path: Path) -> Path:
    return path.with_name(f"{path.name}.about")


def _folder() -> Path:
    folder = Path(settings.DATA_DIR) / "workbooks"
    folder.mkdir(mode=0o700, exist_ok=True)
    return folder


def _clear(folder: Path, account) -> None:
    """Makes room for one more file of the account, and drops everybody's old ones."""
    files = [path for path in folder.iterdir() if path.suffix != ".about"]
    old = time.time() - KEPT_SECONDS
    dated = sorted(((_made(path), path) for path in files), reverse=True)
    own = [path for _, path in dated if path.name.startswith(f"{account.pk}-")]
    gone = {path for made, path in dated if made < old} | set(own[KEPT_FILES - 1 :])
    for path in gone:
        Kept("", path, "").forget()


def _made(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except FileNotFoundError:  # cleared away meanwhile
        return 0.0
