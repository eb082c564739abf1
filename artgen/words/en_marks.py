"""English words of the rules that look at pixels: guides, printers' marks, bleed, codes, graphics, enlarged pictures."""

MARKS = {
    # guides left in
    "rule.guides-left-in": "template guides left in",
    "finds.guides-left-in": (
        "guides of the template in the artwork: layers and inks of their names that show, else lines in their "
        "colours where this panel's fold lines, safe area, cut and seams are. Words of the template are then not "
        "judged as the client's"
    ),
    "why.guides-left-in": "They are printed as everything else is: lines and notes stand on the finished cloth.",
    "do.guides-left-in": "Hide or delete every guide layer, then save the file again.",
    "check.guides-left-in.layers": "The template's guides are still in the artwork of {panels}, on these layers: {layers}.",
    "advice.guides-left-in.layers": "Hide or delete these layers, then save the file again.",
    "check.guides-left-in.inks": "The template's guides are still in the artwork of {panels}, in these inks: {inks}.",
    "advice.guides-left-in.inks": "Delete all that has these inks, then save the file again.",
    "check.guides-left-in.lines": "The template's lines are still in the picture of {panels}: {guides_said}.",
    "advice.guides-left-in.lines": (
        "They are part of the picture now: hide the guide layers in the file that it was made from, and save it anew."
    ),
    "guide.fold": "the fold line",
    "guide.safe": "the safe area",
    "guide.cut": "the cut",
    "guide.seam": "the sewn join",
    # crop marks
    "rule.marks-left-in": "crop marks in the artwork",
    "finds.marks-left-in": (
        "crop marks inside the art size: ticks at three corners or all four that point at one rectangle, among the "
        "thinnest lines of the file or in its picture. Marks outside the art size do no harm"
    ),
    "why.marks-left-in": (
        "They are printed on the cloth, and may show at the edge; often the page was scaled to take them in, and all "
        "else is too small."
    ),
    "do.marks-left-in": "Save the file without printers' marks, or with its page as large as the artwork and the marks outside.",
    "check.marks-left-in": (
        "There are crop marks inside the artwork of {panels}, {inset_mm} mm in from its edges at full size."
    ),
    "advice.marks-left-in": (
        "Save the file again without printers' marks. If the page was made larger for them, see that the artwork "
        "itself still has its size."
    ),
    # bleed that is not painted
    "rule.bleed-unpainted": "paint stops short of the edge",
    "finds.bleed-unpainted": (
        "paint that stops along a straight line and leaves white or nothing to the edge of a page that is large "
        "enough: an error where it stops within `least` past the fold line, a warning where it stops short of the cut "
        "and `over_cut`, else a note. White grounds, fades, keylines, stripes and white frames that show are no fault"
    ),
    "why.bleed-unpainted": (
        "The cloth turns into the frame at the fold line: where paint stops near it, a white edge shows."
    ),
    "do.bleed-unpainted": "Let the ground run out to the edge of the template's page on every side.",
    "number.bleed-unpainted.least": "paint must go so far past the fold line",
    "number.bleed-unpainted.over_cut": "and should go so far past the cut",
    "check.bleed-unpainted": (
        "The page is large enough, but the paint of panel {panel} stops {reach_mm} mm past the edge of what shows "
        "({edges}), along a straight line; {needed_mm} mm are needed, {lacks_mm} mm are blank."
    ),
    "advice.bleed-unpainted": "Let the ground run out to the page edge of the template on every side.",
    "check.bleed-unpainted.before": (
        "The page is large enough, but the paint of panel {panel} stops {reach_mm} mm before the edge of what shows "
        "({edges}), along a straight line: a blank strip stays in sight. {lacks_mm} mm are blank."
    ),
    "advice.bleed-unpainted.before": "Let the ground run out to the page edge of the template on every side.",
    # codes
    "rule.code-at-risk": "QR code or barcode at risk",
    "finds.code-at-risk": (
        "a QR code or barcode over a fold line, corner, joint, seam or area kept free, or beyond the fold line; one "
        "that looks like a QR code and does not decode; one whose quiet zone is too narrow, the frame beside the fold "
        "line counted as none. A QR code needs 4 modules on every side (ISO/IEC 18004), an EAN-13 11 on its left and 7 "
        "on its right, Code 128 and ITF-14 10, Data Matrix 1 (GS1 General Specifications; from memory), Code 39 10, "
        "PDF417 2 (common practice)"
    ),
    "why.code-at-risk": "Nobody can scan it, and nobody notices before the display stands.",
    "do.code-at-risk": "Move it on to one panel, clear of lines, and leave its ground free of everything all round.",
    "check.code-at-risk.corner": "The {code_said} runs over the corner between {panels}, by {depth_mm} mm.{code_reads}",
    "advice.code-at-risk.corner": "It can't be scanned round a corner. {way_out}",
    "check.code-at-risk.joint": "The {code_said} runs over the join between {panels}, by {depth_mm} mm.{code_reads}",
    "advice.code-at-risk.joint": "It can't be scanned across the frame. {way_out}",
    "check.code-at-risk.tuck": (
        "The {code_said} runs over the edge of what shows of panel {panel}, by {depth_mm} mm: it is cut off there.{code_reads}"
    ),
    "advice.code-at-risk.tuck": "{way_out}",
    "check.code-at-risk.beyond": (
        "The {code_said} lies wholly beyond the edge of what shows of panel {panel}: nobody will see it.{code_reads}"
    ),
    "advice.code-at-risk.beyond": "{way_out}",
    "check.code-at-risk.seam": "The {code_said} stands over the sewn join of panel {panel}, by {depth_mm} mm.{code_reads}",
    "advice.code-at-risk.seam": "A seam shifts its halves. {way_out}",
    "check.code-at-risk.keep-out": "The {code_said} of panel {panel} lies on “{name}”, by {depth_mm} mm.{code_reads}",
    "advice.code-at-risk.keep-out": "{way_out}",
    "check.code-at-risk.quiet": (
        "The {code_said} on panel {panel} has {quiet_mm} mm of free ground beside it where it needs {needs_mm} mm "
        "({needs_modules} of its modules): {lacks_mm} mm are lacking.{code_reads}"
    ),
    "advice.code-at-risk.quiet": (
        "Leave its ground plain for {needs_mm} mm at full size, or make the code smaller inside its plain ground."
    ),
    "check.code-at-risk.edge": (
        "The {code_said} stands so near to the edge of what shows of panel {panel} that {lacks_mm} mm of the {needs_mm} mm "
        "of free ground that it needs are lost in the frame.{code_reads}"
    ),
    "advice.code-at-risk.edge": "Move it {lacks_mm} mm or more away from the edge.",
    "check.code-at-risk.unread": "What looks like a {code_said} on panel {panel} can't be read at full size.",
    "advice.code-at-risk.unread": (
        "Make it anew and place it as lines, or large enough: sharp, dark on light, nothing over it, plain ground all round."
    ),
    "code.reads": " It reads “{text}”.",
    "code.QRCode": "QR code",
    "code.MicroQRCode": "Micro QR code",
    "code.DataMatrix": "Data Matrix code",
    "code.Aztec": "Aztec code",
    "code.PDF417": "PDF417 code",
    "code.other": "barcode",
    # graphics over a line
    "rule.mark-at-risk": "graphic over a line",
    "finds.mark-at-risk": (
        "a compact graphic on a plain ground, as a logo is, over a fold line, corner, joint or seam; told from the "
        "picture. Words, codes, grounds, photographs, patterns and what runs out over the edge are left out"
    ),
    "why.mark-at-risk": "A logo that is cut or bent looks like a mistake.",
    "do.mark-at-risk": "Look whether it may be cut there; else move it clear of the line.",
    "check.mark-at-risk.corner": "A graphic of about {size_mm} mm runs over the corner between {panels}, by about {depth_mm} mm.",
    "advice.mark-at-risk.corner": "If it must stay whole: {way_out}",
    "check.mark-at-risk.joint": "A graphic of about {size_mm} mm runs over the join between {panels}, by about {depth_mm} mm.",
    "advice.mark-at-risk.joint": "If it must stay whole: {way_out}",
    "check.mark-at-risk.tuck": (
        "A graphic of about {size_mm} mm runs over the edge of what shows of panel {panel}, by about {depth_mm} mm: it is cut "
        "off there."
    ),
    "advice.mark-at-risk.tuck": "If it must stay whole: {way_out}",
    "check.mark-at-risk.seam": (
        "A graphic of about {size_mm} mm stands over the sewn join of panel {panel}, by about {depth_mm} mm."
    ),
    "advice.mark-at-risk.seam": "If it must stay whole: {way_out}",
    # enlarged pictures
    "rule.image-soft": "enlarged picture",
    "finds.image-soft": (
        "a large picture with pixels enough whose finest detail is that of one with fewer than `share` of the pixels "
        "an inch that are needed; told from the picture's own spectrum, in its sharpest parts"
    ),
    "why.image-soft": "Enlarging adds pixels but no detail: it looks blurred from where it is seen.",
    "do.image-soft": "Send the picture as it was taken, or a larger one, or place it smaller.",
    "number.image-soft.share": "detail for less than this share of the pixels needed is soft",
    "check.image-soft": (
        "A picture on {panels} was enlarged: it has {has_ppi} pixels an inch at full size, but the detail of about "
        "{detail_ppi} (of a picture {detail_across} pixels wide); {needed_ppi} are needed."
    ),
    "advice.image-soft": "If there is a larger original, send that; else place it smaller, or leave it if it may be soft.",
    # black ink alone
    "rule.black-plain": "large area of black ink alone",
    "finds.black-plain": (
        "shapes of at least `least` at full size that are filled with black ink and no other, in CMYK or as the spot "
        "ink Black; told from the file's fills, so pictures are not looked at, nor what covers a shape later. Text and "
        "what overprints are left out"
    ),
    "why.black-plain": "Black ink alone looks like dark grey on cloth; lit from behind it is weaker still.",
    "do.black-plain": (
        "Ask the printer for a black of several inks and fill large areas with that; keep black alone for small text."
    ),
    "number.black-plain.least": "smaller shapes are left out",
    "check.black-plain": "{area_cm2} cm² of panel {panel} are filled with black ink alone, which looks grey on cloth.",
    "advice.black-plain": "Fill large areas with a black of several inks, as the printer advises.",
}
