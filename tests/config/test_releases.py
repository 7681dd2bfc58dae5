"""A register of any kept release is brought up to date with nothing lost.

None is kept yet: the way is tried with what this version keeps.
"""

import sqlite3
from contextlib import closing

import pytest

from . import releases

pytestmark = pytest.mark.own_sqlite


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """What this version would keep as a release."""
    made = tmp_path_factory.mktemp("releases")
    releases.keep("present", made)
    return made


def upgraded(version: str, data, folder=releases.FOLDER) -> tuple[dict, dict]:
    """What was recorded when the release was kept, and after it is brought up to date."""
    before = releases.put(version, data, folder)
    releases.manage(data, "migrate", "--verbosity", "0")
    releases.manage(data, "migrate", "--check")
    return before, releases.facts_of(data)


@pytest.mark.parametrize("version", releases.kept())
def test_the_register_of_a_release_is_brought_up_to_date(tmp_path, version):
    before, after = upgraded(version, tmp_path)
    assert {name: after[name] for name in before} == before


def test_what_this_version_keeps_can_be_put_back_whole(tmp_path, folder):
    before, after = upgraded("present", tmp_path, folder)
    assert after == before
    assert after["integrity"] == "ok"
    assert after["dangling"] == 0
    assert set(after["pages"].values()) == {200}
    assert after["points"] == ["SKB 12"]
    assert [state for _, state, _ in after["defects"]] == ["closed", "raised"]
    assert [value for _, value, _ in after["readings"]] == [46.0, 55.0]


def test_readings_still_cannot_be_altered_after_an_upgrade(tmp_path, folder):
    upgraded("present", tmp_path, folder)
    with closing(sqlite3.connect(tmp_path / releases.DATABASE)) as register:
        for sql in (
            "UPDATE inspections_reading SET value = 60",
            "DELETE FROM inspections_reading",
            "DELETE FROM defects_event",
        ):
            with pytest.raises(sqlite3.IntegrityError):
                register.execute(sql)
