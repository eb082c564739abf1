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
    "rules.more": (
        "artgen rules RULE explains one: why it matters, what to do, its numbers, how to change or silence it."
    ),
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
    "rules.art": (
        "# first digits of the file's SHA-256, which the report gives: the silence lapses when the art changes"
    ),
    "rules.none": "none",
    "rules.unset": "set by an order or a shop",
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
    "finds.page-turned": (
        "a page that fits only lying on its side; a warning where live words run upside down once the panel hangs"
    ),
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
    "number.page-turned.share": "more than this share of the letters must be upside down",
    "number.page-turned.letters": "and at least so many letters",
    "rule.art-repeated": "the same picture twice",
    "finds.art-repeated": (
        "the same picture, pixel for pixel, on two panels from two files or pages; plain colours and pages that the "
        "order lays on several panels are left out"
    ),
    "why.art-repeated": "A file saved twice under two numbers leaves one panel without its own picture.",
    "do.art-repeated": (
        "If both panels are to show the same, leave it, or name one file for both in the order; else send the right "
        "file."
    ),
    "rule.boxes-disagree": "page boxes that disagree",
    "finds.boxes-disagree": (
        "page boxes of a PDF that place the art differently, or of which one is not heeded because it sticks out of "
        "the box around it (ISO 32000-1 14.11.2)"
    ),
    "why.boxes-disagree": "Another program goes by another box, and the picture then lies shifted on the cloth.",
    "do.boxes-disagree": "Save it anew with the trim box as the cut, or with no boxes but the page.",
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
    "finds.text-in-tuck": (
        "a word over the fold line, or one past it, even off the page, whose line goes on inside; a note where all of a "
        "line lies beyond"
    ),
    "why.text-in-tuck": "What lies past the fold line is tucked into the frame: the word is cut off there.",
    "do.text-in-tuck": "Move the line inside the safe area.",
    "rule.text-outside-safe": "text close to the edge",
    "finds.text-outside-safe": "a word that shows whole, but nearer to a fold line than the safe inset",
    "why.text-outside-safe": (
        "Sewing and fitting shift the cloth by some mm, and a word so near the edge looks cramped or is cut."
    ),
    "do.text-outside-safe": "Move the line inside the safe area.",
    "rule.text-in-shadow": "text in a shadow",
    "finds.text-in-shadow": "a word where hardware stands between lamp and cloth of a lit structure",
    "why.text-in-shadow": "A dark band lies over the word when the lamps are on.",
    "do.text-in-shadow": "Move the line out of the hatched band of the template.",
    "rule.text-in-keep-out": "text where nothing may stand",
    "finds.text-in-keep-out": "a word in an area that the order keeps free, such as a screen or a cable's way out",
    "why.text-in-keep-out": "Something stands before the cloth there, or the cloth is cut out.",
    "do.text-in-keep-out": "Move the line out of the hatched area of the template.",
    "rule.text-too-small": "small text",
    "finds.text-too-small": (
        "capitals lower than the reading distance asks, one note a panel: the heights of ADA 2010 Standards 703.5.5 "
        "as advice, by how high the words stand; on faces that lean the height that a reader sees. Words lower than "
        "40 in have no row there and are not judged"
    ),
    "why.text-too-small": "Who stands at the reading distance can't read it with ease.",
    "do.text-too-small": "Set it larger if it is to be read from there; captions that are read close up may stay.",
    "number.text-too-small.slope": "more height of capitals, beyond each row's distance",
    "rule.text-against-upright": "text askew",
    "finds.text-against-upright": (
        "words that are neither level nor upright when the panel hangs, one note a panel; words turned by 90° are a "
        "choice, and on a level face there is no up"
    ),
    "why.text-against-upright": "A panel that hangs on a tip turns what was set level on its page.",
    "do.text-against-upright": "If it is not meant so, set it level on the reading-way template.",
    "number.text-against-upright.within": "so far off level or upright is taken as straight",
    "rule.text-unseen": "text that nobody sees",
    "finds.text-unseen": (
        "live text that paints nothing, is covered or cut off, or has the colour of its ground; one note a panel "
        "and reason"
    ),
    "why.text-unseen": "It is either left over, or something lies over words that should show.",
    "do.text-unseen": (
        "Look at the proof: if the words are missed there, bring them to the front or change their colour; else "
        "delete them."
    ),
    "rule.font-not-embedded": "font missing",
    "finds.font-not-embedded": "text whose font is not in the file",
    "why.font-not-embedded": "Another font stands in, with other letters and other widths: lines break elsewhere.",
    "do.font-not-embedded": "Embed all fonts when saving, or turn the text to outlines.",
    "rule.lettering-possible": "perhaps lettering over a line",
    "finds.lettering-possible": (
        "what looks like lettering over a fold line, corner, joint or seam, is no live text and could not be read; "
        "a note for the shop where not even single letters can be made out in it"
    ),
    "why.lettering-possible": (
        "Lettering that is part of a picture is cut as any other; what can't be read is looked at by a person."
    ),
    "do.lettering-possible": "Look at that place. If it is lettering, move it clear of the line.",
    # images and lines
    "rule.image-coarse": "coarse image",
    "finds.image-coarse": (
        "an image with fewer pixels an inch at full size than a reader at the reading distance can tell: `acuity` "
        "over the distance in metres, at least `floor_ppi`, at most `most_ppi`; an error under `error_ppi`. Images "
        "under `small` are left out; soft ones, as shadows and glows, are a note for the shop"
    ),
    "why.image-coarse": "Enlarged so much it looks blurred, or its pixels show.",
    "do.image-coarse": (
        "Send the picture with more pixels, or place it smaller. Enlarging it in a program adds pixels but no detail."
    ),
    "number.image-coarse.floor_ppi": "needed however far away it is read",
    "number.image-coarse.most_ppi": "enough however near it is read",
    "number.image-coarse.acuity": "what a reader can tell: divided by the distance in metres",
    "number.image-coarse.error_ppi": "under this it is an error",
    "number.image-coarse.small": "images whose longer side is under this are left out",
    "rule.image-broken": "broken image",
    "finds.image-broken": "an image inside a file that can't be decoded, or lacks data",
    "why.image-broken": "It is printed in part, black, or not at all.",
    "do.image-broken": "Place the image anew from its own file, save, and send again.",
    "rule.reference-missing": "linked file missing",
    "finds.reference-missing": "a file that refers to another one, which did not come; nothing is ever fetched",
    "why.reference-missing": "What is linked is not in the file: there is a hole in the picture.",
    "do.reference-missing": "Embed all images when saving, and send the file again.",
    "rule.line-too-thin": "thin lines",
    "finds.line-too-thin": (
        "strokes, and slivers of fills, thinner than `least` at full size; one finding a panel. Steps of a shade "
        "and dots are left out"
    ),
    "why.line-too-thin": "Cloth does not hold lines so fine: they break up or vanish.",
    "do.line-too-thin": "Make them at least that wide at full size; on a page at 1:10 that is a tenth of it.",
    "number.line-too-thin.least": "lines must be so wide at full size",
    # colour and ink
    "rule.colour-space": "RGB without a colour profile",
    "finds.colour-space": (
        "RGB in a PDF or raster that names no colour profile; of SVGs it is sRGB by their standard, and an RGB "
        "output intent tells it of a PDF"
    ),
    "why.colour-space": "Bare RGB numbers say nothing of the colour that is meant, and each program guesses another.",
    "do.colour-space": "Ask which colours it was made in (mostly sRGB), assign that profile, and look at the proof.",
    "rule.black-built": "small text of several inks",
    "finds.black-built": (
        "text smaller than `small` (font size at full size) that is built of black and other inks, `inks` or more "
        "in all"
    ),
    "why.black-built": "Where the inks don't fall exactly on one another, small letters get coloured edges.",
    "do.black-built": "Set small dark text in black alone.",
    "number.black-built.inks": "so many inks are several",
    "number.black-built.small": "text under this font size is small",
    "rule.spot-colour": "named inks",
    "finds.spot-colour": (
        "named inks, and two names that look like one ink's; a warning for inks that are not among those that the "
        "order allows"
    ),
    "why.spot-colour": (
        "Cloth is printed in process inks: a named ink is built of them, and may come out another colour than in "
        "the swatch book."
    ),
    "do.spot-colour": "Say how close it must be, and ask for a printed sample; use one name for one ink.",
    "number.spot-colour.allowed": "inks that may be in the art; while there are none, every ink is a note",
    "rule.overprint-white": "white set to overprint",
    "finds.overprint-white": "white that is set to overprint",
    "why.overprint-white": "White ink that overprints paints nothing: a screen shows it, the print does not.",
    "do.overprint-white": "Switch overprint off for everything white.",
    "rule.transparency-space": "transparency that blends in RGB",
    "finds.transparency-space": "transparency that blends in RGB in art that is in CMYK",
    "why.transparency-space": (
        "What lies under shadows and glows is taken to RGB and back: its colours shift, and black becomes four inks."
    ),
    "do.transparency-space": (
        "Set the document's blend space to CMYK and save again, or look at the colours of the proof."
    ),
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
    "rule.file-has-extras": "more than a picture in the file",
    "finds.file-has-extras": "scripts, attachments, form fields, comments, media, and pages that no panel takes",
    "why.file-has-extras": "None of it is printed; a comment may hold a wish, and another page a panel's art.",
    "do.file-has-extras": "Read the comments. If a page is meant for a panel, name file and page in the order.",
    "rule.layer-hidden": "hidden layers",
    "finds.layer-hidden": (
        "content on layers that are off, or that a screen shows and a printer does not; guides of our templates are "
        "left out"
    ),
    "why.layer-hidden": "What is on a hidden layer is not printed, and may have been hidden by mistake.",
    "do.layer-hidden": "Show the layer if it belongs to the picture, or delete it.",
    "rule.file-changed": "changed since it was approved",
    "finds.file-changed": "a file whose bytes differ from those that were approved",
    "why.file-changed": "What would be printed is not what was signed.",
    "do.file-changed": "Put the approved file back, or make a new proof and have it approved.",
}
