"""Reading and writing workbooks against declared columns.

Knows no model: a row is a dict of plain values by field name, both ways.

Declaring    ``columns``: one ``Sheet`` of ``Column`` declarations
Writing      ``writing`` the .xlsx file, with the words of ``explaining``
Reading      ``opening`` an upload into ``grids`` (``safety``, ``package``, ``rows``,
             ``delimited``); ``reading`` a grid into rows of values, by its ``headings`` or by a kept ``layout``
             (``understanding``, ``merging``, ``cells``, ``measures``, ``dates``)
Planning     ``planning``: new, changed, same, refused, conflict
Matching     ``matching``: a railway's own headings against a declared sheet
Giving back  ``annotating``: a copy of the upload with a note on each refused cell

``writing`` and ``annotating`` load openpyxl, and that loads numpy; the rest needs neither.
"""
