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
    "advice.page-wrong-size.nothing": (
        "Make it again on the template. Filling the panel would mean enlarging it by {fill_percent} % more and "
        "cutting {fill_cuts} mm off."
    ),
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
    "advice.lettering-possible.corner": "If it is lettering: {way_out}",
    "check.lettering-possible.joint": (
        "What looks like lettering runs over the join between {panels}, by {depth_mm} mm."
    ),
    "advice.lettering-possible.joint": "If it is lettering: {way_out}",
    "check.lettering-possible.seam": (
        "What looks like lettering stands over the sewn join of panel {panel}, by {depth_mm} mm."
    ),
    "advice.lettering-possible.seam": "If it is lettering: {way_out}",
    "check.lettering-possible.tuck": (
        "What looks like lettering runs over the edge of what shows of panel {panel}, by {depth_mm} mm."
    ),
    "advice.lettering-possible.tuck": "If it is lettering: {way_out}",
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
    "way-out.move": "Move it {move}, with what it would run into, or break the line there.",
    "way-out.move-scaled": (
        "Move it {move} at full size ({on_page} on the 1:{scale} page), with what it would run into, or break the "
        "line there."
    ),
    "way-out.shrink": (
        "It is too large for any safe place: make it {percent} % of its size, or break it into two lines."
    ),
    "way-out.none": "There is no safe place for it here.",
    "way.left": "{mm} mm left",
    "way.right": "{mm} mm right",
    "way.up": "{mm} mm up",
    "way.down": "{mm} mm down",
    "way.and": "{first} and {second}",
    "edges.all": "on every side",
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
