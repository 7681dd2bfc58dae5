"""Log lines for a machine to read: one JSON object a line."""

import json
import logging
from datetime import UTC, datetime


class JsonLines(logging.Formatter):
    """Time (UTC), level, logger and message; of a request its method, path, status and account."""

    def format(self, record: logging.LogRecord) -> str:
        made = datetime.fromtimestamp(record.created, UTC)
        line = {
            "time": made.isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": record.getMessage(),
        }
        request = getattr(record, "request", None)
        if hasattr(request, "path"):
            line |= {"method": request.method, "path": request.path}
            line["account"] = getattr(getattr(request, "user", None), "pk", None)
        if hasattr(record, "status_code"):
            line["status"] = record.status_code
        if record.exc_info:
            line["trace"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False)
