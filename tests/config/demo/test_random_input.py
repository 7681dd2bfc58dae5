"""Whatever is sent, the program answers: no page, form or address fails.

RANDOM_REQUESTS=20000 RANDOM_SEED=7 python -m pytest tests/config/demo/test_random_input.py -s
"""

import logging
import os

import pytest

from assets.departments import Post
from config.checks import view_names
from tests import builders
from tests.config.crawling import Crawler

REQUESTS = int(os.environ.get("RANDOM_REQUESTS", "300"))
SEED = int(os.environ.get("RANDOM_SEED", "1"))
LONG = 10_000  # as many requests reach every page
# Half of them by the engineer, who may send to every address.
SHARES = {"responsible engineer": 0.5, "signalling": 0.2, "permanent way": 0.15, "viewer": 0.1}
NEEDS_A_FILE = {"workbook_apply", "workbook_match", "workbook_notes", "workbook_forget_matching"}


@pytest.mark.django_db
def test_no_request_by_anybody_fails(demo_railway, settings, tmp_path, monkeypatch):
    # Refusals are the rule here; what fails is printed below.
    monkeypatch.setattr(logging.root.manager, "disable", logging.CRITICAL)
    settings.MEDIA_ROOT, settings.DATA_DIR = tmp_path / "photographs", tmp_path
    assert set(SHARES) == {post.label for post in Post}
    crawlers = []
    for number, (post, share) in enumerate([*SHARES.items(), (None, 0.05)]):
        user = builders.make_user(f"crawler {number}", post, "Visitor") if post else None
        crawlers.append(Crawler(SEED + number, user))
        crawlers[-1].run(round(REQUESTS * share))
    answers = sum((one.answers for one in crawlers), start=type(crawlers[0].answers)())
    failures = {where: told for one in crawlers for where, told in one.failures.items()}
    print(f"\n{sum(answers.values())} requests from seed {SEED}: {dict(sorted(answers.items()))}")
    for where, told in failures.items():
        print(f"\n--- {where}\n{told}")
    assert sorted(failures) == []
    assert max(answers) < 500
    # A crawler that is turned away everywhere has tried nothing.
    assert answers[200] > sum(answers.values()) * 0.3
    if REQUESTS >= LONG:
        reached = set().union(*(one.reached for one in crawlers))
        missed = view_names() - reached - NEEDS_A_FILE
        print(f"addresses not reached: {sorted(missed)}")
        assert len(missed) <= 5
