"""A number that no database can hold is a mistake of whoever sent it, not of the program."""

from django.db import DataError
from django.views.defaults import bad_request


class NumberTooLargeMiddleware:
    """Says so (400) where a number in an address or a form reached the database."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_exception(self, request, error):
        return bad_request(request, error) if is_too_large(error) else None


def is_too_large(error: Exception) -> bool:
    """Whether the database refused a number for its size: SQLite's driver, or PostgreSQL."""
    told = str(error)
    if isinstance(error, OverflowError):
        return "SQLite INTEGER" in told
    return isinstance(error, DataError) and "out of range" in told
