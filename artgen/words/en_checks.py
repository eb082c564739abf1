"""English sentences of findings: what is wrong, by how much, what to do."""

CHECKS = {
    "panels.one": "panel {numbers}",
    "panels.many": "panels {numbers}",
    "panels.and": "{first} and {last}",
    "check.art-missing": "There is no artwork for panel {panel}.",
    "advice.art-missing": "Send a file whose name holds “panel-{panel}”, or name the file in the order.",
    "check.art-missing.no-file": "The order names {file} for {panels}, but there is no such file.",
    "advice.art-missing.no-file": "Put the file into the art folder, or correct its name in the order.",
    "check.art-missing.no-page": "The order asks for page {page} of {file}, which has {pages}.",
    "advice.art-missing.no-page": "Correct the page in the order, or send the whole file.",
    "check.art-ambiguous": "More than one file claims panel {panel}: {files}.",
    "advice.art-ambiguous": "Keep the one that counts, or name it in the order.",
    "check.art-extra": "No panel takes {file}.",
    "advice.art-extra": "If it is meant for a panel, put “panel-” and the panel's number into its name.",
    "check.page-wrong-size.frame": (
        "The page is as large as the frame ({full_mm} mm at full size), not as the artwork must be ({wanted_mm} "
        "mm): it is {short} mm a side short, so there is no bleed."
    ),
    "advice.page-wrong-size.frame": (
        "Make the page {wanted_mm} mm at full size, keep everything where it is, and let the ground run out to the "
        "new edges."
    ),
    "check.page-wrong-size.nothing": (
        "The page is {page_mm} mm, which is no size of {panels} at any usual scale; {wanted_mm} mm at full size is "
        "wanted."
    ),
    "advice.page-wrong-size.nothing": "Make it again on the template. Of this file, {fill}.",
    "check.page-wrong-size.other": (
        "The page is {page_mm} mm, which is no size of {panels} at any usual scale, but just right for {others}."
    ),
    "advice.page-wrong-size.other": "Look whether two files were mixed up, or the number in this one's name is wrong.",
    "check.page-wrong-size.assumed": (
        "The page's size does not tell whether it was made as {taken} size or {instead} size; {taken} size was taken."
    ),
    "advice.page-wrong-size.assumed": "Say which it is, or save it with its true size.",
    "check.page-turned": "The page lies on its side; it was turned by {turn_deg}° for {panels}.",
    "advice.page-turned": "Look at the proof: is that the right way up?",
    "check.bleed-missing": (
        "The paint ends {reach_mm} mm past the edge of what shows of panel {panel} ({edges}); {needed_mm} mm are "
        "needed."
    ),
    "advice.bleed-missing": "Let the ground run out to the page edge of the template on every side.",
    "check.text-crosses-corner": "“{text}” runs over the corner between {panels}, by {depth_mm} mm.",
    "advice.text-crosses-corner": "{way_out}",
    "check.text-crosses-corner.doubt": (
        "“{text}” may run over the corner between {panels}, by up to {depth_mm} mm: where its letters end can't be "
        "told."
    ),
    "advice.text-crosses-corner.doubt": "Look at it closely. {way_out}",
    "check.text-crosses-joint": "“{text}” runs over the join between {panels}, by {depth_mm} mm.",
    "advice.text-crosses-joint": "{way_out}",
    "check.text-crosses-joint.doubt": (
        "“{text}” may run over the join between {panels}, by up to {depth_mm} mm: where its letters end can't be told."
    ),
    "advice.text-crosses-joint.doubt": "Look at it closely. {way_out}",
    "check.text-crosses-seam": "“{text}” stands over the sewn join of panel {panel}, by {depth_mm} mm.",
    "advice.text-crosses-seam": (
        "{way_out} Or ask for the join elsewhere: it stands {seam_at_mm} mm from the start of the full-size page, "
        "and may stand anywhere from {seam_low} to {seam_high} mm."
    ),
    "check.text-crosses-seam.doubt": (
        "“{text}” may stand over the sewn join of panel {panel}, by up to {depth_mm} mm: where its letters end "
        "can't be told."
    ),
    "advice.text-crosses-seam.doubt": "Look at it closely. {way_out}",
    "check.text-crosses-seam.tall": "“{text}” stands over the sewn join of panel {panel}; letters this large bear it.",
    "advice.text-crosses-seam.tall": "Look at it. {way_out}",
    "check.text-crosses-seam.near": "“{text}” stands {depth_mm} mm from the sewn join of panel {panel}.",
    "advice.text-crosses-seam.near": "{way_out}",
    "check.text-in-tuck": (
        "“{text}” runs over the edge of what shows of panel {panel}, by {depth_mm} mm: it is cut off there."
    ),
    "advice.text-in-tuck": "{way_out}",
    "check.text-in-tuck.doubt": (
        "“{text}” may run over the edge of what shows of panel {panel}, by up to {depth_mm} mm: where its letters "
        "end can't be told."
    ),
    "advice.text-in-tuck.doubt": "Look at it closely. {way_out}",
    "check.text-in-tuck.beyond": (
        "“{text}” lies wholly beyond the edge of what shows of panel {panel}: nobody will see it."
    ),
    "advice.text-in-tuck.beyond": "Leave it if it need not be read. {way_out}",
    "check.text-outside-safe": "“{text}” stands {depth_mm} mm too near to the edge of what shows of panel {panel}.",
    "advice.text-outside-safe": "{way_out}",
    "check.lettering-possible.corner": (
        "What looks like lettering runs over the corner between {panels}, by {depth_mm} mm."
    ),
    "advice.lettering-possible.corner": "Look whether it is lettering. {way_out}",
    "check.lettering-possible.joint": (
        "What looks like lettering runs over the join between {panels}, by {depth_mm} mm."
    ),
    "advice.lettering-possible.joint": "Look whether it is lettering. {way_out}",
    "check.lettering-possible.seam": (
        "What looks like lettering stands over the sewn join of panel {panel}, by {depth_mm} mm."
    ),
    "advice.lettering-possible.seam": "Look whether it is lettering. {way_out}",
    "check.lettering-possible.tuck": (
        "What looks like lettering runs over the edge of what shows of panel {panel}, by {depth_mm} mm."
    ),
    "advice.lettering-possible.tuck": "Look whether it is lettering. {way_out}",
    "check.file-damaged": "{file} can't be read: {detail}.",
    "advice.file-damaged": "Send it again, saved anew from the program that made it.",
    "check.file-damaged.repaired": "{file} is damaged ({detail}); it was read as far as it goes.",
    "advice.file-damaged.repaired": "Look at the proof closely, or send it again, saved anew.",
    "check.file-locked": "{file} is locked with a password.",
    "advice.file-locked": "Send it without a password.",
    "check.file-over-limit": "{file} is too large to read: {detail}.",
    "advice.file-over-limit": "Send it smaller: fewer pixels, or flattened.",
    "check.file-misnamed": "{file} is named as {named} but is {is}; it was read as what it is.",
    "advice.file-misnamed": "Nothing needs doing; the right name saves a question.",
    "way-out.move": "Move it {move}, with what it would run into.",
    "way-out.line": "Move the whole line “{line}” {move}, with what it would run into.",
    "way-out.broken": (
        "The whole line finds no safe place at its size: make it {percent} % of that, or break it. “{text}” must go "
        "{move}."
    ),
    "way-out.broken-only": "The whole line finds no safe place: break it. “{text}” must go {move}.",
    "way-out.shrink": (
        "It is too large for any safe place: make it {percent} % of its size, or break it into two lines."
    ),
    "way-out.none": "There is no safe place for it here.",
    "way.scaled": "{full} at full size ({on_page} on the 1:{scale} page)",
    "way.left": "{mm} mm left",
    "way.right": "{mm} mm right",
    "way.up": "{mm} mm up",
    "way.down": "{mm} mm down",
    "way.and": "{first} and {second}",
    "edges.all": "on every side",
    "check.art-repeated": "The same picture is on {panels}: {files}.",
    "advice.art-repeated": "If that is meant, leave it; else send the other picture.",
    "check.boxes-disagree": (
        "The {page_box} box of the page places the artwork {apart_mm} mm from where its other boxes place it."
    ),
    "advice.boxes-disagree": (
        "Look at the proof, then save the file with one set of boxes: the trim box is the cut, the page is the page "
        "size."
    ),
    "check.boxes-disagree.nested": (
        "The page's boxes are nested wrongly ({nested_wrongly}): going by the {page_box} box the artwork lies {apart_mm} "
        "mm elsewhere."
    ),
    "advice.boxes-disagree.nested": (
        "Look at the proof, then save the file with one set of boxes: the trim box is the cut, the page is the page "
        "size."
    ),
    "check.page-turned.upside-down": (
        "The words of {panels} run upside down: {upside_down} of {letters} letters stand on their heads."
    ),
    "advice.page-turned.upside-down": "Turn the page by 180°, or write turn = {then_deg} for this file in the order.",
    "check.text-in-shadow": "“{text}” stands in the shadow of the {name} of panel {panel}, by {depth_mm} mm.",
    "advice.text-in-shadow": "{way_out}",
    "check.text-in-keep-out": "“{text}” stands where nothing may stand on panel {panel} ({name}), by {depth_mm} mm.",
    "advice.text-in-keep-out": "{way_out}",
    "check.text-in-keep-out.doubt": (
        "“{text}” may stand where nothing may stand on panel {panel} ({name}), by up to {depth_mm} mm: where its "
        "letters end can't be told."
    ),
    "advice.text-in-keep-out.doubt": "Look at it closely. {way_out}",
    "check.lettering-possible.keep-out": (
        "What looks like lettering stands where nothing may stand on panel {panel} ({name}), by {depth_mm} mm."
    ),
    "advice.lettering-possible.keep-out": "Look whether it is lettering. {way_out}",
    "check.text-too-small": (
        "“{text}” has capitals of {capital_mm} mm, {height_m} m above the floor; to be read from {reading_m} m "
        "away, {needed_mm} mm are advised.{more_words}"
    ),
    "advice.text-too-small": (
        "Set it {enlarge} times as large if it is to be read from there (advice after ADA 2010 703.5.5, no "
        "requirement)."
    ),
    "check.text-too-small.tilted": (
        "“{text}” has capitals of {capital_mm} mm, {height_m} m above the floor, of which a reader {reading_m} m "
        "away sees {seen_mm} mm on this leaning side; {needed_mm} mm are advised.{more_words}"
    ),
    "advice.text-too-small.tilted": (
        "Set it {enlarge} times as large if it is to be read from there (advice after ADA 2010 703.5.5, no "
        "requirement)."
    ),
    "check.text-against-upright": "“{text}” stands {angle_deg}° askew once panel {panel} hangs.",
    "advice.text-against-upright": "If that is not meant, turn it {angle_back}.",
    "check.text-against-upright.all": (
        "{count} words stand askew once panel {panel} hangs, {at_that_angle} of them by {angle_deg}°: “{text}” …"
    ),
    "advice.text-against-upright.all": (
        "If that is not meant, turn the art {angle_back}, or set it on the reading-way template."
    ),
    "check.text-unseen.invisible": "“{text}” is text that paints nothing.{more_words}",
    "advice.text-unseen.invisible": "Nothing needs doing if it lies under a scanned picture; else give it a colour.",
    "check.text-unseen.clipped": "“{text}” is cut off or faded out whole, so that nothing of it shows.{more_words}",
    "advice.text-unseen.clipped": "If it should show, take it out of its mask; else delete it.",
    "check.text-unseen.covered": "“{text}” lies under something and does not show.{more_words}",
    "advice.text-unseen.covered": "If it should show, bring it to the front; else delete it.",
    "check.text-unseen.ground": "“{text}” has the colour of what it stands on and does not show.{more_words}",
    "advice.text-unseen.ground": "If it should show, change its colour; else delete it.",
    "check.font-not-embedded.one": "“{first}” is set in a font that is not in the file ({fonts}).",
    "advice.font-not-embedded.one": "Save it anew with its font embedded, or turn the word to outlines.",
    "check.font-not-embedded": (
        "{words} words are set in a font that is not in the file ({fonts}), “{first}” first of all."
    ),
    "advice.font-not-embedded": "Save it anew with all fonts embedded, or turn the text to outlines.",
    "check.font-not-embedded.stand-in": (
        "Text is set in a font that did not come with the file ({fonts}); another one stands in for it."
    ),
    "advice.font-not-embedded.stand-in": "Turn the text to outlines, or save a PDF with its fonts embedded.",
    "check.image-coarse": (
        "The image of {size_mm} mm at full size has {least_ppi} pixels an inch; readers {reading_m} m away can tell "
        "{needed_ppi}."
    ),
    "advice.image-coarse": (
        "It needs {needed_across} pixels across, has {has_across}. Send it with more pixels, or place it at "
        "{sharp_percent} % of its size."
    ),
    "check.image-coarse.soft": (
        "A soft image of {size_mm} mm at full size, perhaps a shadow or a glow, has {least_ppi} pixels an inch."
    ),
    "advice.image-coarse.soft": (
        "Look at it: a shadow bears that, a cut-out photograph needs {needed_across} pixels across and has "
        "{has_across}."
    ),
    "check.image-broken": "An image of {pixels_by} pixels can't be drawn whole: it {why}.",
    "advice.image-broken": "Place it anew from its own file, save, and send it again.",
    "check.image-broken.unsized": "An image in the file can't be drawn: {why}.",
    "advice.image-broken.unsized": "Place it anew from its own file, save, and send it again.",
    "check.reference-missing": "The file refers to what did not come with it: {wanted}.",
    "advice.reference-missing": "Embed all images and fonts when saving, and send it again.",
    "check.line-too-thin": (
        "A line of panel {panel} is {width_fine} mm wide at full size; under {least_fine} mm cloth does not hold it."
    ),
    "advice.line-too-thin": "Make it at least {least_fine} mm{on_page_least}.",
    "check.line-too-thin.many": (
        "{count} lines of panel {panel} are under {least_fine} mm wide at full size, the thinnest {width_fine} mm: "
        "cloth does not hold them."
    ),
    "advice.line-too-thin.many": "Make them at least {least_fine} mm{on_page_least}.",
    "check.colour-space": "The file has RGB colours without a colour profile, so what they look like is a guess.",
    "advice.colour-space": (
        "Ask for the profile (mostly sRGB), or take it as sRGB and have the colours of the proof confirmed."
    ),
    "check.black-built": "Text of {size_mm} mm font size is built of {inks}: small letters may get coloured edges.",
    "advice.black-built": "Set text under {small_mm} mm in black alone.",
    "check.spot-colour": "The file paints with named inks: {inks}.",
    "advice.spot-colour": "They are printed as process inks. Say if a colour must be matched.",
    "check.spot-colour.twins": "The file names what looks like one ink in two ways: {twins}.",
    "advice.spot-colour.twins": "Use one name, or the two may print unlike. Say if a colour must be matched.",
    "check.spot-colour.strange": "The file paints with named inks that the order does not allow: {not_allowed}.",
    "advice.spot-colour.strange": "Change them to process colours, or to an ink that the order allows.",
    "check.overprint-white": "Something white is set to overprint: a screen shows it, the print does not.",
    "advice.overprint-white": "Switch overprint off for it, and save again.",
    "check.overprint-white.many": (
        "{count} white objects are set to overprint: a screen shows them, the print does not."
    ),
    "advice.overprint-white.many": "Switch overprint off for everything white, and save again.",
    "check.transparency-space": (
        "Transparency blends in RGB ({spaces}) though the artwork is in CMYK: colours under it shift."
    ),
    "advice.transparency-space": (
        "Set the document's blend space to CMYK and save again, or look at the colours of the proof."
    ),
    "check.file-has-extras": "{file} holds more than its picture: {extras_said}. None of it is printed.",
    "advice.file-has-extras": "Look whether a comment or an attachment holds something that matters.",
    "check.file-has-extras.pages": "{file} has {pages} pages, and no panel takes page {unused_pages}.",
    "advice.file-has-extras.pages": "If such a page is a panel's artwork, name the file and the page in the order.",
    "check.file-has-extras.both": (
        "{file} has {pages} pages, of which no panel takes {unused_pages}, and holds {extras_said}. None of that is "
        "printed."
    ),
    "advice.file-has-extras.both": (
        "If such a page is a panel's artwork, name the file and the page in the order; read the comments."
    ),
    "check.layer-hidden": "There is artwork on layers that are switched off: {layers}. It is not printed.",
    "advice.layer-hidden": "Switch them on if they belong to the picture, or delete them, and save again.",
    "check.layer-hidden.unprinted": (
        "There is artwork on layers that a screen shows and a printer leaves out: {layers}."
    ),
    "advice.layer-hidden.unprinted": "Set the layers to print if they belong to the picture, or delete them.",
    "check.file-changed": "{file} is not the file that was approved: approved {approved}, now {now}.",
    "advice.file-changed": "Put the approved file back, or make a new proof and have it approved.",
    "check.file-changed.new": "{file} was not there when the proof was approved.",
    "advice.file-changed.new": "Make a new proof and have it approved, or take the file away.",
    "extras.script": "{count} × script",
    "extras.attachment": "{count} × attached file",
    "extras.form-field": "{count} × form field",
    "extras.comment": "{count} × comment",
    "extras.media": "{count} × media",
    "extras.action": "{count} × action",
    "turn.clockwise": "{deg}° clockwise",
    "turn.anticlockwise": "{deg}° anticlockwise",
    "fill.at": "scale {percent} %",
    "fill.at-scale": "taken as a 1:{scale} page, scale {percent} %",
    "fill.whole": "{size} fills the page and cuts nothing",
    "fill.cuts-width": "{size} fills the page and cuts {mm} mm of the width",
    "fill.cuts-height": "{size} fills the page and cuts {mm} mm of the height",
    "words.more": " And {count} more like it.",
    "on-page.least": ", {mm} mm on the 1:{scale} page",
    # rules that had nothing to judge by
    "unexamined.what": "{rules}",
    "unexamined.where": "{file}: {rules}",
    "unexamined.off": "switched off in {file}",
    "unexamined.unasked": "nobody looked for what it needs",
    # what became of the order's silences
    "silence.scope": "silence {number} ({rule}, {panel})",
    "silence.scope.file": "silence {number} ({rule})",
    "silence.unbound": (
        "{scope} is bound to no file, so it would also silence the next version of {file}. Bind it with the line: "
        'art = "{art}"'
    ),
    "silence.lapsed": (
        "{scope} has lapsed: {file} is not the file that it was given for. If it holds for this one too, write: art "
        '= "{art}"'
    ),
    "silence.unused": "{scope} fits no finding: take it out, or look at its panel, words and area.",
}
