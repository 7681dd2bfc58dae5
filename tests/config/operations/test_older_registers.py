"""A register of an early version is refused with a sentence, and only a demo can start again."""

from contextlib import closing

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from config.management.commands.demo import Command
from config.operations import older_registers
from tests import builders

EARLY = "INSERT INTO django_migrations (app, name, applied) VALUES ('assets', '0001_initial', %s)"


@pytest.fixture
def early(db):
    """The register as the early version left it, as far as can be told from outside."""
    with closing(connection.cursor()) as cursor:
        cursor.execute(EARLY, [builders.noon(2026, 1, 1)])


def test_a_register_of_today_is_not_older(db):
    assert not older_registers.is_older()
    older_registers.refuse_older()


def test_it_is_neither_migrated_nor_served_and_says_what_to_do(early):
    for words in (["migrate", "--verbosity", "0"], ["serve"], ["demo", "--no-serve"]):
        with pytest.raises(CommandError) as refused:
            call_command(*words)
        assert "register of an early version" in str(refused.value)
        assert "demo --reset" in str(refused.value)
        assert "Save it as a workbook" in str(refused.value)


@pytest.mark.parametrize(
    ("codes", "names"),
    [(["SKB"], ["technician", "somebody else"]), (["XYZ"], []), ([], [])],
    ids=["accounts of its own", "a location of its own", "no locations named"],
)
def test_a_railway_of_its_own_is_never_taken_for_the_demo(early, codes, names):
    builders.make_points("12")
    builders.make_user("technician", "signalling", "Lineman A")
    assert older_registers.holds_only(["SKB"], ["technician"])
    assert not older_registers.holds_only(codes, names)


def test_asked_to_start_again_the_command_leaves_a_railway_of_its_own_alone(early, monkeypatch):
    taken = []
    monkeypatch.setattr(older_registers, "take_away", lambda: taken.append(True))
    builders.make_points("12")
    with pytest.raises(CommandError, match="holds a railway of its own"):
        call_command(Command(), "--reset", "--no-serve")
    assert not taken
