"""What the database refuses: events stay, and nothing closes without its evidence."""

from assets.database_rules import Rule

DATABASE_RULES = (
    Rule(
        name="event_stays",
        table="defects_event",
        events=("UPDATE", "DELETE"),
        condition="1 = 1",
        sentence="An event is never changed or removed: add one that corrects it.",
    ),
    Rule(
        name="defect_stays",
        table="defects_defect",
        events=("DELETE",),
        condition="1 = 1",
        sentence="A defect is never removed: mark it as raised in error.",
    ),
    Rule(
        name="close_needs_evidence",
        table="defects_defect",
        events=("INSERT", "UPDATE"),
        condition="""
            NEW.state = 'closed' AND NOT EXISTS (
                SELECT 1 FROM defects_event event
                WHERE event.defect_id = NEW.id AND event.move = 'close'
                AND event.at = NEW.closed_at
            )""",
        sentence="A defect closes only by an event that carries its evidence.",
    ),
)
