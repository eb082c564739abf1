"""Client files that reach out of themselves, in every way that their format has. Each maker takes a folder, the address of a
listening socket and the path of a file beside, and gives the file's path.

``NAMED`` = what a report must name of each: pieces of text, {url} and {secret} filled in.
"""

import base64
from pathlib import Path

import pikepdf
from bad_art import png
from pikepdf import Array, Dictionary, Name

SVG_NS = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
SVG_WAYS = {  # way: (what stands before the root, what stands in it, what a report must name)
    "image by address": ("", '<image href="{url}/image.png" width="9" height="9"/>', "{url}/image.png"),
    "image by file": ("", '<image xlink:href="file://{secret}" width="9" height="9"/>', "file://{secret}"),
    "image by path": ("", '<image xlink:href="{secret}" width="9" height="9"/>', "{secret}"),
    "image by neighbour": ("", '<image xlink:href="secret.png" width="9" height="9"/>', "secret.png"),
    "image by base": ("", '<g xml:base="{url}/"><image href="based.png" width="9" height="9"/></g>', "based.png"),
    "filter image": ("", '<filter id="f"><feImage href="{url}/filter.png"/></filter>', "{url}/filter.png"),
    "use": ("", '<use href="{url}/other.svg#leaf"/>', "{url}/other.svg#leaf"),
    "use a file": ("", '<use xlink:href="file://{secret}#leaf"/>', "file://{secret}#leaf"),
    "text reference": ("", '<text>a<tref xlink:href="{url}/t.svg#t"/></text>', "{url}/t.svg#t"),
    "paint": ("", '<rect width="9" height="9" fill="url({url}/paint.svg#p)"/>', "{url}/paint.svg#p"),
    "style attribute": ("", '<rect width="9" height="9" style="fill: url(\'{url}/s.svg#p\')"/>', "{url}/s.svg#p"),
    "style sheet": ("", "<style>rect {{ mask: url({url}/mask.svg#m) }}</style>", "{url}/mask.svg#m"),
    "font": ("", "<style>@font-face {{ font-family: A; src: url({url}/a.woff) }}</style>", "{url}/a.woff"),
    "import": ("", '<style>@import url("{url}/one.css");</style>', "{url}/one.css"),
    "import a string": ("", "<style>@import '{url}/two.css' screen;</style>", "{url}/two.css"),
    "import without a space": ("", '<style>@import"{url}/three.css";</style>', "{url}/three.css"),
    "import in escapes": ("", '<style>@\\69mport "{url}/four.css";</style>', "{url}/four.css"),
    "import behind a comment": ("", '<style>@import/* no */"{url}/five.css";</style>', "{url}/five.css"),
    "paint in escapes": ("", '<rect style="fill: u\\72l({url}/six.svg#p)"/>', "{url}/six.svg#p"),
    "sheet by instruction": ('<?xml-stylesheet type="text/css" href="{url}/seven.css"?>', "", "{url}/seven.css"),
    "document type": ('<!DOCTYPE svg SYSTEM "{url}/eight.dtd">', "", "{url}/eight.dtd"),
    "entity": ('<!DOCTYPE svg [<!ENTITY s SYSTEM "file://{secret}">]>', "<text>a&s;</text>", "file://{secret}"),
    "parameter entity": ('<!DOCTYPE svg [<!ENTITY % s SYSTEM "{url}/nine.dtd"> %s;]>', "", "{url}/nine.dtd"),
    "unparsed entity": (
        '<!DOCTYPE svg [<!NOTATION n SYSTEM "n"><!ENTITY s SYSTEM "file://{secret}" NDATA n>]>',
        "",
        "file://{secret}",
    ),
    "inclusion": (
        "",
        '<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="file://{secret}" parse="text"/>',
        "file://{secret}",
    ),
    "foreign content": (
        "",
        '<foreignObject width="9" height="9"><iframe xmlns="http://www.w3.org/1999/xhtml" src="{url}/ten"/></foreignObject>',
        "{url}/ten",
    ),
    "object": ("", '<object xmlns="http://www.w3.org/1999/xhtml" data="{url}/eleven"/>', "{url}/eleven"),
    "script": ("", '<script href="{url}/twelve.js"/>', "{url}/twelve.js"),
    "link": ("", '<a href="{url}/thirteen"><rect width="9" height="9"/></a>', "{url}/thirteen"),
    "picture in a picture": ("", '<image href="data:image/svg+xml;base64,{inner}" width="9" height="9"/>', "an SVG"),
    "picture that lies": ("", '<image href="data:image/png;base64,{inner}" width="9" height="9"/>', "an SVG"),
    "use of a written file": ("", '<use href="data:image/svg+xml;base64,{inner}#leaf"/>', "'use'"),
}


def svg(folder: Path, way: str, url: str, secret: Path) -> tuple[Path, str]:
    """(file, what a report must name) for one of `SVG_WAYS`."""
    before, within, named = SVG_WAYS[way]
    inner = f'<svg {SVG_NS}><g id="leaf"><image href="{url}/inner.png" width="9" height="9"/></g></svg>'
    values = {"url": url, "secret": str(secret), "inner": base64.b64encode(inner.encode()).decode()}
    fill = lambda text: text.format(**values)  # noqa: E731
    text = f'<?xml version="1.0"?>{fill(before)}<svg {SVG_NS} width="676mm" height="576mm">{fill(within)}</svg>'
    file = folder / "panel-1.svg"
    file.write_text(text, encoding="utf-8")
    return file, fill(named)


def pdf(folder: Path, url: str, secret: Path) -> tuple[Path, tuple[str, ...]]:
    """(file, what a report must name): data outside in an image, in the page's content and in a font; a page of another file;
    an OPI picture; every kind of link and action."""
    with pikepdf.new() as document:
        page = document.add_blank_page(page_size=(1916, 1633))  # 676 × 576 mm

        def outside(name: str, **keys: object) -> pikepdf.Stream:
            return document.make_stream(b"", F=name, **keys)

        image = outside(
            str(secret),
            Type=Name.XObject,
            Subtype=Name.Image,
            Width=8,
            Height=8,
            ColorSpace=Name.DeviceGray,
            BitsPerComponent=8,
        )
        away = outside(
            url + "/a.png",
            Type=Name.XObject,
            Subtype=Name.Image,
            Width=8,
            Height=8,
            ColorSpace=Name.DeviceGray,
            BitsPerComponent=8,
        )
        away.F = Dictionary(Type=Name.Filespec, FS=Name.URL, F=url + "/b.png")
        box = {"Type": Name.XObject, "Subtype": Name.Form, "BBox": [0, 0, 9, 9]}
        other = document.make_stream(b"", Ref=Dictionary(F="book.pdf", Page=3), **box)
        low = document.make_stream(b"", OPI=Dictionary({"/2.0": Dictionary(F="low.tif")}), **box)
        font = Dictionary(
            Type=Name.Font,
            Subtype=Name.TrueType,
            BaseFont=Name.Away,
            FontDescriptor=Dictionary(
                Type=Name.FontDescriptor,
                FontName=Name.Away,
                Flags=32,
                FontFile2=document.make_indirect(outside("font.ttf")),
            ),
        )
        page.Resources = Dictionary(XObject=Dictionary(I=image, A=away, R=other, L=low), Font=Dictionary(F=font))
        drawn = document.make_stream(b"/I Do /A Do /R Do /L Do BT /F 20 Tf 9 9 Td (Peat) Tj ET")
        page.Contents = Array([drawn, outside("content.bin")])
        actions = [
            Dictionary(S=Name.URI, URI=url + "/uri"),
            Dictionary(S=Name.GoToR, F="remote.pdf", D=Array([0, Name.Fit])),
            Dictionary(S=Name.Launch, F="launched.exe", Next=Dictionary(S=Name.URI, URI=url + "/next")),
            Dictionary(S=Name.SubmitForm, F=url + "/form"),
            Dictionary(S=Name.ImportData, F="data.fdf"),
            Dictionary(S=Name.JavaScript, JS=f"app.launchURL('{url}/js')"),
        ]
        page.Annots = Array([Dictionary(Subtype=Name.Link, Rect=[0, 0, 9, 9], A=action) for action in actions])
        document.Root.OpenAction = Dictionary(S=Name.URI, URI=url + "/open")
        document.attachments["notes.txt"] = b"peat"
        file = folder / "panel-1.pdf"
        document.save(file)
    named = (
        *(str(secret), url + "/b.png", "content.bin", "font.ttf", "book.pdf", "low.tif"),
        *(url + "/uri", "GoToR remote.pdf", "Launch launched.exe", url + "/next", f"SubmitForm {url}/form"),
        *("ImportData data.fdf", "scripts", url + "/open", "notes.txt"),
    )
    return file, named


def doubling_svg(folder: Path, levels: int, way: str = "use") -> Path:
    """A square that is drawn twice, and that twice, and so on: 2 to the power ``levels`` squares."""
    square = '<rect width="9" height="9" fill="red"/>'
    if way == "use":
        rest = "".join(f'<g id="g{n + 1}"><use href="#g{n}"/><use href="#g{n}"/></g>' for n in range(levels))
        body = f'<g id="g0">{square}</g>{rest}'
    else:
        rest = "".join(
            f'<pattern id="g{n + 1}" width="9" height="9"><rect width="4" height="9" fill="url(#g{n})"/>'
            f'<rect x="5" width="4" height="9" fill="url(#g{n})"/></pattern>'
            for n in range(levels)
        )
        body = f'<pattern id="g0" width="9" height="9">{square}</pattern>{rest}'
        body += f'<rect width="9" height="9" fill="url(#g{levels})"/>'
    file = folder / "panel-1.svg"
    file.write_text(f'<svg {SVG_NS} width="676mm" height="576mm">{body}</svg>', encoding="utf-8")
    return file


def secret_png(folder: Path) -> Path:
    """The file beside that nothing may read: a picture, so that reading it would show."""
    file = folder / "secret.png"
    file.write_bytes(png(8, 8, bytes([255, 0, 255]) * 8, colour=2))
    return file
