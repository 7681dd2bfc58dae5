"""The demo accounts, named by post."""

from django.contrib.auth import get_user_model
from django.contrib.auth.models import Group

from . import files

PASSWORD = "points-and-rods-7"  # noqa: S105 - of the demo alone, and printed by it


def usernames() -> list[str]:
    return [row["username"] for row in files.read("people")["accounts"]]


def make() -> None:
    for row in files.read("people")["accounts"]:
        user = get_user_model()(
            username=row["username"], first_name=row["name"], is_staff=row.get("staff", False)
        )
        user.set_password(PASSWORD)
        user.save()
        user.groups.add(Group.objects.get_or_create(name=row["post"])[0])


def by_name() -> dict:
    """The accounts by the name they go by in records: "Lineman A" and so on."""
    return {user.get_full_name(): user for user in get_user_model().objects.all()}
