"""Which tests an ordinary run takes."""

import subprocess
import sys

import pytest
from django.conf import settings

BENCHMARK = "tests/benchmarks/test_switch_profile.py"


@pytest.mark.parametrize(("asked", "taken"), [(("-m", "benchmark"), 0), (("--benchmarks",), 5)])
def test_benchmarks_are_run_when_they_are_asked_for_by_their_flag_alone(asked, taken):
    command = [sys.executable, "-m", "pytest", BENCHMARK, "--collect-only", *asked]
    said = subprocess.run(
        command, cwd=settings.BASE_DIR, capture_output=True, text=True, check=False
    )
    assert said.stdout.count(f"{BENCHMARK}::") == taken
