"""Reading and writing workbooks against declared columns.

Knows no model: a row is a dict of plain values by field name, both ways. The parts:

``columns``   what a sheet holds: one ``Sheet`` of ``Column`` declarations
``writing``   declared sheets and their rows into an .xlsx file
``opening``   an uploaded file into a ``Book`` of grids, or a ``WorkbookRefused``
``reading``   a grid into rows of values against a declared sheet, with refusals
``planning``  rows against what the register holds: new, changed, same, refused, conflict
``matching``  a railway's own headings against a declared sheet
``annotating``  a copy of the uploaded workbook with a note on each refused cell
"""
