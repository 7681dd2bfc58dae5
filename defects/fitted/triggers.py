"""What the database counts: changes of anything the rules look at in what is fitted.

They make the verdict on some points, or on all, stale (config.points.misfits). What is alike over
the whole railway is not counted, but kept with each verdict.
"""

from assets.triggers import Effect

_COUNT = "UPDATE defects_judged SET changes = changes + 1"
_AT_PLACE = "points_id = (SELECT place.points_id FROM assets_position place WHERE place.id = {}.{})"
_WHERE_FITTED = """points_id IN (
    SELECT place.points_id FROM assets_fitting fitting
    JOIN assets_position place ON place.id = fitting.position_id
    WHERE fitting.taken_out_on IS NULL AND ({}))"""
_PARTS = {
    "stretcher": "assets_stretcher",
    "machine": "assets_machine",
    "lost_motion_fitting": "assets_lostmotionfitting",
}


def _counts(table: str, event: str, where: str = "") -> Effect:
    statement = f"{_COUNT} WHERE {where}" if where else _COUNT
    return Effect(f"{table}_judged_{event.lower()}", table, (event,), statement)


def _of_rows(table: str, where: str, events: tuple[str, ...]) -> list[Effect]:
    """``where`` names the row as {}: what it was and what it is now both count."""
    rows = {"INSERT": ("NEW",), "DELETE": ("OLD",), "UPDATE": ("OLD", "NEW")}
    return [
        _counts(table, event, " OR ".join(where.replace("{}", row) for row in rows[event]))
        for event in events
    ]


_ADDED, _CHANGED = ("INSERT",), ("UPDATE",)
_ANY = ("INSERT", "UPDATE", "DELETE")

RULES = (
    *_of_rows("assets_points", "points_id = {}.id", _CHANGED),
    *_of_rows("assets_position", "points_id = {}.points_id", _ANY),
    *_of_rows("assets_switchoffset", "points_id = {}.points_id", _ANY),
    *_of_rows("assets_fitting", _AT_PLACE.format("{}", "position_id"), _ANY),
    *(
        _counts(table, "UPDATE", _WHERE_FITTED.format(f"fitting.{part}_id = NEW.id"))
        for part, table in _PARTS.items()
    ),
    *_of_rows(
        "defects_defect",
        _WHERE_FITTED.format(" OR ".join(f"fitting.{part}_id = {{}}.{part}_id" for part in _PARTS)),
        _ANY,
    ),
    *(
        effect
        for table in ("inspections_reading", "inspections_examination")
        for effect in _of_rows(
            table,
            "points_id = (SELECT visit.points_id FROM inspections_inspection visit "
            "WHERE visit.id = {}.inspection_id)",
            _ADDED,
        )
    ),
    *(
        _counts(table, event)
        for table in ("inspections_limit", "assets_railwayfigure")
        for event in _ANY
    ),
    *(_counts(table, "UPDATE") for table in ("assets_switchdesign", "assets_railsection")),
)
