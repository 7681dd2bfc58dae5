"""The demo railway, loaded once for the tests of a module and taken away again after them."""

import pytest
from django.db import transaction

from config import demo


@pytest.fixture(scope="module")
def demo_railway(django_db_setup, django_db_blocker):
    """How it was loaded; what a test changes goes with the test."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield demo.load()
        transaction.set_rollback(True)
