"""English words of the record, of revisions, of what changed between them, and of the mail to the client."""

RECORD = {
    # what a decision is called
    "decision.approved": "approved",
    "decision.as-noted": "approved as noted, which releases nothing: a new revision is asked for",
    "decision.redo": "do it again",
    # the story
    "record.none": "Nothing is on record yet: no proof was made. `artgen proof` makes the first.",
    "record.proof": "{number}  {time}  Proof {revision} made: {panels}, {files}{errors}",
    "record.proof.errors.one": "; 1 error found",
    "record.proof.errors": "; {n} errors found",
    "record.proof.errors.none": "; no errors found",
    "record.panels.one": "1 panel",
    "record.panels": "{n} panels",
    "record.art.one": "1 art file",
    "record.art": "{n} art files",
    "record.decision": "{number}  {time}  {by} on proof {revision}, {what}: {say}",
    "record.decision.all": "all panels",
    "record.note": "note: {note}",
    "record.note.more": "{note}",
    "record.evidence": "evidence: {file}",
    "record.set-aside": "before it, a line that was cut off while it was written was set aside: {file}",
    "record.other": "{number}  {time}  “{what}”, an entry of a kind that this version of artgen does not know",
    "record.released": "Released for printing: {panels}, as in proof {revision}",
    "record.released.none": "Nothing is released for printing.",
    "record.open": "Not released: {panels}",
    "record.head": "Head of the record: entry {number}, {sha256}",
    "record.head.keep": (
        "Keep this line, or mail it to somebody: a record that still holds it has not been cut or written anew before it."
    ),
    "record.torn": (
        "The last line was cut off while it was written, {n} bytes: it is no entry. It is set aside, in a file of its own, when "
        "the next entry is written."
    ),
    # is it as it was written
    "record.whole": "The record is as it was written: {n} entries, each bound to the one before, and the files that they name.",
    "record.whole.one": "The record is as it was written: 1 entry, and the files that it names.",
    "record.whole.but": (
        "Whether an entry at the end is missing, nobody can tell from the record alone: compare the head below with one that "
        "was kept, such as the one in the last mail."
    ),
    "record.fault.unreadable": "entry {entry}: this line is no entry of a record; it was changed or put in",
    "record.fault.changed": "entry {entry}: its bytes are not those that were written; it was changed",
    "record.fault.number": (
        "entry {entry}: here stands number {number} where number {expected} belongs; entries were removed, added or put in "
        "another order"
    ),
    "record.fault.chain": (
        "entry {entry}: it is not bound to the entry before it; that one was changed and given a new hash, or others stood "
        "between them"
    ),
    "record.fault.torn": "after entry {entry}: a line that was cut off, {n} bytes; the power failed, or the file was cut there",
    "record.fault.file-changed": "entry {entry}: {file} is not the file that was recorded; it was changed",
    "record.fault.file-gone": "entry {entry}: {file} was recorded and is gone",
    "record.fault.file-unreadable": "entry {entry}: {file} was recorded and can't be read",
    "record.fault.unknown-file": (
        "{file} lies there and no entry knows it; the record was cut at its end, or the file was put there by hand"
    ),
    # deciding
    "decide.done": "Entry {number}: {by} on proof {revision}, {what}: {say}.",
    "decide.open.one": "1 error was found in proof {revision}; the approval counts all the same.",
    "decide.open": "{n} errors were found in proof {revision}; the approval counts all the same.",
    "decide.later": "There is a later proof, {later}; the decision counts for proof {revision}, which it names.",
    "decide.art-changed": (
        "What was decided on is proof {revision}. Since it was made, this has changed: {files}. The decision does not cover "
        "that: make a new proof."
    ),
    "decide.again": "This releases nothing. When the changes are made: artgen proof, which makes a new revision.",
    "decide.torn": "A line of the record that was cut off while it was written was set aside: {file}.",
    # what changed between two revisions
    "change.title": "What changed from proof {since} to proof {until}",
    "change.of": "Order {number}, {name}",
    "change.nothing": "Nothing changed that can be seen, and the findings are the same.",
    "change.panel": "Panel {panel}: {where}",
    "change.new": "This panel is new.",
    "change.gone": "This panel is no longer part of the order.",
    "change.first-art": "There was no artwork that could be shown; now there is.",
    "change.no-art": "There was artwork; now none can be shown.",
    "change.resized": "The panel has another size.",
    "change.swapped": "Its artwork was swapped with that of panel {other}.",
    "change.taken": "It carries the artwork that panel {other} carried.",
    "change.whole": "The artwork is another one.",
    "change.places.one": "Changed in one place.",
    "change.places": "Changed in {n} places.",
    "change.hidden": "Changed only beyond the edge of what shows: in what is hidden in the frame, or in the bleed.",
    "change.place": "{w} × {h} mm, at {x}, {y} mm",
    "change.place.more": "and {n} more",
    "change.word.moved": "“{text}” moved {way}",
    "change.word.moved.little": "“{text}” has another size or look",
    "change.word.new": "“{text}” is new",
    "change.word.gone": "“{text}” is gone",
    "change.word.more": "and {n} more",
    "change.same": "Looks as it did: {panels}.",
    "change.same.none": "No panel looks as it did.",
    "change.resaved": "Another file that looks the same: {panels}.",
    "change.order": "The order file was changed too.",
    "change.panels": "Panels",
    "change.findings": "Findings",
    "change.found.went": "settled",
    "change.found.came": "new",
    "change.found.stayed": "still",
    "change.finding": "{message} ({panel})",
    "change.counts": "Of what was found before, {went} settled and {stayed} still there; {came} new.",
    "change.before": "Proof {revision}",
    "change.marked": "Where it changed",
    "change.alt.before": "Panel {panel} in proof {revision}",
    "change.alt.marked": "Panel {panel} in grey, with what changed in orange-red",
    "change.cut": "… and more, see its own sheet.",
    "change.more.panels": "Changed too, see their own sheets: {panels}.",
    "change.more.findings": "and {n} more",
    "change.line.plain": "{message}",
    "change.line": "{panel}: {what}",
    "change.intro": (
        "Pictures are compared point by point; what only falls otherwise on the grid of points is passed over. Changes smaller "
        "than about 2 mm, and faint ones of colour, may be missed: look at the panels themselves before you sign."
    ),
    "change.col.kind": "Now",
    "change.col.severity": "Weight",
    "change.col.finding": "Finding",
    "change.written": "{file} written",
    # revisions
    "proofed.made": "Proof {revision} is in {folder}",
    "proofed.files": "proof.pdf to read and sign, proof.html to turn on the screen, mail.eml to send, views/ for slides",
    "proofed.same": "Nothing has changed since proof {revision}, so no new one was made: it is in {folder}",
    "proofed.errors.one": "1 error found: the proof says what must change before printing.",
    "proofed.errors": "{n} errors found: the proof says what must change before printing.",
    "proofed.wait": "another artgen is making a proof of this order; waiting for it",
    "proofed.unknown": (
        "{folder} lies there without an entry in the record (was artgen stopped, or the record cut?). It is left as it is; "
        "delete it if nobody was sent it."
    ),
    "proofed.old-gone": ("Proof {revision} is not as it was recorded ({why}), so what changed since can't be shown."),
    "proofed.no-date": "The order gives no day to answer by: [mail] answer_by.",
    "proofed.no-address": "The order gives no address to send to: [mail] to.",
    # the mail
    "mail.subject": "Proof {revision} of {number}, {name}: please answer by {day}",
    "mail.subject.open": "Proof {revision} of {number}, {name}: please answer",
    "mail.hello": "Hello,",
    "mail.intro": (
        "here is proof {revision} of “{name}”. It shows your artwork on the real shape of each display. Please open the attached "
        "file {file}, look at every panel and read every word."
    ),
    "mail.picture": "The displays with your artwork on them",
    "mail.changed": "What changed since proof {since}",
    "mail.must": "What must change before printing",
    "mail.missing": "There is no artwork yet for {panels}.",
    "mail.look": "Please look at this closely",
    "mail.item": "{panel}: {message} {advice}",
    "mail.item.file": "{message} {advice}",
    "mail.more": "and {n} more, see the proof",
    "mail.clean": "We found nothing that must change. Please look all the same: texts, names and dates are yours to check.",
    "mail.answer": "Your answer",
    "mail.answer.by": "Please answer by {day}, with one of these three, for proof {revision}:",
    "mail.answer.open": "Please answer with one of these three, for proof {revision}:",
    "mail.answer.not-yet": "Since things must still change, please choose the second or the third.",
    "mail.approved": "Approved: print it exactly as proof {revision} shows it.",
    "mail.noted": "Approved as noted: make the changes that I write down, then send a new proof. This does not release printing.",
    "mail.redo": "Do again: new artwork or a new layout is needed, then a new proof.",
    "mail.answer.how": (
        "An answer to this mail will do, with the name of the person who decides; or fill in the last sheet of the proof. You "
        "can answer for single panels. Nothing is printed before you have approved."
    ),
    "mail.limits": "Before you sign",
    "mail.limits.text": (
        "A screen shows other colours than printed cloth, and no proof shows sewn joins or stretch as they will be. What else "
        "this proof does not tell stands on its last sheets, under “{heading}”."
    ),
    "mail.caution.hung": "{names} hangs: the venue's riggers decide on the point and the load, and put it up.",
    "mail.caution.hung.many": "{names} hang: the venue's riggers decide on the points and the loads, and put them up.",
    "mail.caution.tall": "{names} is tall: ask the venue what it asks for, and whether it wants weights or ties.",
    "mail.caution.tall.many": "{names} are tall: ask the venue what it asks for, and whether it wants weights or ties.",
    "mail.caution.lit": (
        "{names} is lit from inside: a licensed electrician connects it, with lamps of the stated kind and power only."
    ),
    "mail.caution.lit.many": (
        "{names} are lit from inside: a licensed electrician connects them, with lamps of the stated kind and power only."
    ),
    "mail.caution.more": "Local codes and the venue's rules come first; the proof says more.",
    "mail.record": (
        "For our files and yours: {file} has the SHA-256 {proof}. It is entry {number} of the record of this order, whose "
        "SHA-256 is {sha256}."
    ),
    "mail.file": "proof-{revision}.pdf",
    "mail.names": "{first} and {last}",
}
