"""Rules that span rows or forbid changes, kept by the database itself as triggers.

A constraint sees one row; these see the rows beside it, after the change is made and before it is
kept. Each rule is one condition in SQL that SQLite and PostgreSQL both read, and one sentence that
people get when it is broken. A broken rule raises ``django.db.IntegrityError`` with that sentence.
An effect is kept the same way: what the database itself writes where something was changed.
A table that is kept lets no row be put in another's place, and is not emptied at a stroke.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import connections

PREFIX = "tth_rule_"

Keys = Iterable[tuple[str, ...]]


@dataclass(frozen=True)
class Rule:
    """Refuse ``events`` on ``table`` when ``condition`` (SQL over NEW and OLD) is true."""

    name: str
    table: str
    events: tuple[str, ...]
    condition: str
    sentence: str

    timing = "AFTER"
    each = "ROW"

    def events_on(self, vendor: str) -> tuple[str, ...]:
        return self.events

    def condition_of(self, event: str, keys: Keys) -> str:
        return self.condition

    def trigger_name(self, event: str) -> str:
        return f"{PREFIX}{self.name}_{event.lower()}"

    def body(self, vendor: str) -> str:
        """What the trigger does where the condition is true."""
        sentence = self.sentence.replace("'", "''")
        if vendor == "postgresql":
            sentence = sentence.replace("%", "%%")
            return f"RAISE EXCEPTION '{sentence}' USING ERRCODE = 'check_violation';"
        return f"SELECT RAISE(ABORT, '{sentence}');"


@dataclass(frozen=True)
class Effect:
    """Run ``statement`` (SQL over NEW and OLD) after ``events`` on ``table``."""

    name: str
    table: str
    events: tuple[str, ...]
    statement: str
    condition: str = "1 = 1"

    timing, each = Rule.timing, Rule.each
    events_on, condition_of, trigger_name = Rule.events_on, Rule.condition_of, Rule.trigger_name

    def body(self, vendor: str) -> str:
        return f"{self.statement};"


@dataclass(frozen=True)
class Kept:
    """Refuse what changes rows of ``table`` without the triggers of the rows being asked.

    SQLite's REPLACE takes a row away unasked to put another in its place, and PostgreSQL's
    TRUNCATE takes all: both are refused before the fact.
    """

    name: str
    table: str
    sentence: str

    timing, each = "BEFORE", "STATEMENT"
    trigger_name, body = Rule.trigger_name, Rule.body

    def events_on(self, vendor: str) -> tuple[str, ...]:
        return ("TRUNCATE",) if vendor == "postgresql" else ("INSERT", "UPDATE")

    def condition_of(self, event: str, keys: Keys) -> str:
        """Whether another row has the id or a unique key already; a TRUNCATE always counts."""
        if event == "TRUNCATE":
            return "TRUE"
        other = "other.id <> OLD.id AND " if event == "UPDATE" else ""
        return " OR ".join(
            f"EXISTS (SELECT 1 FROM {self.table} other WHERE {other}"
            + " AND ".join(f"other.{column} = NEW.{column}" for column in key)
            + ")"
            for key in keys
        )


AnyRule = Rule | Effect | Kept


def stays(name: str, table: str, sentence: str) -> tuple[Rule, Kept]:
    """Rows of this table are added, and never changed, removed or replaced."""
    rule = Rule(name, table, ("UPDATE", "DELETE"), "1 = 1", sentence)
    return rule, Kept(f"{name}_kept", table, sentence)


PHOTO_STAYS = "A photograph is never changed or removed: take it down, with the reason."


def _earlier(one: str, other: str) -> str:
    """Whether a fitting began before another, in days and within the day."""
    return (
        f"({one}.fitted_on < {other}.fitted_on OR ({one}.fitted_on = {other}.fitted_on "
        f"AND {one}.order_on_day < {other}.order_on_day))"
    )


def _lasts(one: str, other: str) -> str:
    """Whether a fitting had not ended when another began."""
    return f"({one}.taken_out_on IS NULL OR {one}.taken_out_on > {other}.fitted_on)"


RULES: list[AnyRule] = [
    *(
        rule
        for table in ("photo", "partphoto", "withdrawal")
        for rule in stays(f"{table}_stays", f"assets_{table}", PHOTO_STAYS)
    ),
    Rule(
        name="position_order",
        table="assets_position",
        events=("INSERT", "UPDATE"),
        condition="""
            EXISTS (
                SELECT 1 FROM assets_position other
                WHERE other.points_id = NEW.points_id AND other.id <> NEW.id
                AND ((other."order" < NEW."order" AND other.distance_mm >= NEW.distance_mm)
                  OR (other."order" > NEW."order" AND other.distance_mm <= NEW.distance_mm))
            )""",
        sentence="Positions count from the toe: a higher number must be further from the toe.",
    ),
    Rule(
        name="position_inside",
        table="assets_position",
        events=("INSERT", "UPDATE"),
        condition="""
            NEW.distance_mm > (
                SELECT COALESCE(points.heel_mm, design.heel_mm)
                FROM assets_points points
                LEFT JOIN assets_switchdesign design ON design.id = points.design_id
                WHERE points.id = NEW.points_id
            )""",
        sentence="The position is beyond the heel.",
    ),
    *(
        Rule(
            name=f"fitting_{what}_overlap",
            table="assets_fitting",
            events=("INSERT", "UPDATE"),
            condition=f"""
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND {same} AND (
                        ({_earlier("other", "NEW")} AND {_lasts("other", "NEW")})
                        OR ({_earlier("NEW", "other")} AND {_lasts("NEW", "other")})
                    )
                )""",
            sentence=sentence,
        )
        for field in ("stretcher", "machine", "lost_motion_fitting")
        for what, same, sentence in (
            (
                f"{field}",
                f"other.{field}_id = NEW.{field}_id",
                "A part is in one place at a time: its fittings overlap.",
            ),
            (
                f"{field}_position",
                (
                    f"other.position_id = NEW.position_id AND other.{field}_id IS NOT NULL "
                    f"AND NEW.{field}_id IS NOT NULL"
                ),
                "A position holds one part of a kind at a time: the fittings overlap.",
            ),
        )
    ),
    Rule(
        name="fitting_mark_holds",
        table="assets_fitting",
        events=("UPDATE",),
        condition="""
            OLD.outcome = 'does_not_suit'
            AND (NEW.outcome <> OLD.outcome OR NEW.against <> OLD.against)""",
        sentence="That a part did not suit when it was fitted stays recorded.",
    ),
    Rule(
        name="fitting_agreement_holds",
        table="assets_fitting",
        events=("UPDATE",),
        condition="""
            OLD.agreed_on IS NOT NULL
            AND (NEW.agreed_on IS DISTINCT FROM OLD.agreed_on
              OR NEW.agreed_by <> OLD.agreed_by OR NEW.agreement <> OLD.agreement)""",
        sentence="What the responsible engineer agreed stays recorded.",
    ),
]


def install(rules: Iterable[AnyRule], using: str) -> None:
    """Makes each of these whose table exists; one that is there already is made again."""
    connection = connections[using]
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for rule in rules:
            if rule.table in tables:
                for statement in _drops(connection.vendor, rule) + _creates(
                    connection.vendor, rule, _unique_keys(connection, cursor, rule)
                ):
                    cursor.execute(statement)


def remove(rules: Iterable[AnyRule], using: str) -> None:
    """Takes each of these away whose table exists."""
    connection = connections[using]
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for rule in rules:
            if rule.table in tables:
                for statement in _drops(connection.vendor, rule):
                    cursor.execute(statement)


def _unique_keys(connection, cursor, rule: AnyRule) -> list[tuple[str, ...]]:
    """The id and every unique key of the table, as the database itself has them."""
    if not isinstance(rule, Kept):
        return []
    constraints = connection.introspection.get_constraints(cursor, rule.table).values()
    unique = {tuple(one["columns"]) for one in constraints if one["unique"] and one["columns"]}
    return [("id",), *sorted(unique - {("id",)})]


def _drops(vendor: str, rule: AnyRule) -> list[str]:
    on = f" ON {rule.table}" if vendor == "postgresql" else ""
    return [
        f"DROP TRIGGER IF EXISTS {rule.trigger_name(event)}{on}" for event in rule.events_on(vendor)
    ]


def _creates(vendor: str, rule: AnyRule, keys: Keys) -> list[str]:
    events = rule.events_on(vendor)
    if vendor == "postgresql":
        function = f"{PREFIX}{rule.name}"
        statements = [
            f"""CREATE OR REPLACE FUNCTION {function}() RETURNS trigger LANGUAGE plpgsql AS $$
            BEGIN
                IF {rule.condition_of(events[0], keys)} THEN
                    {rule.body(vendor)}
                END IF;
                IF TG_OP = 'DELETE' THEN RETURN OLD; END IF;
                RETURN {"NULL" if rule.each == "STATEMENT" else "NEW"};
            END $$"""
        ]
        statements += [
            f"CREATE TRIGGER {rule.trigger_name(event)} {rule.timing} {event} ON {rule.table} "
            f"FOR EACH {rule.each} EXECUTE FUNCTION {function}()"
            for event in events
        ]
        return statements
    statements = []
    for event in events:
        # SQLite before 3.39 writes it shorter, and later ones still read that.
        condition = rule.condition_of(event, keys).replace("IS NOT DISTINCT FROM", "IS")
        condition = condition.replace("IS DISTINCT FROM", "IS NOT")
        statements.append(
            f"CREATE TRIGGER {rule.trigger_name(event)} {rule.timing} {event} ON {rule.table} "
            f"WHEN {condition} BEGIN {rule.body(vendor)} END"
        )
    return statements
