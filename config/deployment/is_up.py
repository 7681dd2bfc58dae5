"""Asks the program on this machine whether it is up, as the proxy in front would.

    python config/deployment/is_up.py [port]

Ends with 0 where the program and its database answer, else with 1 and what was answered.
"""

import http.client
import os
import sys


def main() -> int:
    port = int(sys.argv[1]) if len(sys.argv) > 1 else 8000
    host = os.environ.get("ALLOWED_HOSTS", "localhost").split(",")[0].strip()
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        connection.request("GET", "/health/", headers={"Host": host, "X-Forwarded-Proto": "https"})
        answer = connection.getresponse()
        said = answer.read().decode(errors="replace").strip()
    except (OSError, http.client.HTTPException) as problem:
        answer, said = None, str(problem)
    print(said)
    return 0 if answer is not None and answer.status == 200 else 1


if __name__ == "__main__":
    sys.exit(main())
