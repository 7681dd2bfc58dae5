"""The demo railway. Loading it takes longer than any test here, so all of them share one."""

import pytest
from django.db import transaction

from config import demo


@pytest.fixture(scope="package")
def demo_railway(django_db_setup, django_db_blocker):
    """How it was loaded; what a test changes goes with the test."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield demo.load()
        transaction.set_rollback(True)
