"""English words of the report: what it says beside the findings, and what could not be examined."""

REPORT = {
    "progress.reading": "reading files: {n} of {of}",
    "progress.looking": "looking at pages: {n} of {of}",
    # what could not be examined, and why
    "unseen.limits": "limits",
    "unseen.listing": "whether there is artwork for panel {panels}",
    "unseen.listing.why": "none was found, but art/ could not be listed in full",
    "unseen.ambiguous": "each claims panel {panel}, so none was read",
    "unseen.outside": "not read, since it lies outside the file: {item}",
    "unseen.beside.script": "{file}: scripts, which are not run",
    "unseen.beside.attachment": "{file}: attached files, which are not opened",
    "unseen.beside.form-field": "{file}: form fields, which are not drawn",
    "unseen.beside.comment": "{file}: comments, which are not drawn",
    "unseen.beside.link": "{file}: links out of it, which are not followed",
    "unseen.beside.media": "{file}: media, which are not played",
    "unseen.beside.action": "{file}: actions, which are not done",
    "unseen.more": "and {count} more",
    "unseen.fonts": "{file}: its lettering in {fonts}",
    "unseen.fonts.why": "the font did not come with it; a stand-in was drawn",
    "unseen.pages": "{file}: page {pages}",
    "unseen.pages.why": "no panel takes it",
    "unseen.pixels": "{file}: text in its pixels",
    "unseen.lettering": "text turned to outlines or flattened into pixels, in all artwork",
    "unseen.lettering.why": "artgen[reading] is not installed, so only live text was found: look at the proof",
    "unseen.lettering.some": "some text turned to outlines or flattened into pixels",
    "unseen.lettering.some.why": (
        "it was looked for in all artwork, but letters under about {mm} mm (their em), letters that differ from their ground by "
        "less than {contrast} of 255 levels, and lone letters are missed: look at the proof"
    ),
}
