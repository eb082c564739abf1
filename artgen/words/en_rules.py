"""English words about the rules: titles, what each finds, why it matters, what to do, what its numbers are.

A rule's block is rule.NAME (title), finds.NAME, why.NAME, do.NAME, and number.NAME.NUMBER for each of its numbers.
`artgen rules` and docs/checks.md are made of these.
"""

RULES = {
    "family.fit": "Does it fit",
    "family.text": "Text",
    "family.cut": "What must not be cut",
    "family.image": "Images and lines",
    "family.colour": "Colour and ink",
    "family.across": "Across panels",
    "family.file": "The file",
    "audience.client": "for the client and the shop",
    "audience.shop": "for the shop alone",
    "severity.off": "off",
    "rules.by": " (in the shop's {file})",
    "rules.shop-only": " (shop only)",
    "rules.shared": "Numbers that several rules share: [checks.all]",
    "rules.more": "artgen rules RULE explains one: why it matters, what to do, its numbers, how to change or silence it.",
    "rules.severity": "{severity} at worst, {audience}. Family: {family}.",
    "rules.off": "off unless switched on, then {severity}",
    "rules.finds": "Finds",
    "rules.why": "Why",
    "rules.do": "Do",
    "rules.numbers": "Numbers",
    "rules.change": "To change it, in order.toml, or for all orders in the shop's {file}:",
    "rules.or": "   # or {others}",
    "rules.silence": "To silence a finding of it that is as it should be, in order.toml:",
    "rules.or-area": '   # or area = ["x", "y", "width", "height"], as reports give the place',
    "rules.reason": "   # every report shows it",
    "rules.art": "   # first digits of the file's SHA-256, which the report gives: the silence lapses when the art changes",
    "number.all.over": "ink farther past a line than this is over it",
    # does it fit
    "rule.art-missing": "artwork missing",
    "finds.art-missing": "a panel that needs art and has none; a named file or page that is not there",
    "why.art-missing": "Without art there is nothing to print for that panel.",
    "do.art-missing": "Send the file, with “panel-” and the panel's number in its name, or name it in the order.",
    "rule.art-ambiguous": "two files for one panel",
    "finds.art-ambiguous": "two or more files whose names claim one panel",
    "why.art-ambiguous": "Nobody but its sender knows which of them counts, so none is read.",
    "do.art-ambiguous": "Keep the one that counts in art/, or name it in the order.",
    "rule.art-extra": "file not used",
    "finds.art-extra": "files that no panel takes",
    "why.art-extra": "A file that nobody takes may be a panel's art under a wrong name.",
    "do.art-extra": "If it is meant for a panel, put “panel-” and its number into the file's name; else leave it.",
    "rule.page-wrong-size": "page of the wrong size",
    "finds.page-wrong-size": (
        "a page that fits no size of its panel at any usual scale, or only the frame size; a warning where a page "
        "without a true size could be two of them"
    ),
    "why.page-wrong-size": (
        "Art of another size must be scaled or cut before it can be printed, and then something is lost, or the "
        "edges stay white."
    ),
    "do.page-wrong-size": "Make the page the size that the template gives.",
    "rule.page-turned": "page on its side",
    "finds.page-turned": "a page that fits only lying on its side",
    "why.page-turned": "A picture that is turned the wrong way is printed the wrong way.",
    "do.page-turned": "Look at the proof: which way up it stands there is how it will hang.",
    "rule.bleed-missing": "bleed missing",
    "finds.bleed-missing": (
        "paint that ends too soon past the fold line: an error where it ends within `least` of it, a warning where "
        "it ends short of the cut and `over_cut`, else a note; measured on paint, and a white ground needs none"
    ),
    "why.bleed-missing": (
        "The cloth turns into the frame at the fold line: where paint ends near it, bare cloth shows at the edge."
    ),
    "do.bleed-missing": "Let the ground run out to the edge of the template's page on every side.",
    "number.bleed-missing.least": "paint must go so far past the fold line",
    "number.bleed-missing.over_cut": "and should go so far past the cut",
    # text
    "rule.text-crosses-corner": "text over a corner",
    "finds.text-crosses-corner": "a word that shows on two panels of a wrap that meet at a corner",
    "why.text-crosses-corner": (
        "Half of the word stands round the corner, and bare frame goes through it: from neither side is it read."
    ),
    "do.text-crosses-corner": "Move the line on to one panel, or break it at the corner.",
    "rule.text-crosses-joint": "text over a join",
    "finds.text-crosses-joint": "a word that shows on two bays of one face",
    "why.text-crosses-joint": "Bare frame stands between the two panels, right through the word.",
    "do.text-crosses-joint": "Move the line on to one panel, or break it at the join.",
    "rule.text-crosses-seam": "text over a sewn join",
    "finds.text-crosses-seam": (
        "a word over the sewn line between two drops; a warning for capitals higher than `tall`, and for a word "
        "nearer to it than the seam clearance"
    ),
    "why.text-crosses-seam": (
        "Two pieces of cloth are sewn there: letters may meet a little shifted, and the join shows as a line."
    ),
    "do.text-crosses-seam": "Move the line clear of the join, or ask for the join at another place.",
    "number.text-crosses-seam.tall": "capitals higher than this bear a sewn join",
    "rule.text-in-tuck": "text runs into the frame",
    "finds.text-in-tuck": "a word over the fold line; a note where it lies wholly beyond it",
    "why.text-in-tuck": "What lies past the fold line is tucked into the frame: the word is cut off there.",
    "do.text-in-tuck": "Move the line inside the safe area.",
    "rule.text-outside-safe": "text close to the edge",
    "finds.text-outside-safe": "a word that shows whole, but nearer to a fold line than the safe inset",
    "why.text-outside-safe": (
        "Sewing and fitting shift the cloth by some mm, and a word so near the edge looks cramped or is cut."
    ),
    "do.text-outside-safe": "Move the line inside the safe area.",
    "rule.lettering-possible": "perhaps lettering over a line",
    "finds.lettering-possible": (
        "what looks like lettering over a fold line, corner, joint or seam, is no live text and could not be read; "
        "a note for the shop where not even single letters can be made out in it"
    ),
    "why.lettering-possible": (
        "Lettering that is part of a picture is cut as any other; what can't be read is looked at by a person."
    ),
    "do.lettering-possible": "Look at that place. If it is lettering, move it clear of the line.",
    # the file
    "rule.file-damaged": "damaged file",
    "finds.file-damaged": "a file that can't be read; a warning where it was mended while reading",
    "why.file-damaged": "What can't be read can't be printed, and what was mended may lack something.",
    "do.file-damaged": "Save the file anew from the program that made it, and send it again.",
    "rule.file-locked": "locked file",
    "finds.file-locked": "a file that needs a password",
    "why.file-locked": "A locked file can neither be checked nor printed.",
    "do.file-locked": "Save it without a password.",
    "rule.file-over-limit": "file too large to read",
    "finds.file-over-limit": "a file past a limit of memory, time or pixels",
    "why.file-over-limit": "It was not checked, so nothing is known of it.",
    "do.file-over-limit": "Send it smaller: fewer pixels, or flattened.",
    "rule.file-misnamed": "file named as another kind",
    "finds.file-misnamed": "content that is not what the name says; it is read by its content",
    "why.file-misnamed": "Another program may refuse it, or open it as something else.",
    "do.file-misnamed": "Nothing needs doing; the right name saves a question.",
}
