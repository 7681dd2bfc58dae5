"""Loads the demo railway and serves it on this machine."""

import os
import socket
import subprocess
import sys
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from config import demo
from config.demo import files, people
from config.operations import older_registers

HOST = "127.0.0.1"  # the accounts are printed for all to see, so nobody else may reach it
MANAGE = Path(settings.BASE_DIR) / "manage.py"


class Command(BaseCommand):
    help = (
        "Loads the Skelbeck Valley Railway, an invented line, and serves it on this machine. "
        "Running it again changes nothing; a register with a railway of its own is left alone."
    )
    requires_system_checks = []

    def add_arguments(self, parser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="Load only.")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument(
            "--reset", action="store_true", help="Empty the demo register and load it again."
        )

    def handle(self, no_serve: bool, port: int, reset: bool, **options) -> None:
        if reset and older_registers.is_older():
            self._take_older_away()
        call_command("migrate", verbosity=0, interactive=False)
        if reset:
            self._empty()
        self._say("Loading the demo railway ..." if demo.is_empty() else "")
        try:
            loaded = demo.load()
        except demo.OtherRailwayError as refusal:
            raise CommandError(_refusal()) from refusal
        state = "Loaded" if loaded.new else "Already loaded, nothing changed"
        self._say(f"{state}: {loaded.points} sets of points, {loaded.stretchers} stretchers.")
        self._accounts()
        if not no_serve:
            self._serve(port)

    def _say(self, line: str) -> None:
        if line:
            self.stdout.write(line)
            self.stdout.flush()

    def _empty(self) -> None:
        if demo.is_empty():
            return
        if not demo.is_demo():
            raise CommandError(_refusal())
        call_command("flush", verbosity=0, interactive=False)

    def _take_older_away(self) -> None:
        codes = [row["code"] for row in files.read("register")["locations"]]
        if not older_registers.holds_only(codes, people.usernames()):
            raise CommandError(_refusal())
        older_registers.take_away()

    def _accounts(self) -> None:
        self._say(f"\nDemo accounts, all with the password {people.PASSWORD}")
        for row in files.read("people")["accounts"]:
            self._say(f"  {row['username']:<12}{row['name']}, {row['post']}")
        self._say("")

    def _serve(self, port: int) -> None:
        if not _is_free(port):
            taken, port = port, _any_free_port()
            self._say(f"Port {taken} is taken by another program, so port {port} is used.")
        self._say(f"Open http://{HOST}:{port}/ in a browser and log in as technician.")
        command = [sys.executable, str(MANAGE), "serve", "--host", HOST, "--port", str(port)]
        # A new process, so that the safe settings are only ever loosened for the demo.
        environment = {**os.environ, "HTTPS": "off"}
        if os.name == "posix":
            os.execve(command[0], command, environment)
        try:
            subprocess.run(command, env=environment, check=False)
        except KeyboardInterrupt:
            self._say("Ended.")


def _refusal() -> str:
    return (
        "This register holds a railway of its own (or locations added to the demo), so the demo "
        "leaves it alone. To see the demo, give it a place of its own: set TOE_TO_HEEL_DATA to an "
        "empty folder, or DATABASE_URL to an empty database, and run it again."
    )


def _is_free(port: int) -> bool:
    with socket.socket() as probe:
        if os.name == "posix":  # a port just given up counts as free, as it does for the server
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except (OSError, OverflowError):
            return False
    return True


def _any_free_port() -> int:
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        return probe.getsockname()[1]
