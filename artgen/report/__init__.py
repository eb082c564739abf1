"""A job to what people read of it: the terminal's text, JSON for programs, one HTML page.

Each comes whole for the shop, or as a client's copy, which leaves out what only the shop must know and says the rest plainly.
Nothing is printed or written here.
"""

from .data import as_json
from .items import COPIES, Copy
from .page import as_html
from .text import as_text

__all__ = ["COPIES", "Copy", "as_html", "as_json", "as_text"]
