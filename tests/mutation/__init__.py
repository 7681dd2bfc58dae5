"""Does a test notice when the arithmetic or the evidence rule is made wrong on purpose?"""
