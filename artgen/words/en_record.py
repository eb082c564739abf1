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
}
