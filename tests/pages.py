"""Pages as a browser lays them out: white space that it would not draw is left out."""

import re

BLOCKS = (
    "blockquote|caption|dd|details|div|dl|dt|fieldset|figcaption|figure|form|h1|h2|h3|legend|li|"
    "ol|p|section|summary|table|tbody|td|th|thead|tr|ul"
)


def shown(response) -> str:
    """The markup of a page: runs of white space are one space, and there is none beside blocks."""
    text = " ".join(response.content.decode().split())
    return re.sub(rf" ?(</?(?:{BLOCKS})\b[^>]*>) ?", r"\1", text)
