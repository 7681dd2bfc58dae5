"""What makes the pages work without signal: the script between page and network, its file list."""

import hashlib
import json
from functools import cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.http import HttpResponse
from django.template.loader import get_template
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import cache_control

SHELL = (
    "config/style.css",
    "config/mark.svg",
    "config/manifest.webmanifest",
    "config/phone.js",
    "inspections/store.js",
    "inspections/drafts.js",
    "inspections/sending.js",
    "inspections/figures.js",
    "inspections/camera.js",
    "inspections/form.js",
    "inspections/take.js",
    "inspections/waiting.js",
    "assets/as_installed.js",
)
PAGES_OF_THE_SHELL = ("config/base.html", "inspections/queue.html")


def _contents(name: str) -> bytes:
    return Path(finders.find(name)).read_bytes()


@cache
def script() -> str:
    """The service worker with its version, which changes with any file that it keeps."""
    worker = _contents("config/sw.js")
    parts = [worker, *(_contents(name) for name in SHELL)]
    parts += [get_template(name).template.source.encode() for name in PAGES_OF_THE_SHELL]
    version = hashlib.sha256(b"\0".join(parts)).hexdigest()[:16]
    way_out = reverse("inspections:queue")
    addresses = [way_out, *(static(name) for name in SHELL)]
    return (
        f"const VERSION = {json.dumps(version)};\n"
        f"const SHELL = {json.dumps(addresses)};\n"
        f"const WAY_OUT = {json.dumps(way_out)};\n{worker.decode()}"
    )


@cache_control(no_cache=True)
def service_worker(request):
    """Served from the root, since a service worker answers for what lies below its address."""
    return HttpResponse(
        script(),
        content_type="text/javascript; charset=utf-8",
        headers={"Service-Worker-Allowed": "/"},
    )
