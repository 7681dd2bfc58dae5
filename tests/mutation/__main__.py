"""Puts one mutant after another in place and runs the tests that reach its line.

    python -m tests.mutation                    all of it
    python -m tests.mutation shape nuts         these modules only
    python -m tests.mutation --seconds 600      as far as it comes in ten minutes

Prints each mutant that no test noticed, then a table. A survivor that changes no answer is
listed with the reason in ``survivors.txt`` beside this file and is not printed again.
"""

import argparse
import importlib.abc
import importlib.util
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path

from .mutants import Mutant, mutants

ROOT = Path(__file__).resolve().parents[2]
EXPLAINED = Path(__file__).with_name("survivors.txt")
TESTS = ["tests/assets/engineering", "tests/defects/test_evidence.py"]
PATIENCE = 60  # seconds before a mutant counts as noticed: it goes round for ever


@dataclass(frozen=True)
class Target:
    """A module, and which tests reach which of its lines."""

    path: str
    name: str
    by_line: dict[int, list[str]]

    def tests_of(self, mutant: Mutant) -> list[str]:
        """The tests that reach the line; all that reach the module where it runs on import."""
        reached = [test for test in self.by_line.get(mutant.line, []) if test]
        return reached or sorted(
            {test for tests in self.by_line.values() for test in tests if test}
        )


@dataclass
class Tally:
    noticed: int = 0
    survived: int = 0
    explained: int = 0
    survivors: list[str] = field(default_factory=list)

    @property
    def total(self) -> int:
        return self.noticed + self.survived + self.explained


def main() -> None:
    options = argparse.ArgumentParser(prog="python -m tests.mutation")
    options.add_argument("modules", nargs="*")
    options.add_argument("--seconds", type=int, default=10**6)
    options.add_argument("--jobs", type=int, default=2)
    given = options.parse_args()
    targets = [t for t in _targets() if not given.modules or Path(t.path).stem in given.modules]
    _import_what_is_slow()
    _run(targets, given.jobs, time.monotonic() + given.seconds)


def _targets() -> list[Target]:
    """The modules with the tests of each line, from one run that notes them."""
    from coverage import CoverageData

    with tempfile.TemporaryDirectory() as folder:
        noted = Path(folder) / "coverage"
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *TESTS]
        command += [
            "--cov=assets.engineering",
            "--cov=defects.closing.evidence",
            "--cov-context=test",
        ]
        environment = {**os.environ, "COVERAGE_FILE": str(noted)}
        subprocess.run(
            [*command, "--cov-report="], cwd=ROOT, env=environment, check=True, capture_output=True
        )
        data = CoverageData(str(noted))
        data.read()
        return [_target(path, data) for path in sorted(data.measured_files())]


def _target(path: str, data) -> Target:
    by_line = {
        line: sorted({context.partition("|")[0] for context in contexts})
        for line, contexts in data.contexts_by_lineno(path).items()
    }
    name = ".".join(Path(path).relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
    return Target(path, name, by_line)


def _import_what_is_slow() -> None:
    """Once, before the children part from this process; nothing of the project itself."""
    import hypothesis
    import networkx  # noqa: F401
    import pytest  # noqa: F401
    import scipy.interpolate
    import scipy.optimize  # noqa: F401
    from hypothesis import Phase

    # The same examples each time, and no search for the smallest one that fails.
    hypothesis.settings.register_profile(
        "mutants",
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.explicit, Phase.generate],
    )
    hypothesis.settings.load_profile("mutants")


def _run(targets: list[Target], jobs: int, until: float) -> None:
    explained = set(_explained())
    tallies: dict[str, Tally] = defaultdict(Tally)
    running: dict[int, tuple[Target, Mutant, str, float]] = {}
    waiting = _named(targets)
    cut_short = False
    while True:
        while len(running) < jobs and not cut_short:
            following = next(waiting, None)
            cut_short = following is None or time.monotonic() > until
            if not cut_short:
                target, mutant, name = following
                running[_start(target, mutant)] = (target, mutant, name, time.monotonic())
        if not running:
            break
        child, survived = _next_end(running)
        target, _, name, _ = running.pop(child)
        tally = tallies[target.name]
        if not survived:
            tally.noticed += 1
        elif name in explained:
            tally.explained += 1
        else:
            tally.survived += 1
            print(name, flush=True)
    _print_table(tallies, finished=next(waiting, None) is None)


def _named(targets: list[Target]):
    """Each mutant with a name that stays when lines move: by the text of its line."""
    for target in targets:
        seen: Counter[str] = Counter()
        source = Path(target.path).read_text(encoding="utf-8")
        lines = source.splitlines()
        for mutant in mutants(source):
            line = lines[mutant.line - 1].strip()
            words = f"{target.name}: {line}  |  {mutant.was}  ->  {mutant.now}"
            seen[words] += 1
            yield target, mutant, words if seen[words] == 1 else f"{words}  ({seen[words]})"


def _explained() -> list[str]:
    """The survivors that change no answer; the reason stands above each in a line with #."""
    lines = EXPLAINED.read_text(encoding="utf-8").splitlines() if EXPLAINED.exists() else []
    return [line for line in lines if line and not line.startswith("#")]


def _start(target: Target, mutant: Mutant) -> int:
    """A child process in which the module is the mutant; its exit code is pytest's."""
    sys.stdout.flush()
    child = os.fork()
    if child:
        return child
    nothing = os.open(os.devnull, os.O_RDWR)
    os.dup2(nothing, 1)
    os.dup2(nothing, 2)
    os.chdir(ROOT)
    sys.meta_path.insert(0, _Put(target, mutant.source))
    import pytest

    os._exit(
        pytest.main(
            ["-x", "-q", "-p", "no:cacheprovider", "-p", "no:cov", *target.tests_of(mutant)]
        )
    )


class _Put(importlib.abc.MetaPathFinder, importlib.abc.InspectLoader):
    """Answers for one module with other source."""

    def __init__(self, target: Target, source: str):
        self.target, self.source = target, source

    def find_spec(self, name, path, target=None):
        if name != self.target.name:
            return None
        package = self.target.path.endswith("__init__.py")
        return importlib.util.spec_from_file_location(
            name,
            self.target.path,
            loader=self,
            submodule_search_locations=[str(Path(self.target.path).parent)] if package else None,
        )

    def get_source(self, fullname: str) -> str:
        return self.source

    def get_code(self, fullname: str):
        return compile(self.source, self.target.path, "exec")


def _next_end(running) -> tuple[int, bool]:
    """The next child that ends, or is ended for taking too long, and whether it survived."""
    while True:
        for child, (*_, started) in running.items():
            ended, status = os.waitpid(child, os.WNOHANG)
            if ended:
                return child, os.waitstatus_to_exitcode(status) == 0
            if time.monotonic() - started > PATIENCE:
                os.kill(child, 9)
                os.waitpid(child, 0)
                return child, False
        time.sleep(0.01)


def _print_table(tallies: dict[str, Tally], finished: bool) -> None:
    print(f"\n{'module':<48}{'mutants':>8}{'noticed':>9}{'alike':>7}{'missed':>8}")
    total = Tally()
    for name, tally in sorted(tallies.items()):
        _print_row(name, tally)
        total.noticed += tally.noticed
        total.survived += tally.survived
        total.explained += tally.explained
    _print_row("all" if finished else "all so far", total)


def _print_row(name: str, tally: Tally) -> None:
    print(f"{name:<48}{tally.total:>8}{tally.noticed:>9}{tally.explained:>7}{tally.survived:>8}")


if __name__ == "__main__":
    main()
