"""What the database refuses: what was measured and seen stays as it was written.

And what it counts: changes that make what lies ahead of some points stale
(inspections.upcoming.kept).
"""

from assets.triggers import PHOTO_STAYS, Effect, Kept, Rule, stays
from inspections.words import WHOLE_VISITS

STAYS = (
    "What was measured or seen is never changed or removed: enter a correction that refers to it."
)
CHECK_STAYS = "A check is never changed or removed: correct it on its page, with the reason."
JUDGED = "This limit has judged readings: enter a new one from a later day instead of changing it."

_JUDGING_FIELDS = (
    "quantity",
    "level",
    "scope",
    "scope_key",
    "minimum",
    "maximum",
    "effective_from",
)


def counted(points: str) -> str:
    """One more change of the points that this query (of one id at most) gives."""
    return f"""
        INSERT INTO inspections_outlook
            (points_id, changes, followed, owed, owed_followed, calculated)
        SELECT changed.points_id, 1, -1, 0, -1, -1 FROM ({points}) changed WHERE 1 = 1
        ON CONFLICT (points_id) DO UPDATE SET changes = inspections_outlook.changes + 1"""


# Limits change where a trend leads, and nothing of what is owed, which is kept in step.
_TRENDS_ONLY = """changes = changes + 1, owed_followed = CASE
    WHEN owed_followed = changes THEN changes + 1 ELSE owed_followed END"""

# What only the arithmetic of the switch looks at leaves trends and what is owed in step.
_SWITCH_ONLY = f"""UPDATE inspections_outlook SET {_TRENDS_ONLY}, followed = CASE
    WHEN followed = changes THEN changes + 1 ELSE followed END"""


def _of_the_switch(table: str, event: str, where: str = "") -> Effect:
    """What the arithmetic of the switch looks at in a table: of some points, or of all."""
    statement = f"{_SWITCH_ONLY} WHERE {where}" if where else _SWITCH_ONLY
    return Effect(f"{table}_switch_{event.lower()}", table, (event,), statement)


_EACH = (("INSERT", "NEW"), ("UPDATE", "NEW"), ("DELETE", "OLD"))
_FITTED = """points_id IN (
    SELECT place.points_id FROM assets_position place
    JOIN assets_fitting fitting ON fitting.position_id = place.id
    WHERE fitting.stretcher_id = NEW.id AND fitting.taken_out_on IS NULL)"""

_WHOLE = ", ".join(f"'{reason}'" for reason in WHOLE_VISITS)

RULES = (
    *(
        rule
        for table in ("inspection", "reading", "examination")
        for rule in stays(f"{table}_stays", f"inspections_{table}", STAYS)
    ),
    Rule(
        name="difference_answer_stays",
        table="inspections_difference",
        events=("UPDATE", "DELETE"),
        condition="OLD.answer <> ''",
        sentence="Which stretcher it was has been answered: enter corrections to the readings.",
    ),
    Kept(
        "difference_kept",
        "inspections_difference",
        "One question about a stretcher never takes the place of another.",
    ),
    *stays(
        "instrument_check_stays",
        "inspections_instrumentcheck",
        CHECK_STAYS,
    ),
    *stays("examination_photo_stays", "inspections_examinationphoto", PHOTO_STAYS),
    Rule(
        name="limit_that_judged_stays",
        table="inspections_limit",
        events=("UPDATE",),
        condition=f"""
            EXISTS (SELECT 1 FROM inspections_reading judged WHERE judged.limit_id = NEW.id)
            AND ({" OR ".join(f"NEW.{f} IS DISTINCT FROM OLD.{f}" for f in _JUDGING_FIELDS)})""",
        sentence=JUDGED,
    ),
    Kept(
        "limit_kept",
        "inspections_limit",
        "A limit never takes the place of another: enter a new one from a later day.",
    ),
    Effect(
        name="visit_counts",
        table="inspections_inspection",
        events=("INSERT",),
        statement=f"""
            INSERT INTO inspections_outlook
                (points_id, changes, followed, owed, owed_followed, calculated, inspected_at)
            VALUES (
                NEW.points_id, 1, -1, 0, -1, -1,
                CASE WHEN NEW.reason IN ({_WHOLE}) AND NOT NEW.partial THEN NEW.at END
            )
            ON CONFLICT (points_id) DO UPDATE SET
                changes = inspections_outlook.changes + 1,
                inspected_at = CASE
                    WHEN excluded.inspected_at IS NULL THEN inspections_outlook.inspected_at
                    WHEN inspections_outlook.inspected_at > excluded.inspected_at
                        THEN inspections_outlook.inspected_at
                    ELSE excluded.inspected_at
                END""",
    ),
    Effect(
        name="reading_counts",
        table="inspections_reading",
        events=("INSERT",),
        statement="""
            UPDATE inspections_outlook SET changes = changes + 1 WHERE points_id = (
                SELECT visit.points_id FROM inspections_inspection visit
                WHERE visit.id = NEW.inspection_id
            )""",
    ),
    # What is owed goes by the parts that are there, even where nobody has made a visit yet.
    Effect(
        name="fitting_counts",
        table="assets_fitting",
        events=("INSERT", "UPDATE"),
        statement=counted(
            "SELECT position.points_id FROM assets_position position "
            "WHERE position.id = NEW.position_id"
        ),
    ),
    Effect(
        name="rod_facts_count",
        table="assets_stretcher",
        events=("UPDATE",),
        condition="NEW.insulation_side <> OLD.insulation_side",
        statement="""
            UPDATE inspections_outlook SET changes = changes + 1 WHERE points_id IN (
                SELECT position.points_id FROM assets_position position
                JOIN assets_fitting fitting ON fitting.position_id = position.id
                WHERE fitting.stretcher_id = NEW.id AND fitting.taken_out_on IS NULL
            )""",
    ),
    Effect(
        name="regime_counts",  # what is owed goes by the tests that the railway asks for
        table="inspections_regime",
        events=("INSERT", "UPDATE", "DELETE"),
        statement="UPDATE inspections_outlook SET changes = changes + 1",
    ),
    Effect(
        name="limit_counts",
        table="inspections_limit",
        events=("INSERT", "UPDATE", "DELETE"),
        statement=f"UPDATE inspections_outlook SET {_TRENDS_ONLY}",
    ),
    Effect(
        name="figure_counts",
        table="assets_railwayfigure",
        events=("INSERT", "UPDATE", "DELETE"),
        statement="UPDATE inspections_outlook SET changes = changes + 1",
    ),
    # How sure a reading is goes by what it was taken with.
    Effect(
        name="instrument_counts",
        table="inspections_instrument",
        events=("UPDATE",),
        condition=" OR ".join(
            f"NEW.{field} IS DISTINCT FROM OLD.{field}"
            for field in ("kind", "resolution", "uncertainty", "repeats")
        ),
        statement="""
            UPDATE inspections_outlook SET changes = changes + 1 WHERE points_id IN (
                SELECT visit.points_id FROM inspections_inspection visit
                JOIN inspections_inspection_instruments used ON used.inspection_id = visit.id
                WHERE used.instrument_id = NEW.id
                UNION
                SELECT visit.points_id FROM inspections_inspection visit
                JOIN inspections_reading reading ON reading.inspection_id = visit.id
                WHERE reading.instrument_id = NEW.id
            )""",
    ),
    # Limits of a rail section, a design or a layout go by these, and whether insulation matters.
    Effect(
        name="points_limits_count",
        table="assets_points",
        events=("UPDATE",),
        condition=" OR ".join(
            f"NEW.{field} IS DISTINCT FROM OLD.{field}"
            for field in ("rail_section_id", "design_id", "layout", "track_circuited")
        ),
        statement="""
            UPDATE inspections_outlook SET changes = changes + 1 WHERE points_id = NEW.id""",
    ),
    *(
        _of_the_switch(table, event, f"points_id = {row}.points_id")
        for table in ("assets_position", "assets_switchoffset")
        for event, row in _EACH
    ),
    *(_of_the_switch("assets_wheelstandard", event) for event, _ in _EACH),
    *(_of_the_switch(table, "UPDATE") for table in ("assets_switchdesign", "assets_railsection")),
    _of_the_switch("assets_points", "UPDATE", "points_id = NEW.id"),
    _of_the_switch("assets_stretcher", "UPDATE", _FITTED),
)
