"""The one font family that converted SVG text may use. Takes a scratch folder, gives a fontconfig set-up in it.

Text must not change with the fonts of the machine: fontconfig gets a configuration that knows only the packaged font, so
every family is drawn with it. Must run before the drawing library meets fontconfig in this process.
"""

import os
from pathlib import Path
from xml.sax.saxutils import escape

import font_source_sans_pro

FAMILY = "Source Sans Pro"


def only_our_fonts(scratch: Path) -> None:
    """Points this process's fontconfig at the packaged font alone; writes its configuration into ``scratch``."""
    fonts = Path(font_source_sans_pro.__file__).parent / "files"
    config = scratch / "fonts.conf"
    config.write_text(
        '<?xml version="1.0"?>\n<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">\n<fontconfig>\n'
        f"<dir>{escape(str(fonts))}</dir>\n<cachedir>{escape(str(scratch / 'font-cache'))}</cachedir>\n"
        "<selectfont><rejectfont><glob>*.otf</glob></rejectfont></selectfont>\n</fontconfig>\n",
        encoding="utf-8",
    )
    os.environ["FONTCONFIG_FILE"] = str(config)
