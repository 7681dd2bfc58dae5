"""What every test may lean on: the three standing users and plain settings."""

import pytest
from django.conf import settings
from django.db import connections

from tests import builders


def pytest_addoption(parser):
    parser.addoption("--benchmarks", action="store_true", help="run the benchmarks, nothing else")
    parser.addoption(
        "--asking-the-database",
        action="store_true",
        help="leave out what would be the same on any database: what asks none",
    )


def pytest_collection_modifyitems(config, items):
    """Benchmarks run alone or not at all, whatever ``-m`` asks for besides."""
    benchmarks = [item for item in items if item.get_closest_marker("benchmark")]
    others = [item for item in items if not item.get_closest_marker("benchmark")]
    chosen, left = (
        (benchmarks, others) if config.getoption("--benchmarks") else (others, benchmarks)
    )
    if config.getoption("--asking-the-database"):
        left += [item for item in chosen if not _asks_the_database(item)]
        chosen = [item for item in chosen if _asks_the_database(item)]
    items[:] = chosen
    config.hook.pytest_deselected(items=left)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """A file to a worker, but the tests of the demo together: they share one that takes long to
    load, and a worker that runs another file between would load it again."""
    from xdist.scheduler import LoadFileScheduling

    class DemoTogether(LoadFileScheduling):
        def _split_scope(self, nodeid: str) -> str:
            demo = "tests/config/demo/"
            return demo if nodeid.startswith(demo) else super()._split_scope(nodeid)

    return DemoTogether(config, log)


def _asks_the_database(item) -> bool:
    return "django_db" in item.keywords or not {"db", "transactional_db"}.isdisjoint(
        item.fixturenames
    )


@pytest.fixture(scope="session", autouse=True)
def plain_connections():
    """Plain connections and quick passwords, before any server starts: what is tested is the
    program, not the transport."""
    settings.SECURE_SSL_REDIRECT = False
    settings.SESSION_COOKIE_SECURE = False
    settings.CSRF_COOKIE_SECURE = False
    settings.SECURE_HSTS_SECONDS = 0
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix, tmp_path_factory):
    """Each worker has a database of its own. On SQLite it is in a file: one in memory does not wait
    for its turn to be written, and the server behind the browser tests writes from threads of its
    own."""
    database = connections["default"].settings_dict
    if database["ENGINE"].endswith("sqlite3"):
        database["TEST"]["NAME"] = str(tmp_path_factory.mktemp("register") / "test.sqlite3")


@pytest.fixture
def technician(db):
    return builders.make_user("technician", "signalling", "Lineman A")


@pytest.fixture
def ganger(db):
    return builders.make_user("ganger", "permanent way", "Ganger B")


@pytest.fixture
def engineer(db):
    return builders.make_user("engineer", "responsible engineer", "Engineer C")


@pytest.fixture
def viewer(db):
    return builders.make_user("viewer", "viewer", "Visitor D")


@pytest.fixture
def outsider(db):
    """Has an account, holds no post."""
    return builders.make_user("outsider", None, "Outsider E")


@pytest.fixture
def as_technician(client, technician):
    client.force_login(technician)
    return client


@pytest.fixture
def as_ganger(client, ganger):
    client.force_login(ganger)
    return client


@pytest.fixture
def as_engineer(client, engineer):
    client.force_login(engineer)
    return client
