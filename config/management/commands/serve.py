"""Serves the program with a real web server."""

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from config.operations import older_registers, uploads


class Command(BaseCommand):
    help = "Serves the program with waitress, a real web server, on this machine."
    requires_system_checks = []  # the start should not wait for them; the tests run them

    def add_arguments(self, parser) -> None:
        parser.add_argument("--host", default="127.0.0.1", help="Address to listen on.")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--threads", type=int, default=8, help="Requests served at once.")

    def handle(self, host: str, port: int, threads: int, **options) -> None:
        import waitress

        from config.wsgi import application

        older_registers.refuse_older()
        try:
            server = waitress.create_server(
                application,
                host=host,
                port=port,
                threads=threads,
                ident=None,
                max_request_body_size=uploads.MOST_BYTES,  # refused before it is received
                **proxy_options(),
            )
        except (OSError, ValueError) as problem:
            raise CommandError(f"Cannot listen on {host} port {port}: {problem}.") from problem
        self.stdout.write(f"Serving on http://{host}:{port}/ (Ctrl-C ends it)")
        if settings.HTTPS and not settings.SECURE_PROXY_SSL_HEADER:
            self.stdout.write(
                "Encrypted connections are expected: set BEHIND_PROXY=on where a proxy in front "
                "gives them, or HTTPS=off to try it on this machine alone."
            )
        self.stdout.flush()
        try:
            server.run()
        finally:
            server.close()


def proxy_options() -> dict:
    """What waitress must believe of a proxy in front: the scheme and who is asking."""
    if not getattr(settings, "SECURE_PROXY_SSL_HEADER", None):
        return {}
    return {
        "trusted_proxy": "*",
        "trusted_proxy_count": 1,
        "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-proto"},
    }
