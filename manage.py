#!/usr/bin/env python
"""Django's command line for Toe to Heel."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    from django.core.management import execute_from_command_line
    from django.db import OperationalError

    from config.operations.faults import words_for

    try:
        execute_from_command_line(sys.argv)
    except OperationalError as problem:
        sys.exit(f"Nothing was changed. {words_for(problem)} ({problem})")


if __name__ == "__main__":
    main()
