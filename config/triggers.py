"""Every trigger of the three apps, in one tuple."""

from assets import triggers as register
from defects.closing import triggers as defects
from defects.fitted import triggers as fitted
from inspections.recording import triggers as visits

TRIGGERS = (*register.RULES, *visits.RULES, *defects.RULES, *fitted.RULES)


def install_all(using: str = "default", **kwargs) -> None:
    """Makes every trigger whose table exists; one that is there already is made again."""
    register.install(TRIGGERS, using)


def remove_all(using: str = "default", **kwargs) -> None:
    """Takes every trigger away, so that tables may be rebuilt or emptied on purpose."""
    register.remove(TRIGGERS, using)
