"""Views whose modules are imported when they are first asked for.

What reads and writes workbooks draws large libraries in; the other pages do not wait for them.
"""

from collections.abc import Callable

from django.utils.module_loading import import_string


def late(path: str) -> Callable:
    """The view at a dotted path."""

    def view(request, *args, **kwargs):
        return import_string(path)(request, *args, **kwargs)

    return view
