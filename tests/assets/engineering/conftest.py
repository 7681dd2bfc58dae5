"""The first property to run loads numpy and scipy, so none is held to a time of its own."""

from hypothesis import settings

settings.register_profile("sums", deadline=None)
settings.load_profile("sums")
