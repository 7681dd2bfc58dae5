"""Reading      ``opening`` an upload into ``grids`` (``safety``, ``package``, ``rows``,
             ``delimited``); ``reading`` a grid into rows of values, by its ``headings`` or by a
             kept ``layout`` (``understanding``, ``merging``, ``cells``, ``dates``)
Planning     ``planning``: new, changed, same, refused, conflict
Matching     ``matching``: a railway's own headings against a declared sheet
Giving back  ``annotating``: a copy of the upload with a note on each refused cell

``writing`` and ``annotating`` load openpyxl, and that loads numpy; the rest needs neither.
"""
