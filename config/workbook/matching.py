"""Matching the columns of a railway's own spreadsheet: proposed, corrected, kept by name."""

from dataclasses import dataclass, field

from django.shortcuts import redirect, render
from django.utils import timezone

from assets.departments import name_of
from assets.engineering.units import convertible, same_unit
from assets.models import Matching
from assets.workbook.cells import parser_for
from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.layout import Layout, Source
from assets.workbook.matching import (
    Match,
    Proposal,
    best_proposals,
    propose,
    translations,
    values_below,
)
from assets.workbook.opening import Book
from assets.workbook.refusals import CellRefused, WorkbookRefused
from config.workbook import register
from config.workbook.loading import kept_or_404

UNITS = ("mm", "cm", "m", "in", "ft", "yd", "miles", "N·m", "lbf ft", "Ω", "kΩ", "MΩ")
MATCHED = tuple(sheet for sheet in register.SHEETS if not sheet.reading_only)
MOST_WORDS = 20  # of one column, offered for translation


@dataclass
class Choice:
    """One column of the spreadsheet on the page: what it is taken for, and how it is read."""

    match: Match
    field: str
    unit: str
    own_unit: str = ""  # of the register's column
    units: list[str] = field(default_factory=list)  # in which its figures may stand instead
    words: list[tuple[str, str, str]] = field(default_factory=list)  # name of the box, word, value
    choices: tuple[tuple[str, str], ...] = ()

    @property
    def letters(self) -> str:
        return self.match.letters


@dataclass
class Same:
    """A value that every row has, for a column that the spreadsheet lacks."""

    column: Column
    text: str


def match(request, token: str):
    """Shows how a spreadsheet's columns would be read; keeps it once it is right."""
    kept = kept_or_404(request, token)
    given = request.POST if request.method == "POST" else request.GET
    try:
        with kept.opened() as book:
            proposal = _proposal(book, given)
            choices = _choices(book, proposal, given)
            grids = book.sheet_names
    except WorkbookRefused as refused:
        context = {"kept": kept, "reason": str(refused), "section": "workbook"}
        return render(request, "config/workbook/refused.html", context)
    same = _same(proposal.sheet, choices, given)
    name = " ".join(given.get("name", "").split()) or f"{kept.name}, {proposal.sheet.name}"[:80]
    errors: list[str] = []
    if request.method == "POST" and "save" in request.POST:
        layout = _layout(proposal, choices, same)
        errors = _problems(layout, proposal.sheet, name)
        if not errors:
            kept.matched(_remember(name, layout, request.user).pk)
            return redirect("workbook_plan", kept.token)
    return render(
        request,
        "config/workbook/match.html",
        {
            "kept": kept,
            "proposal": proposal,
            "grids": grids,
            "sheets": [sheet.name for sheet in MATCHED],
            "choices": choices,
            "same": same,
            "name": name,
            "errors": errors,
            "section": "workbook",
        },
    )


def _proposal(book: Book, given) -> Proposal:
    """The likeliest reading of the chosen sheet, or of the one that fits best."""
    grid = given.get("grid")
    sheet = next((s for s in MATCHED if s.name == given.get("sheet")), None)
    if grid in book.sheet_names and sheet is not None:
        return propose(book, grid, sheet)
    found = best_proposals(book, MATCHED)
    if grid in book.sheet_names:
        found = [proposal for proposal in found if proposal.grid == grid]
    if found:
        return max(found, key=lambda proposal: proposal.score)
    return propose(book, book.sheet_names[0], sheet or MATCHED[0])


def _choices(book: Book, proposal: Proposal, given) -> list[Choice]:
    """The columns of the spreadsheet as the person has them, or else as proposed."""
    values = values_below(book, proposal)
    chosen_before = given.get("seen") == f"{proposal.grid}/{proposal.sheet.name}"
    found = []
    for match in proposal.matches:
        letters = match.letters
        name = given.get(f"field-{letters}", "") if chosen_before else match.field
        column = proposal.sheet.by_field.get(name)
        unit = given.get(f"unit-{letters}", "") if chosen_before else match.unit
        choice = Choice(match, name if column else "", unit if column else "")
        if column is not None and column.unit:
            choice.own_unit = column.unit
            choice.units = [
                unit
                for unit in UNITS
                if convertible(unit, column.unit) and not same_unit(unit, column.unit)
            ]
        if column is not None and column.kind is Kind.CHOICE:
            choice.choices = column.choices
            choice.words = _words(values[letters], column, letters, given)
        found.append(choice)
    return found


def _words(values: list, column: Column, letters: str, given) -> list[tuple[str, str, str]]:
    """Words found that are none of the column's own, each with what it is taken for."""
    parse, guessed = parser_for(column), translations(values, column)
    found = []
    for word in dict.fromkeys(str(value) for value in values if value is not None):
        try:
            parse(word)
        except CellRefused:
            box = f"word-{letters}-{len(found)}"
            before = given.get(f"{box}-of") == word
            found.append((box, word, given.get(box, "") if before else guessed.get(word, "")))
    return found[:MOST_WORDS]


def _same(sheet: Sheet, choices: list[Choice], given) -> list[Same]:
    """Columns that have to be filled in and stand in no column of the spreadsheet."""
    taken = {choice.field for choice in choices}
    return [
        Same(column, given.get(f"same-{column.field}", ""))
        for column in sheet.columns
        if not column.info and column.field not in taken
    ]


def _layout(proposal: Proposal, choices: list[Choice], same: list[Same]) -> Layout:
    return Layout(
        proposal.sheet.name,
        proposal.grid,
        tuple(
            Source(
                choice.match.heading,
                choice.field,
                choice.unit,
                tuple((word, value) for _, word, value in choice.words if value),
            )
            for choice in choices
            if choice.field
        ),
        proposal.heading_rows,
        tuple((one.column.field, one.text.strip()) for one in same if one.text.strip()),
    )


def _problems(layout: Layout, sheet: Sheet, name: str) -> list[str]:
    found = layout.problems(sheet)
    for field_name, text in layout.fixed:
        column = sheet.by_field[field_name]
        try:
            parser_for(column)(text)
        except CellRefused as problem:
            found.append(f"{column.heading}: {problem}")
    if len(name) > 80:
        found.append("Give the matching a name of at most 80 characters.")
    return found


def _remember(name: str, layout: Layout, user) -> Matching:
    about = {"layout": layout.as_data(), "made_by": name_of(user), "made_at": timezone.now()}
    return Matching.objects.update_or_create(name=name, defaults=about)[0]
