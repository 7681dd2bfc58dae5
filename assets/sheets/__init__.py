"""Sheets of the workbook, each bound to the model that holds its rows.

``columns``       a column declared from a model's field, and how rows are named in other sheets
``model_sheets``  a sheet whose rows are the rows of one model
``writing``       rows into the database, as many at a time as it takes
``changed_since`` how rows stood when a workbook was written
``happenings``    rows entered along one line of time
``loading``       a whole workbook, planned by doing it and kept only if all of it may be
"""
