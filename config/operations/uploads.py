"""Requests that are too big are refused by what they say of themselves, before they are read."""

from django.shortcuts import render

# A visit with a photograph beside each thing that is defective; a workbook is far below.
MOST_BYTES = 80 * 1024 * 1024


class RequestSizeMiddleware:
    """Stands before whatever reads the body: a huge file reaches neither memory nor disk."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        try:
            size = int(request.META.get("CONTENT_LENGTH") or 0)
        except ValueError:
            size = 0
        if size > MOST_BYTES:
            most = MOST_BYTES // 1024 // 1024
            return render(request, "config/too_big.html", {"most": most}, status=413)
        return self.get_response(request)
