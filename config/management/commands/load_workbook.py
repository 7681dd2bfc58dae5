"""A workbook into the register: all of it, or nothing.

manage.py load_workbook register.xlsx [--check-only] [--json] [--user NAME] [--matching NAME]

Visit sheets that were filled in, and a railway's own spreadsheets whose columns were matched, are
loaded the same way. Exit status 0 when nothing is refused or in conflict, 2 otherwise.
"""

import json
import sys
import time
from collections.abc import Callable

from django.contrib.auth import get_user_model
from django.core.management.base import BaseCommand, CommandError

from assets.models import Matching
from assets.workbook.opening import open_book
from assets.workbook.planning import Outcome, Plan
from assets.workbook.refusals import WorkbookRefused
from config.access import Need, may
from config.workbook import register


class Command(BaseCommand):
    help = "Loads a workbook; shows what is new, changed, the same and refused."

    def add_arguments(self, parser) -> None:
        parser.add_argument("file")
        parser.add_argument(
            "--check-only", action="store_true", help="show what it would do, and do nothing"
        )
        parser.add_argument("--json", action="store_true", help="as JSON, on standard output")
        parser.add_argument(
            "--matching", help="name of the matching of columns, for a spreadsheet of your own"
        )
        parser.add_argument(
            "--user",
            help="account that loads it, whose post decides what it may change; without it, "
            "everything that the responsible engineer may change",
        )

    def handle(self, *, file, check_only, user, matching, verbosity, **options) -> None:
        account, matching = self._account(user), self._matching(matching)
        tell = sparingly(self._tell) if verbosity else lambda step: None
        try:
            with open_book(file) as book:
                reading = register.understand(book, matching)
                plan = register.load(reading, account, lambda plan: not check_only, tell)
        except OSError as problem:
            raise CommandError(f"{file} cannot be read: {problem.strerror}.") from problem
        except WorkbookRefused as refused:
            self._whole_file_refused(str(refused), options["json"])
        else:
            self._say(plan, check_only, options["json"])

    @staticmethod
    def _account(name: str | None):
        if name is None:
            return None
        account = get_user_model().objects.filter(username=name).first()
        if account is None:
            raise CommandError(f"There is no account {name!r}.")
        if not may(account, Need.LOAD):
            raise CommandError(f"The post of {name!r} does not include loading a workbook.")
        return account

    @staticmethod
    def _matching(name: str | None) -> Matching | None:
        if name is None:
            return None
        matching = Matching.objects.filter(name=name).first()
        if matching is None:
            raise CommandError(f"There is no matching {name!r}.")
        return matching

    def _whole_file_refused(self, reason: str, as_json: bool) -> None:
        if as_json:
            totals = {str(outcome): 0 for outcome in Outcome} | {"refused": 1}
            entry = {"sheet": "", "row": 0, "column": "", "outcome": "refused", "reason": reason}
            self._print_json({"totals": totals, "applied": False, "notes": [], "rows": [entry]})
        else:
            self.stderr.write(self.style.ERROR(reason))
        sys.exit(2)

    def _say(self, plan: Plan, check_only: bool, as_json: bool) -> None:
        applied = plan.can_be_applied and not check_only
        if as_json:
            self._print_json({**plan.as_data(), "applied": applied})
        else:
            self._print(plan, applied)
        if not plan.can_be_applied:
            sys.exit(2)

    def _print(self, plan: Plan, applied: bool) -> None:
        for note in plan.notes:
            self.stdout.write(f"note: {note}")
        for row in plan.rows:
            for line in row_lines(row):
                self.stdout.write(line)
        counts = plan.totals.items()
        totals = ", ".join(f"{count} {outcome.replace('_', ' ')}" for outcome, count in counts)
        self.stdout.write(totals)
        changes = plan.totals["new"] + plan.totals["changed"]
        self.stdout.write("Loaded." if applied and changes else "Nothing was changed.")

    def _print_json(self, data: dict) -> None:
        self.stdout.write(json.dumps(data, ensure_ascii=False, indent=1))

    def _tell(self, step) -> None:
        self.stderr.write(f"{step.sheet}: {step.rows} rows {step.doing}")


def sparingly(tell: Callable, seconds: float = 1.0) -> Callable:
    """Tells no more often than that, however often it is called."""
    last = time.monotonic()

    def now_and_then(*what) -> None:
        nonlocal last
        if time.monotonic() - last >= seconds:
            last = time.monotonic()
            tell(*what)

    return now_and_then


def row_lines(row) -> list[str]:
    """A planned row in words, a line for each thing to be said of it."""
    if row.left_out:
        return [f"left out: {row.sheet.name}, row {row.number}, {row.key}: {row.left_out}"]
    head = f"{row.outcome}: {row.sheet.name}, row {row.number}, {row.key}"
    if row.refusals:
        return [f"{row.outcome}: {refusal}" for refusal in row.refusals]
    return [head, *(f"    {change}" for change in row.changes)]
