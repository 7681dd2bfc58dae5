"""The two departments, the posts that people hold, and which of them a user holds.

Posts are Django groups, so the railway gives and takes them on the ordinary user page.
"""

from assets.engineering.words import Vocabulary


class Department(Vocabulary):
    """Who mends, and who checks."""

    SIGNALLING = "signalling"
    PERMANENT_WAY = "permanent_way", "permanent way"


class Post(Vocabulary):
    """What a user is here as; the label is the name of the group."""

    SIGNALLING = "signalling"
    PERMANENT_WAY = "permanent_way", "permanent way"
    ENGINEER = "engineer", "responsible engineer"
    VIEWER = "viewer"


def posts_of(user) -> frozenset[Post]:
    """The posts a user holds; asks the database once per user object.

    Whoever looks after the program (a superuser) may do what the responsible engineer may.
    """
    if not user.is_authenticated:
        return frozenset()
    if user.is_superuser:
        return frozenset({Post.ENGINEER})
    if not hasattr(user, "_posts"):
        held = set(user.groups.values_list("name", flat=True))
        user._posts = frozenset(post for post in Post if post.label in held)
    return user._posts


def departments_of(user) -> frozenset[Department]:
    """The departments a user may act for; the responsible engineer answers for both."""
    posts = posts_of(user)
    if Post.ENGINEER in posts:
        return frozenset(Department)
    return frozenset(Department(post.value) for post in posts if post.value in set(Department))


def name_of(user) -> str:
    """How a user is named in records: by post ("Lineman A"), else by account name."""
    return user.get_full_name() or user.get_username()


def make_posts(**kwargs) -> None:
    """Makes the group of each post, so that a new database can give them out at once."""
    from django.contrib.auth.models import Group

    for post in Post:
        Group.objects.get_or_create(name=post.label)
