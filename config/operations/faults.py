"""What a person is told when the machine below fails: a busy database, a full disk.

Nothing of the request was kept, for all that a request writes is one transaction; the page says so,
and what to do. Anything else is a fault of the program, and told as that.
"""

import errno
import sys

from django.db import OperationalError
from django.http import HttpResponse
from django.template import loader

BUSY = (
    "Someone is saving a great deal just now, and the register did not become free in time. "
    "Wait a minute and try again."
)
FULL = (
    "The disk of the machine that keeps the register is full. Tell whoever looks after it; until "
    "there is room, nothing can be saved."
)
BROKEN = (
    "The machine that keeps the register cannot read or write its disk, or its database does not "
    "answer. Tell whoever looks after it."
)
NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def server_error(request) -> HttpResponse:
    """The page of an error that nobody caught; Django calls it while handling the error."""
    said = words_for(sys.exc_info()[1])
    page = loader.get_template("500.html").render({"said": said})
    answer = HttpResponse(page, status=503 if said else 500)
    if said == BUSY:
        answer["Retry-After"] = "60"  # seconds
    return answer


def words_for(error: BaseException | None) -> str:
    """What to tell of an error; "" for one that is not the machine's."""
    if isinstance(error, OSError) and error.errno in NO_ROOM:
        return FULL
    if not isinstance(error, OperationalError):
        return ""
    reason = str(error).lower()
    if any(word in reason for word in ("locked", "lock timeout", "deadlock", "too many connect")):
        return BUSY
    if "full" in reason or "no space" in reason:
        return FULL
    return BROKEN
