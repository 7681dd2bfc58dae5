"""A page for whoever watches the server: is it up, and does its database answer?"""

from django.db import DatabaseError, connection
from django.http import JsonResponse
from django.views.decorators.cache import never_cache


@never_cache
def health(request):
    """200 and "ok", or 503 and what fails; tells nothing of the register."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
            cursor.fetchone()
    except DatabaseError:
        return JsonResponse({"status": "the database does not answer"}, status=503)
    return JsonResponse({"status": "ok"})
