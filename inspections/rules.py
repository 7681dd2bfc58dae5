"""What the database refuses: what was measured and seen stays as it was written."""

from assets.database_rules import PHOTO_STAYS, Rule

STAYS = (
    "What was measured or seen is never changed or removed: enter a correction that refers to it."
)
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

DATABASE_RULES = (
    *(
        Rule(
            name=f"{table}_stays",
            table=f"inspections_{table}",
            events=("UPDATE", "DELETE"),
            condition="1 = 1",
            sentence=STAYS,
        )
        for table in ("inspection", "reading", "examination")
    ),
    Rule(
        name="difference_answer_stays",
        table="inspections_difference",
        events=("UPDATE", "DELETE"),
        condition="OLD.answer <> ''",
        sentence="Which rod was measured has been answered: enter corrections to the readings.",
    ),
    Rule(
        name="examination_photo_stays",
        table="inspections_examinationphoto",
        events=("UPDATE", "DELETE"),
        condition="1 = 1",
        sentence=PHOTO_STAYS,
    ),
    Rule(
        name="limit_that_judged_stays",
        table="inspections_limit",
        events=("UPDATE",),
        condition=f"""
            EXISTS (SELECT 1 FROM inspections_reading judged WHERE judged.limit_id = NEW.id)
            AND ({" OR ".join(f"NEW.{f} IS DISTINCT FROM OLD.{f}" for f in _JUDGING_FIELDS)})""",
        sentence=JUDGED,
    ),
)
