"""What the database refuses: what was measured and seen stays as it was written."""

from assets.database_rules import Rule

SENTENCE = (
    "What was measured or seen is never changed or removed: enter a correction that refers to it."
)

DATABASE_RULES = tuple(
    Rule(
        name=f"{table}_stays",
        table=f"inspections_{table}",
        events=("UPDATE", "DELETE"),
        condition="1 = 1",
        sentence=SENTENCE,
    )
    for table in ("reading", "examination")
)
