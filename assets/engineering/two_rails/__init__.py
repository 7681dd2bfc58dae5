"""The switch as two rails: what lies where, and how sure each answer is.

Numbers and plain facts in, frozen values out; nothing here knows of pages or tables.
"""
