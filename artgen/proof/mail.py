"""The mail that carries a proof to the client, as a draft: RFC 5322 and RFC 2045 to 2049, plain text and HTML, the displays'
picture inside, the PDF attached. It asks the network for nothing and tells nobody that it was opened.

Takes a job, an issue and the files; gives the bytes of an `.eml` file. Same input, same bytes, but for its date and the head of
the record that it names.
"""

import io
from collections.abc import Iterator, Sequence
from datetime import datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime, getaddresses
from pathlib import Path

from attrs import frozen
from PIL import Image

from ..checks.wording import grouped, panel_list, sentences, worst_first
from ..job import Job
from ..words import Words
from . import judged
from .closing import TALL
from .issue import Issue

_MOST = 12  # ours: things of one kind that a mail names
_HIGH, _WIDE = 420, 1280  # pixels of the picture, ours; shown at half that
_CID = "displays@proof.invalid"  # RFC 2392; .invalid is nobody's (RFC 2606)


@frozen
class Bound:
    """What ties the mail to the record: its moment, the PDF's SHA-256, the proof's entry and that entry's hash."""

    when: datetime
    proof: str
    number: int
    sha256: str


@frozen
class Section:
    """A heading with paragraphs and a list under it; any of them may be empty."""

    heading: str
    paragraphs: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    after: tuple[str, ...] = ()


def mail_bytes(job: Job, issue: Issue, pdf: bytes, views: Sequence[bytes], bound: Bound, say: Words) -> bytes:
    """``views`` = PNG of each display, from its first viewpoint."""
    order = job.order
    message = EmailMessage(policy=SMTP)
    for header, text in (("From", order.mail.sender), ("To", order.mail.to)):
        found = addresses(text)
        if found:
            message[header] = found
    message["Subject"] = _subject(job, issue, say)
    message["Date"] = format_datetime(bound.when)
    message["X-Unsent"] = "1"  # common practice, no source: mail programs open such a file ready to be sent
    file = say("mail.file", revision=issue.revision)
    sections = tuple(_sections(job, issue, bound, file, say))
    message.set_content(_plain(sections), cte="quoted-printable")
    picture, size = _picture(views)
    message.add_alternative(_html(sections, size, order.language, say), subtype="html", cte="quoted-printable")
    if picture:
        html = message.get_payload()[1]  # type: ignore[index]
        assert isinstance(html, EmailMessage)
        html.add_related(picture, "image", "jpeg", cid=f"<{_CID}>", disposition="inline", filename="displays.jpg")
    message.add_attachment(pdf, "application", "pdf", filename=file)
    for n, part in enumerate(part for part in message.walk() if part.is_multipart()):
        part.set_boundary(
            f"=_proof_{bound.proof[:24]}_{n}"
        )  # RFC 2045, 6.7: no quoted-printable or base64 line holds "=_"
    return message.as_bytes()


def addresses(text: str) -> list[Address]:
    """Those of a line such as "Ann Lee <ann@example.org>, ben@example.org"; what is no address is left out."""
    found = []
    for name, spec in getaddresses([text]):
        try:
            address = Address(display_name=name, addr_spec=spec)
        except (ValueError, IndexError):
            continue
        if address.username and address.domain and spec.isascii():
            found.append(address)
    return found


def _subject(job: Job, issue: Issue, say: Words) -> str:
    order = job.order
    key = "mail.subject" if order.mail.answer_by else "mail.subject.open"
    number = order.number or say("proof.none")
    return say(key, revision=issue.revision, number=number, name=order.name, day=order.mail.answer_by or "")


def _sections(job: Job, issue: Issue, bound: Bound, file: str, say: Words) -> Iterator[Section]:
    revision = issue.revision
    intro = say("mail.intro", revision=revision, name=job.order.name, file=file)
    yield Section("", (say("mail.hello"), intro))
    if issue.changes is not None:
        yield Section(say("mail.changed", since=issue.changes.since), items=_capped(issue.changes.lines, say))
    yield from _found(job, say)
    day = job.order.mail.answer_by
    asked = say("mail.answer.by", day=day, revision=revision) if day else say("mail.answer.open", revision=revision)
    open_things = judged.summary(job).must_change
    stop = (say("mail.answer.not-yet"),) if open_things else ()
    choices = tuple(say(f"mail.{key}", revision=revision) for key in ("approved", "noted", "redo"))
    yield Section(say("mail.answer"), (asked, *stop), choices, (say("mail.answer.how"),))
    yield Section(
        say("mail.limits"), (say("mail.limits.text", heading=say("proof.limits")),), tuple(_cautions(job, say))
    )
    record = say("mail.record", file=file, proof=bound.proof, number=bound.number, sha256=bound.sha256)
    yield Section("", (record, *([job.order.mail.sender] if job.order.mail.sender else [])))


def _found(job: Job, say: Words) -> Iterator[Section]:
    """What must change, and what to look at."""
    missing = judged.summary(job).panels_without_art
    said = {severity: _items(job, severity, say) for severity in ("error", "warning")}
    if missing:
        said["error"] = (say("mail.missing", panels=panel_list(list(missing), say)), *said["error"])
    if said["error"]:
        yield Section(say("mail.must"), items=_capped(said["error"], say))
    else:
        yield Section("", (say("mail.clean"),))
    if said["warning"]:
        yield Section(say("mail.look"), items=_capped(said["warning"], say))


def _items(job: Job, severity: str, say: Words) -> tuple[str, ...]:
    mine = [f for f in judged.for_client(job) if f.severity == severity and f.rule != "art-missing"]
    found = []
    for group in grouped(worst_first(mine)):
        text = sentences(group.finding, say)
        panels = group.finding.panels
        key = "mail.item" if panels else "mail.item.file"
        named = panel_list(list(panels), say)
        found.append(say(key, panel=named[:1].upper() + named[1:], message=text.message, advice=text.advice).strip())
    return tuple(found)


def _capped(items: Sequence[str], say: Words) -> tuple[str, ...]:
    return tuple(items) if len(items) <= _MOST else (*items[:_MOST], say("mail.more", n=len(items) - _MOST))


def _cautions(job: Job, say: Words) -> Iterator[str]:
    """A line for each kind of thing to mind; the proof has them in full."""
    structures = job.sizing.structures
    groups = {
        "hung": [one.name for one in structures if one.hung],
        "tall": [one.name for one in structures if not one.hung and one.standing >= TALL],
        "lit": [one.name for one in structures if one.lit],
    }
    for key, names in groups.items():
        if names:
            many = len(names) > 1
            listed = say("mail.names", first=", ".join(names[:-1]), last=names[-1]) if many else names[0]
            yield say(f"mail.caution.{key}.many" if many else f"mail.caution.{key}", names=listed)
    if any(groups.values()):
        yield say("mail.caution.more")


def _plain(sections: Sequence[Section]) -> str:
    blocks = []
    for section in sections:
        lines = [section.heading, "-" * len(section.heading)] if section.heading else []
        blocks.append(
            "\n".join([*lines, *section.paragraphs, *(f"* {item}" for item in section.items), *section.after])
        )
    return "\n\n".join(blocks) + "\n"


def _html(sections: Sequence[Section], size: tuple[int, int], language: str, say: Words) -> str:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # only when a mail is written

    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    page: str = environment.get_template("mail.html.j2").render(
        sections=sections, width=size[0], height=size[1], cid=_CID, language=language, say=say
    )
    return page


def _picture(views: Sequence[bytes]) -> tuple[bytes, tuple[int, int]]:
    """All displays side by side as JPEG, and the size at which it is shown; nothing where there are none."""
    images = [Image.open(io.BytesIO(view)).convert("RGB") for view in views]
    if not images:
        return b"", (0, 0)
    high = [
        image.resize((max(1, round(image.width * _HIGH / image.height)), _HIGH), Image.Resampling.LANCZOS)
        for image in images
    ]
    row = Image.new("RGB", (sum(image.width for image in high), _HIGH), "white")
    left = 0
    for image in high:
        row.paste(image, (left, 0))
        left += image.width
    if row.width > _WIDE:
        row = row.resize((_WIDE, max(1, round(_HIGH * _WIDE / row.width))), Image.Resampling.LANCZOS)
    data = io.BytesIO()
    row.save(data, "JPEG", quality=82)
    return data.getvalue(), (row.width // 2, max(1, row.height // 2))
