"""A lost-motion fitting where it is fitted lets the drive move as far as it is set to."""

from assets.engineering.facts import LostMotionFacts


def test_a_fitting_that_is_set_has_that_lost_motion_and_no_other():
    sleeve = LostMotionFacts(lost_motion_min_mm=10.0, lost_motion_max_mm=50.0)
    assert sleeve.as_set is sleeve
    found = LostMotionFacts(
        lost_motion_min_mm=10.0, lost_motion_max_mm=50.0, lost_motion_set_mm=40.0
    ).as_set
    assert (found.lost_motion_min_mm, found.lost_motion_max_mm) == (40.0, 40.0)
