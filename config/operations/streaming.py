"""A page that shows how far long work has come, and then what came of it; it needs no script.

The page is sent in pieces: all above the mark at once, a line now and then while the work goes on,
then its outcome and the rest of the page.
"""

import time
from collections.abc import Callable, Iterator

from django.http import HttpRequest, StreamingHttpResponse
from django.template.loader import render_to_string

MARK = "<!-- work -->"
_EVERY_SECONDS = 1.0
_TEMPLATE = "config/working.html"


def page(
    request: HttpRequest,
    heading: str,
    work: Iterator,
    say: Callable[[object], str],
    outcome: Callable[[object], str],
    section: str = "",
) -> StreamingHttpResponse:
    """The page of some work: a generator of steps whose return value ``outcome`` renders.

    ``say`` puts a step in words. The page is rendered before the work starts; a reader who goes
    away ends the work.
    """
    context = {"heading": heading, "section": section}
    above, below = render_to_string(_TEMPLATE, context, request).split(MARK)
    response = StreamingHttpResponse(_pieces(above, below, work, say, outcome, request))
    response["Cache-Control"] = "no-store"
    response["X-Accel-Buffering"] = "no"  # a proxy in front should pass the lines on
    return response


def _pieces(above, below, work, say, outcome, request) -> Iterator[str]:
    yield above
    last = time.monotonic()
    while True:
        try:
            step = next(work)
        except StopIteration as done:
            yield outcome(done.value)
            break
        if time.monotonic() - last >= _EVERY_SECONDS:
            last = time.monotonic()
            line = {"line": say(step)}
            yield render_to_string("config/_working_line.html", line, request)
    yield below
