"""English words of the proof: what a client reads before signing."""

PROOF = {
    "proof.title": "Proof {order}, {name}, revision {revision}",
    "proof.type": "Proof for approval",
    "proof.block.owner": "Issued by",
    "proof.block.creator": "Prepared by",
    "proof.block.approver": "Approved by",
    "proof.block.title": "Order",
    "proof.block.type": "Kind of paper",
    "proof.block.number": "Order number",
    "proof.block.revision": "Revision",
    "proof.block.date": "Date of order",
    "proof.block.sheet": "Sheet",
    "proof.block.of": "{n} of {m}",
    # cover
    "proof.cover": "Proof of your displays",
    "proof.stamp": "Revision {revision}",
    "proof.stamp.note": "Printed only once you approve it",
    "proof.client": "Client",
    "proof.order": "Order",
    "proof.number": "Order number",
    "proof.date": "Date of order",
    "proof.due": "Due",
    "proof.none": "–",
    "proof.intro": (
        "These pages show your artwork on the real shape of each display. Please look at every panel, read every word, and "
        "answer on the last sheet. Nothing is printed before you have approved."
    ),
    "proof.summary": "Where things stand",
    "proof.sum.change": "{n} things must change before printing",
    "proof.sum.change.one": "1 thing must change before printing",
    "proof.sum.change.none": "Nothing that we found must change before printing",
    "proof.sum.look": "{n} things to look at",
    "proof.sum.look.one": "1 thing to look at",
    "proof.sum.remarks": "{n} remarks that need no answer",
    "proof.sum.remarks.one": "1 remark that needs no answer",
    "proof.sum.missing": "No artwork yet for {panels}",
    "proof.sum.on": "{what}: {panels}",
    "proof.sum.limits": "What we could not check is said under “{heading}”.",
    "proof.view": "{name}",
    "proof.view.other": "{name}, from the other side",
    "proof.unseen": "not in this picture: {panels}",
    "proof.metres": "{m} m",
    "proof.lowest": "lowest point {m} m above the floor",
    "proof.copies": "{n} of these",
    "proof.alt.view": "{name} with the artwork on it",
    "proof.alt.panel": "Artwork of panel {number}",
    # table of panels
    "proof.panels": "The panels",
    "proof.panels.intro": (
        "Each panel is one piece of printed cloth. Its number is on every paper, on the print and on the sewn tag. "
        "“Ready” means that we found nothing; it does not mean that we read your texts for you."
    ),
    "proof.col.panel": "Panel",
    "proof.col.where": "Where",
    "proof.col.shows": "What shows, mm",
    "proof.col.inches": "in inches",
    "proof.col.state": "State",
    "proof.state.must-change": "must change",
    "proof.state.no-art": "no artwork yet",
    "proof.state.look-at": "please look at",
    "proof.state.not-shown": "could not be shown",
    "proof.state.blank": "plain cloth",
    "proof.state.ready": "ready",
    # all that was found
    "proof.found": "All that we found",
    "proof.found.text": "Each thing stands here once; the panels' own pages show where it is.",
    "proof.found.error": "Must change before printing",
    "proof.found.warning": "Please look at",
    "proof.found.note": "Only noted: nothing needs to be done",
    "proof.found.more.one": "(And 1 more of the same kind.)",
    "proof.found.more": "(And {n} more of the same kind.)",
    "proof.col.found": "What",
    "proof.col.do": "What to do",
    # a panel's page
    "proof.panel": "Panel {number}: {where}",
    "proof.panel.more": "Panel {number}, continued",
    "proof.items.change": "What we found",
    "proof.items.none": "Nothing to change here",
    "proof.items.none.text": (
        "We found nothing to change on this panel. Please read the text and look at the picture all the same."
    ),
    "proof.items.blank": "Plain cloth: nothing is printed on this panel.",
    "proof.items.not-shown": "This panel could not be shown, so nobody has checked it. See “{heading}”.",
    "proof.more.one": "and 1 more of the same kind on this panel",
    "proof.more": "and {n} more of the same kind on this panel",
    "proof.weight.error": "must change",
    "proof.weight.warning": "please look at",
    "proof.weight.note": "a remark",
    "proof.facts": "This panel",
    "proof.fact.visible": "What shows: {mm} mm ({inches})",
    "proof.fact.sent": "Its page as it came: {mm} mm, at full size",
    "proof.fact.sent.scaled": "Its page as it came: {mm} mm, made 1:{scale}",
    "proof.fact.sent.unsized": "Its page as it came: without a size, so it was laid by its proportions",
    "proof.fact.page": "Page that the panel wants, at full size: {mm} mm",
    "proof.fact.file": "Artwork: {file}",
    "proof.fact.file.page": "Artwork: {file}, page {page}",
    "proof.fact.high": "From {low} m to {top} m above the floor",
    "proof.fact.leans-down": "It looks down to the reader, by {deg}°.",
    "proof.fact.leans-up": "It looks up, away from the reader, by {deg}°.",
    "proof.fact.level-up": "It lies level and looks up.",
    "proof.fact.level-down": "It lies level and looks down.",
    "proof.fact.seen": "A reader {m} m away sees {percent} % of its height; the rest is lost by the angle.",
    "proof.fact.seen.all": "A reader {m} m away sees it at its full height.",
    "proof.fact.hidden": "Other parts of the display hide {percent} % of it from there.",
    "proof.fact.seen.none": "A reader {m} m away can't see it.",
    "proof.fact.drops": "Sewn from {n} pieces of cloth",
    "proof.fact.lit": "Lit from inside",
    "proof.fact.lit-unknown": "Where the lamps and bars behind it throw shadows is not known: it is level or leans much.",
    "proof.up": "this way up",
    "proof.up.level": "this edge to the back",
    "proof.legend": "Lines on the picture",
    "proof.line.fold": "edge of what you see",
    "proof.line.safe": "keep text inside this line",
    "proof.line.cut": "cloth is cut here",
    "proof.line.art-edge": "edge of the page",
    "proof.line.seam": "sewn join",
    "proof.line.shadow": "shadow of a lamp or a brace",
    "proof.line.keep-out": "keep out: nothing that matters here",
    "proof.line.veil": "paler: hidden in the frame",
    "proof.meets.corner": "round the corner: panel {panel}",
    "proof.meets.joint": "beside: panel {panel}",
    "proof.no-art": "no artwork yet",
    "proof.no-picture": "artwork not shown",
    "proof.blank": "plain cloth",
    "proof.clear": "As you will see it: what shows, without lines",
    # all sides in one plane
    "proof.flat": "All sides laid flat",
    "proof.flat.text": (
        "Each display as if it were a box of paper, cut open and laid on a table, seen from outside. Where two sides hang "
        "together by a broken line they meet at a corner. The numbers are the panels'."
    ),
    "proof.flat.scale": "Drawn 1:{scale} on the printed sheet.",
    "proof.flat.scale.apart": "Drawn 1:{scale} on the printed sheet. Sides that lie apart meet others all the same.",
    # the page for the screen
    "screen.title": "Proof {order}, {name}, revision {revision}",
    "screen.skip": "Go to the displays",
    "screen.intro": (
        "This page shows your artwork on the real shape of each display. Turn it, walk round it, look closer; then look at every "
        "panel and read every word. Nothing is printed before you have approved."
    ),
    "screen.changed": "What changed since revision {since}",
    "screen.displays": "The displays",
    "screen.show": "What the pictures show",
    "screen.findings": "What we found",
    "screen.lines": "Lines of the cloth",
    "screen.person": "A person, for scale",
    "screen.size": "{w} × {d} × {h} m (width × depth × height)",
    "screen.size.feet": "{w} × {d} × {h} m (width × depth × height), on feet of {m} m",
    "screen.size.hung": "{w} × {d} × {h} m (width × depth × height), hung with its lowest point {m} m above the floor",
    "screen.size.lit": "{size}; lit from inside",
    "screen.copies": "{size}; {n} of these",
    "screen.stage": "{name} with the artwork on it, to be turned",
    "screen.stage.role": "turnable picture",
    "screen.help": (
        "Drag to walk round. Two fingers, or the wheel once the picture is chosen, bring it nearer. Keys: arrows, plus, minus, "
        "0 to begin again; with Shift the arrows move an enlarged picture. Squares on the floor are 1 m wide."
    ),
    "screen.turn": "Turn {name}",
    "screen.act.left": "Walk round to the left",
    "screen.act.right": "Walk round to the right",
    "screen.act.up": "Look from higher up",
    "screen.act.down": "Look from lower down",
    "screen.act.nearer": "Nearer",
    "screen.act.farther": "Farther",
    "screen.act.reset": "Begin again",
    "screen.still": "{name} with the artwork on it. {view}.",
    "screen.view.front-right": "From the front right",
    "screen.view.front-left": "From the front left",
    "screen.view.back-right": "From the back right",
    "screen.view.back-left": "From the back left",
    "screen.view.from-above": "{view}, high up",
    "screen.light": "Light",
    "screen.light.note": (
        "The light is only hinted: an approximation that shows where hardware throws shadows, not how bright or in which colour "
        "the cloth will shine."
    ),
    "screen.from.0": "Seen from the front",
    "screen.from.1": "Seen from the front right",
    "screen.from.2": "Seen from the right",
    "screen.from.3": "Seen from the back right",
    "screen.from.4": "Seen from the back",
    "screen.from.5": "Seen from the back left",
    "screen.from.6": "Seen from the left",
    "screen.from.7": "Seen from the front left",
    "screen.above": "from above",
    "screen.below": "from below",
    "screen.level": "level",
    "screen.panels": "The panels, laid flat",
    "screen.neighbours": "Its neighbours",
    "screen.meets.corner": "{edge}: panel {panel}, round the corner",
    "screen.meets.joint": "{edge}: panel {panel}, beside it",
    "side-of.0": "right",
    "side-of.1": "upper right",
    "side-of.2": "top",
    "side-of.3": "upper left",
    "side-of.4": "left",
    "side-of.5": "lower left",
    "side-of.6": "bottom",
    "side-of.7": "lower right",
    "screen.closer": "Look closer",
    "screen.closer.panel": "Look closer at panel {number}",
    "screen.pane": "Enlarged picture, to be moved",
    "screen.larger": "Larger",
    "screen.smaller": "Smaller",
    "screen.close": "Close",
    "screen.answer": "Your answer",
    "screen.answer.how": (
        "Answer on the last sheet of the proof's PDF, or in your mail: say that you answer for revision {revision}, which of the "
        "three you choose, and your name."
    ),
    # wrap-arounds
    "proof.wrap": "Wrap-around: {panels}",
    "proof.wrap.text": (
        "One picture runs over these panels. They are shown side by side as one walks past them, with the frame between "
        "them; each has a page of its own after this one."
    ),
    "proof.wrap.plan": "Blue: where these panels are on the display.",
    "proof.wrap.plans": "Blue: where these panels are on the display, seen from more than one side.",
    "proof.wrap.more": "And {n} more: see the panels' own pages.",
    # limits
    "proof.limits": "What this proof does not tell",
    "proof.not-examined": "What we could not check",
    "proof.not-examined.none": "Every check could be made on every file.",
    "proof.not-examined.item": "{what}: {why}.",
    "proof.cannot": "What no proof on a screen can show",
    "proof.cannot.1": (
        "Colour. A screen or an office printer shows other colours than printed cloth, and light from behind changes them "
        "again. If a colour matters, ask for a printed sample."
    ),
    "proof.cannot.2": "Sewn joins. On cloth a join is a fine line that one feels and sees from near; here it is only drawn.",
    "proof.cannot.3": (
        "Stretch. Cloth is drawn tight by hand. Edges may come to lie a few millimetres from where they are drawn, so that "
        "a picture may not meet exactly round a corner."
    ),
    "proof.cannot.4": (
        "Fineness. Pictures in this file are made smaller for the screen. They don't show how sharp the print will be."
    ),
    "proof.cannot.5": "Words. Programs don't know what you meant to say: names, dates, spelling and facts are yours to check.",
    # cautions
    "proof.cautions": "Before it stands or hangs",
    "proof.cautions.intro": (
        "This proof is about artwork. It is no permit, no proof of strength and no instruction for rigging. Where local codes, "
        "the venue's rules or the maker's manual say something else, they count."
    ),
    "proof.caution.hung": (
        "Hung: {names}. The venue's riggers decide on the point, the load and the tackle, and put it up. A cube hung by a tip "
        "hangs from the top tip alone; a line that keeps it from turning never carries it. Nobody stands underneath while it "
        "is raised."
    ),
    "proof.caution.tall": (
        "Tall: {names}. Tall displays need level ground and may need weights or ties; ask the venue what it asks for, "
        "and about doors, fire exits and sprinklers."
    ),
    "proof.caution.lit": (
        "Lit from inside: {names}. A licensed electrician connects it. Only lamps of the stated kind and power: hotter ones harm "
        "cords and cloth. Cables must lie where nobody trips."
    ),
    "proof.caution.fire": "Ask the venue which fire class it wants for printed cloth, and for which paper as evidence.",
    # decision
    "proof.decision": "Your decision",
    "proof.decision.what": "Order {number}, revision {revision}: {name}",
    "proof.decision.who": (
        "One person decides for the client. The answer counts for revision {revision} alone: if anything is changed, you get "
        "a new proof with the next letter."
    ),
    "proof.decision.open": "{n} things must still change (see sheet 1): please choose the second or the third box.",
    "proof.decision.open.one": "1 thing must still change (see sheet 1): please choose the second or the third box.",
    "proof.decision.missing": "There is no artwork yet for {panels}.",
    "proof.decision.choose": "Tick one",
    "proof.box.approved": "Approved",
    "proof.box.approved.text": "Print it exactly as shown in this revision.",
    "proof.box.noted": "Approved as noted",
    "proof.box.noted.text": "Make the changes that are written below, then send a new proof. This does not release printing.",
    "proof.box.redo": "Do again",
    "proof.box.redo.text": "Don't print. New artwork or a new layout is needed, then a new proof.",
    "proof.decision.panels": "Panels that I have looked at",
    "proof.decision.confirm": "By approving you confirm:",
    "proof.confirm.1": "texts, names, spelling, figures and dates are right;",
    "proof.confirm.2": "pictures, their cut and their place are right, and you may use them;",
    "proof.confirm.3": "colours are as described, within what cloth and light allow;",
    "proof.confirm.4": "sizes, shapes, the order of the panels and which way is up are right;",
    "proof.confirm.5": "you have read what this proof does not tell.",
    "proof.decision.notes": "Notes",
    "proof.decision.name": "Name in capitals",
    "proof.decision.date": "Date",
    "proof.decision.sign": "Signature",
}
