"""The responsible engineer makes accounts and gives posts, and can give no more than that."""

import pytest
from django.contrib.auth import get_user_model
from django.contrib.auth.models import Group

from assets.departments import Post, posts_of

pytestmark = pytest.mark.django_db
ACCOUNTS = "/admin/auth/user/"


def test_the_engineer_makes_an_account_and_gives_it_a_post(as_engineer):
    secret = "rods-and-points-9"
    sent = {"username": "lineman-f", "password1": secret, "password2": secret}
    as_engineer.post(f"{ACCOUNTS}add/", {**sent, "usable_password": "true"})
    user = get_user_model().objects.get(username="lineman-f")
    post = Group.objects.get(name=Post.SIGNALLING.label)
    changed = {
        "username": "lineman-f",
        "first_name": "Lineman F",
        "is_active": "on",
        "groups": [post.pk],
        "is_superuser": "on",
        "is_staff": "on",
    }
    assert as_engineer.post(f"{ACCOUNTS}{user.pk}/change/", changed).status_code == 302
    user = get_user_model().objects.get(pk=user.pk)
    assert posts_of(user) == {Post.SIGNALLING}
    assert not user.is_superuser
    assert not user.is_staff


def test_the_engineer_neither_sees_nor_changes_those_who_may_do_everything(as_engineer):
    keeper = get_user_model().objects.create_superuser("keeper", password="x-1-keeper-of-it")
    assert "keeper" not in as_engineer.get(ACCOUNTS).content.decode()
    assert as_engineer.get(f"{ACCOUNTS}{keeper.pk}/change/").status_code == 302
    assert as_engineer.post(f"{ACCOUNTS}{keeper.pk}/delete/").status_code in (302, 403)
    keeper.refresh_from_db()
    assert keeper.is_active


def test_an_account_is_shut_never_deleted(as_engineer, technician):
    assert as_engineer.post(f"{ACCOUNTS}{technician.pk}/delete/").status_code == 403


@pytest.mark.parametrize("who", ["as_technician", "as_ganger"])
def test_nobody_else_sees_accounts(request, who):
    assert request.getfixturevalue(who).get(ACCOUNTS).status_code == 403


def test_the_engineer_finds_the_way_there(as_engineer):
    assert 'href="/admin/"' in as_engineer.get("/").content.decode()
