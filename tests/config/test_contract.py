"""What people keep outside the program stays as it is: addresses (phones keep them, labels carry
them) and the sheets and columns of workbooks that are filled in at home.

What was delivered is written line by line in ``contract/``. Whoever changes it on purpose changes
the line there too, and thinks of the workbooks and phones that still have the old one.
"""

from difflib import unified_diff
from io import BytesIO
from pathlib import Path

from django.urls import URLPattern, get_resolver, reverse
from openpyxl import load_workbook

from tests import builders


def what_differs(name: str, are: list[str]) -> str:
    """Lines gone, new or out of order, against the file in ``contract/``; "" if none."""
    were = (Path(__file__).parent / "contract" / name).read_text(encoding="utf-8").splitlines()
    return "\n".join(unified_diff(were, are, "as delivered", "now", n=0, lineterm=""))


def addresses(resolver=None, namespace: str = "", path: str = "/") -> list[str]:
    """Every named address with the pattern of its path; those of the admin are Django's."""
    found = []
    for one in (resolver or get_resolver()).url_patterns:
        whole = path + str(one.pattern)
        if isinstance(one, URLPattern):
            found.append(f"{namespace}{one.name} {whole}")
        elif one.namespace != "admin":
            inner = f"{namespace}{one.namespace}:" if one.namespace else namespace
            found += addresses(one, inner, whole)
    return found


def test_every_address_is_as_it_was_delivered():
    assert what_differs("addresses.txt", sorted(addresses())) == ""


def test_no_address_hides_another_of_the_same_path():
    paths = [line.split(" ")[1] for line in addresses()]
    assert sorted(paths) == sorted(set(paths))


def given(client, name: str, *arguments, query: str = ""):
    """The pages of a workbook as the program gives it to a browser."""
    answer = client.get(reverse(name, args=arguments) + query)
    assert answer.status_code == 200
    content = b"".join(answer.streaming_content) if answer.streaming else answer.content
    return load_workbook(BytesIO(content)).worksheets


def across(page, row: int) -> list[str]:
    return [str(cell.value) for cell in page[row] if cell.value is not None]


def down(page, letter: str, first: int, last: int) -> list[str]:
    return [str(page[f"{letter}{row}"].value) for row in range(first, last + 1)]


def test_every_sheet_and_its_columns_are_as_they_were_delivered(as_technician):
    points = builders.make_rigged_points("12")
    lines = []

    def note(book: str, page, headings: list[str]) -> None:
        lines.extend(f"{book} / {page.title} / {heading}" for heading in headings)

    explaining, *register, choices = given(as_technician, "workbook_save")
    note("register", explaining, [""])
    for page in register:
        note("register", page, across(page, 1))
    note("register", choices, [""])
    for page in given(as_technician, "workbook_visit_sheet", query=f"?points={points.pk}"):
        note("visit sheet", page, [*down(page, "A", 3, 8), *across(page, 10)])
    for department in ("signalling", "permanent_way"):
        explaining, page, choices = given(as_technician, "defects:queue_workbook", department)
        note("department's list", explaining, [""])
        note("department's list", page, across(page, 1))
        note("department's list", choices, [""])
    for page in given(as_technician, "assets:spares_table_workbook"):
        note("spares", page, [*down(page, "C", 1, 5), *across(page, 6)])
    assert what_differs("sheets.txt", [line.rstrip() for line in lines]) == ""
