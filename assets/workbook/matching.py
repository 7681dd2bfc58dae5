"""A railway's own spreadsheet against a declared sheet: which of its columns holds what.

Only proposals, each with its grounds, for a person to correct: from the words of the headings, the
units in them, and the values found below.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

from assets.engineering.units import convertible, same_unit

from .cells import parser_for
from .columns import Column, Kind, Sheet, fold
from .grids import Cells, Merge
from .headings import heading_text, joined, split_unit
from .layout import Layout, Source
from .opening import Book
from .refusals import CellRefused, column_index, column_letters, shown

Rows = Sequence[tuple[int, Cells]]

SAMPLE_ROWS = 80
_HEADING_SEARCH = 25  # rows from the top among which the headings are looked for
_LEAST_SCORE = 0.45
_NAME_WORDS = 2  # a name has no more, a remark has
_LONGEST_WORD = 60  # characters of a word for a choice
_STOP_WORDS = frozenset(
    [
        "a",
        "an",
        "and",
        "at",
        "be",
        "for",
        "from",
        "if",
        "in",
        "is",
        "it",
        "its",
        "of",
        "on",
        "or",
        "the",
        "to",
    ]
)
# How volunteers shorten or call things, and the register's word for it: common practice, no source.
_SAME_WORD = {
    "no": "number", "num": "number", "nr": "number", "nos": "number", "ref": "tag", "id": "tag",
    "label": "tag", "loc": "location", "place": "location", "station": "location",
    "dist": "distance", "min": "least", "minimum": "least", "max": "most", "maximum": "most",
    "l": "left", "lh": "left", "lhs": "left", "r": "right", "rh": "right", "rhs": "right",
    "bh": "bullhead", "fb": "flat bottom", "flatbottom": "flat bottom", "color": "colour",
    "col": "colour", "paint": "colour", "ins": "insulation", "insul": "insulation",
    "insulated": "insulation", "cond": "condition", "comment": "note", "comments": "note",
    "remark": "note", "remarks": "note", "notes": "note", "rod": "stretcher", "bar": "stretcher",
    "fwc": "free wheel clearance", "fwp": "free wheel passage", "rso": "residual opening",
    "pts": "points", "sw": "switch", "tc": "track circuit", "circuited": "circuit",
    "adj": "adjustable", "len": "length", "pos": "position", "posn": "position", "who": "by",
}  # fmt: skip


@dataclass(frozen=True)
class Match:
    """One column of the spreadsheet and what it is taken for; no field where nothing fits."""

    letters: str
    heading: str
    field: str
    unit: str  # that its bare figures stand in; "" for the declared column's own
    words: tuple[tuple[str, str], ...]  # words used there for choices
    score: float  # 0 to 1
    grounds: str  # why, in words
    samples: tuple[str, ...]  # the first few values, as shown


@dataclass(frozen=True)
class Proposal:
    """How one sheet of a spreadsheet may be read as one declared sheet."""

    sheet: Sheet
    grid: str
    heading_row: int  # the first of them, as numbered in the workbook
    heading_rows: int
    matches: tuple[Match, ...]

    @property
    def score(self) -> float:
        """Sum of the scores of the matched columns, for choosing among declared sheets."""
        return sum(match.score for match in self.matches if match.field)

    def layout(self) -> Layout:
        return Layout(
            self.sheet.name,
            self.grid,
            tuple(Source(m.heading, m.field, m.unit, m.words) for m in self.matches if m.field),
            self.heading_rows,
        )


def propose(book: Book, name: str, sheet: Sheet) -> Proposal:
    """The likeliest reading of the book's sheet ``name`` as the declared sheet."""
    grid = book.grid(name)
    return propose_from(list(islice(book.rows(grid), SAMPLE_ROWS)), grid.merges, sheet, name)


def best_proposals(book: Book, sheets: Sequence[Sheet]) -> list[Proposal]:
    """For each sheet of the book the declared sheet that it fits best, if it fits any."""
    found = []
    for name in book.sheet_names:
        grid = book.grid(name)
        top = list(islice(book.rows(grid), SAMPLE_ROWS))
        best = max(
            (propose_from(top, grid.merges, sheet, name) for sheet in sheets),
            key=lambda proposal: proposal.score,
            default=None,
        )
        if best is not None and best.score > 0:
            found.append(best)
    return found


def propose_from(top: Rows, merges: Iterable[Merge], sheet: Sheet, name: str) -> Proposal:
    """The proposal from the first rows of a sheet; pure, so easily tried."""
    merges = tuple(merges)
    start, count = find_headings(top, merges, sheet)
    headings = joined(top[start : start + count], merges)
    below = top[start + count :]
    samples = [_column_values(below, index, text) for index, text in enumerate(headings)]
    chosen = _assign(headings, samples, sheet)
    matches = tuple(
        _match(index, heading, samples[index], chosen.get(index))
        for index, heading in enumerate(headings)
        if heading
    )
    return Proposal(sheet, name, top[start][0] if top else 1, count, matches)


def find_headings(top: Rows, merges: Sequence[Merge], sheet: Sheet) -> tuple[int, int]:
    """Index of the first row of headings and how many rows they take, one or two.

    The row whose words fit the declared headings best; two rows where together they fit better and
    the upper one has headings merged or standing over several columns.
    """
    best, best_score = (0, 1), -1.0
    for start in range(min(len(top), _HEADING_SEARCH)):
        for count in (1, 2):
            rows = top[start : start + count]
            if len(rows) < count or (count == 2 and not _may_be_double(rows, merges)):
                continue
            # A second row must earn its place: otherwise the first row of values would join in.
            score = _words_found(joined(rows, merges), sheet) - 0.3 * (count - 1)
            if score > best_score:
                best, best_score = (start, count), score
    return best


def _may_be_double(rows: Rows, merges: Sequence[Merge]) -> bool:
    (first, upper), (second, lower) = rows
    texts = all(cell is None or isinstance(cell, str) for cell in (*upper, *lower))
    spread = any(m.first_row == first and m.last_column > m.first_column for m in merges)
    gaps = any(cell is None for cell in upper) or len(lower) > len(upper)
    return second == first + 1 and texts and (spread or gaps)


def _words_found(headings: Sequence[str], sheet: Sheet) -> float:
    scores = (
        max((_word_score(heading, column) for column in sheet.columns), default=0.0)
        for heading in headings
        if heading
    )
    return sum(score for score in scores if score >= 0.4)


def _column_values(rows: Rows, index: int, heading: str) -> list:
    cells = (row[index] for _, row in rows if index < len(row))
    return [cell for cell in cells if heading_text(cell) not in ("", heading)]


def values_below(book: Book, proposal: Proposal, most_rows: int = 1_000) -> dict[str, list]:
    """The values found in each matched column, by its letters; of the first rows only."""
    grid = book.grid(proposal.grid)
    last_heading = proposal.heading_row + proposal.heading_rows - 1
    below = [row for row in islice(book.rows(grid), most_rows) if row[0] > last_heading]
    return {
        match.letters: _column_values(below, column_index(match.letters), match.heading)
        for match in proposal.matches
    }


def _assign(headings, samples, sheet: Sheet) -> dict[int, tuple[Column, float, str]]:
    """Column for each heading that has one: the best pairs first, each taken once."""
    pairs = []
    for index, heading in enumerate(headings):
        for order, column in enumerate(sheet.columns):
            if heading and not column.info:
                score, grounds = score_pair(heading, samples[index], column)
                if score >= _LEAST_SCORE:
                    pairs.append((-score, index, order, grounds))
    chosen, taken = {}, set()
    for negative, index, order, grounds in sorted(pairs):
        if index not in chosen and order not in taken:
            chosen[index] = (sheet.columns[order], -negative, grounds)
            taken.add(order)
    _name_by_values(headings, samples, sheet, chosen)
    return chosen


def _name_by_values(headings, samples, sheet: Sheet, chosen: dict) -> None:
    """Where nothing was found for a lone key: the first column left whose values all differ."""
    keys = [column for column in sheet.keys if not column.optional]
    if len(keys) != 1 or keys[0].kind is not Kind.TEXT:
        return
    if any(column is keys[0] for column, _, _ in chosen.values()):
        return
    for index, heading in enumerate(headings):
        words = [fold(str(value)) for value in samples[index]]
        if heading and index not in chosen and _are_names(words):
            chosen[index] = (keys[0], _LEAST_SCORE, "values that all differ")
            return


def _are_names(words: list[str]) -> bool:
    """Two or more short texts, none of them twice; a remark or two among them does not matter."""
    short = sum(len(word.split()) <= _NAME_WORDS for word in words)
    return len(words) > 1 and len(set(words)) == len(words) and short > 0.5 * len(words)


def _match(index: int, heading: str, values: list, choice) -> Match:
    samples = tuple(shown(value, 30) for value in values[:4])
    if choice is None:
        return Match(column_letters(index), heading, "", "", (), 0.0, "nothing fits", samples)
    column, score, grounds = choice
    words = tuple(translations(values, column).items())
    unit = _source_unit(heading, column)
    return Match(
        column_letters(index), heading, column.field, unit, words, round(score, 2), grounds, samples
    )


def score_pair(heading: str, values: Sequence, column: Column) -> tuple[float, str]:
    """How well a heading with the values below it fits a column, 0 to 1, and why."""
    grounds = []
    alike = _word_score(heading, column)
    score = 0.75 * alike
    if score >= 0.3:
        grounds.append("heading")
    _, unit = split_unit(heading)
    if unit:
        if not column.unit or not convertible(unit, column.unit):
            return 0.0, "the unit in the heading does not fit"
        score += 0.1
        grounds.append("unit")
    if values:
        change, ground = _value_evidence(values, column, unit)
        if column.kind is Kind.CHOICE and alike > 0.7:
            change = max(change, -0.1)  # words of the railway's own can be translated
        score += change
        if ground:
            grounds.append(ground)
    return min(max(score, 0.0), 1.0), " and ".join(grounds)


_EVIDENCE = {
    Kind.CHOICE: 0.5,
    Kind.DATE: 0.3,
    Kind.DATE_TIME: 0.25,
    Kind.YES_NO: 0.2,
    Kind.NUMBER: 0.1,
    Kind.WHOLE: 0.1,
}  # what it says for a column if all its values can be read as that kind


def _value_evidence(values: Sequence, column: Column, unit: str) -> tuple[float, str]:
    weight = _EVIDENCE.get(column.kind)
    if weight is None:
        return 0.05, ""
    parse = parser_for(column, unit)
    words = translations(values, column)
    readable = sum(_reads(parse, words.get(str(value), value)) for value in values) / len(values)
    if readable < 0.5:
        return -0.5, ""
    return weight * (2 * readable - 1), f"values ({column.kind})" if readable > 0.8 else ""


def _reads(parse, value) -> bool:
    try:
        parse(value)
    except CellRefused:
        return False
    return True


def _source_unit(heading: str, column: Column) -> str:
    _, unit = split_unit(heading)
    another = unit and column.unit and not same_unit(unit, column.unit)
    return unit if another and convertible(unit, column.unit) else ""


def translations(values: Sequence, column: Column) -> dict[str, str]:
    """For words that are no choice as they stand: the choice whose words they share most."""
    if column.kind is not Kind.CHOICE:
        return {}
    parse = parser_for(column)
    found = {}
    for word in dict.fromkeys(value for value in values if isinstance(value, str)):
        if len(word) > _LONGEST_WORD or _reads(parse, word):
            continue
        scored = [(_overlap(_tokens(word), _tokens(text)), value)
                  for value, label in column.choices for text in (value, label)]  # fmt: skip
        best, value = max(scored, default=(0.0, ""))
        if best >= 0.6:
            found[word] = value
    return found


def _word_score(heading: str, column: Column) -> float:
    name, _ = split_unit(heading)
    if fold(name) in (fold(column.heading), fold(column.field)):
        return 1.0
    tokens = _tokens(name)
    return max(_overlap(tokens, _tokens(text)) for text in (column.heading, column.field))


def _tokens(text: str) -> tuple[str, ...]:
    """The words that count, each as the register would call it, without plural."""
    tokens: list[str] = []
    for word in re.findall(r"[^\W_]+", fold(text)):
        word = _SAME_WORD.get(word, word)
        for part in word.split():
            if part not in _STOP_WORDS and part != "mm":
                tokens.append(part[:-1] if len(part) > 4 and part.endswith("s") else part)
    return tuple(dict.fromkeys(tokens))


def _overlap(ours: Sequence[str], theirs: Sequence[str]) -> float:
    """Shared words, 0 to 1: mainly how many of theirs are there, less so how many of ours.

    A word cut short counts for most of one.
    """
    if not ours or not theirs:
        return 0.0
    found = sum(max(_alike(a, b) for a in ours) for b in theirs) / len(theirs)
    used = sum(max(_alike(a, b) for b in theirs) for a in ours) / len(ours)
    return 0.6 * found + 0.4 * used


def _alike(a: str, b: str) -> float:
    if a == b:
        return 1.0
    short, long = sorted((a, b), key=len)
    return 0.8 if len(short) >= 3 and long.startswith(short) else 0.0
