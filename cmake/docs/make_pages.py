# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""Turns the project's Markdown pages into HTML pages that need no network, and the pages of the file
format into loomwright-vehicle(5). The Markdown is read by lowdown.

make_pages.py SOURCE OUTPUT --lowdown PROGRAM --date DATE --version VERSION"""

import argparse
import html
import pathlib
import posixpath
import re
import shutil
import subprocess

FORMAT_PAGES = ("docs/format/vehicle-file.md", "docs/format/devices.md")
GROUPS = (("Start", ""), ("Guide", "docs/guide"), ("File", "docs/format"), ("Method", "docs/method"),
          ("Rules", "docs/rules"), ("Tables", "docs/tables"))
HEADING = re.compile(r"<h([1-6])(?: id=\"[^\"]*\")?>(.*?)</h\1>", re.DOTALL)
TARGET = re.compile(r'\b(href|src)="([^"]*)"')


def plain(markup):
    """The text of a piece of HTML."""
    return html.unescape(re.sub(r"<[^>]*>", "", markup)).strip()


def slug(text, used):
    """The name that Markdown pages give a heading when they link to it."""
    name = re.sub(r"[^\w\- ]", "", text.lower()).replace(" ", "-")
    count = used.get(name, 0)
    used[name] = count + 1
    return name if count == 0 else f"{name}-{count}"


class Page:
    """One page: where it stands in the source, its title, its headings and its HTML."""

    def __init__(self, path, markup):
        used = {}
        self.path = path
        self.headings = []  # (level, id, HTML of the heading)

        def named(match):
            name = slug(plain(match.group(2)), used)
            self.headings.append((int(match.group(1)), name, match.group(2)))
            return f'<h{match.group(1)} id="{name}">{match.group(2)}</h{match.group(1)}>'

        self.markup = HEADING.sub(named, markup)
        self.title = plain(self.headings[0][2]) if self.headings else path

    @property
    def address(self):
        return re.sub(r"\.md$", ".html", self.path)


def relative(target, page):
    return posixpath.relpath(target, posixpath.dirname(page) or ".")


def rewritten(page, pages, folders):
    """The page's HTML with links to Markdown pages and to folders led to their HTML."""
    here = posixpath.dirname(page.path)

    def lead(match):
        kind, target = match.groups()
        if re.match(r"[a-z][a-z0-9+.-]*:|#", target):
            return match.group(0)
        file, _, fragment = target.partition("#")
        path = posixpath.normpath(posixpath.join(here, html.unescape(file)))
        if path in pages:
            path = pages[path].address
        elif path in folders:
            path = folders[path]
        led = relative(path, page.address) + ("#" + fragment if fragment else "")
        return f'{kind}="{html.escape(led)}"'

    return TARGET.sub(lead, page.markup)


def contents(page, pages):
    """What stands beside a page: the groups, the pages of its own group, and its headings."""
    own = posixpath.dirname(page.path)
    parts = []
    for title, folder in GROUPS:
        members = [other for other in pages.values()
                   if posixpath.dirname(other.path) == folder or
                   (folder == "" and posixpath.dirname(other.path) in ("docs", "examples"))]
        is_own = own == folder or (folder == "" and own in ("docs", "examples"))
        if not is_own and folder:
            members = members[:1]
        parts.append(f"<p>{title}</p>\n<ul>")
        for other in members:
            mark = ' aria-current="page"' if other is page else ""
            words = html.escape(other.title if is_own or not folder else "All of it: " + other.title)
            link = html.escape(relative(other.address, page.address))
            parts.append(f'<li><a href="{link}"{mark}>{words}</a></li>')
        parts.append("</ul>")
    inside = [entry for entry in page.headings if entry[0] == 2]
    if inside:
        parts.append("<p>On this page</p>\n<ul>")
        parts += [f'<li><a href="#{name}">{re.sub("</?a[^>]*>", "", words)}</a></li>'
                  for _, name, words in inside]
        parts.append("</ul>")
    return "\n".join(parts)


def whole(page, pages, folders):
    style = relative("style.css", page.address)
    return (f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
            f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
            f"<title>{html.escape(page.title)} - Loomwright</title>\n"
            f'<link rel="stylesheet" href="{style}">\n</head>\n<body>\n'
            f'<nav aria-label="Contents">\n{contents(page, pages)}\n</nav>\n'
            f"<main>\n{rewritten(page, pages, folders)}</main>\n</body>\n</html>\n")


def folder_page(folder, pages):
    """The list of a folder's pages, for a folder that has no README."""
    rows = "".join(f'<li><a href="{posixpath.basename(page.path)}">{html.escape(page.title)}</a></li>\n'
                   for page in pages.values() if posixpath.dirname(page.path) == folder)
    title = posixpath.basename(folder).capitalize()
    return Page(folder + "/index.md", f"<h1>{title}</h1>\n<ul>\n{rows}</ul>\n")


def narrow(match):
    """The format of a table of many columns, each as wide as a page of 78 letters leaves it."""
    count = match.group(0).count("l")
    return " ".join([f"lw({66 // count - 3}n)"] * count) + "."


def titled(match):
    """A heading as one line; those of sections are capitals."""
    words = match.group(2).upper() if match.group(1) == "SH" else match.group(2)
    return f".{match.group(1)} {words}\n"


def manual(source, lowdown, date, version):
    """loomwright-vehicle(5), in the man language, from the pages of the file format."""
    text = "\n".join((source / name).read_text(encoding="utf-8") for name in FORMAT_PAGES)
    # A page of its own has its title in the head; links lead nowhere on paper.
    text = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", text)
    body = subprocess.run([lowdown, "-tman"], input=text, capture_output=True, text=True, check=True).stdout
    body = body.replace("\\fC", "\\fB").replace("tab(|) expand allbox;", "tab(|);")
    body = re.sub(r"(?m)^l( l){3,}\.$", narrow, body)
    # The title of a section is on the line after the macro, and a paragraph is begun after it.
    body = re.sub(r"(?m)^\.(SH|SS)\n(.*)\n(?:\.[LP]P\n)?", titled, body)
    head = ("'\\\" t\n"  # it has tables
            '.\\" SPDX-License-Identifier: MIT\n'
            f'.TH LOOMWRIGHT\\-VEHICLE 5 "{date}" "Loomwright {version}" "File formats"\n'
            ".SH NAME\nloomwright\\-vehicle \\- the file that describes a car's wiring\n.ad l\n")
    return head + body + ".SH SEE ALSO\n.BR loomwright (1)\n.PP\nEvery key: docs/format/reference.html among the pages that are installed with the program.\n"


def linked_files(pages, source):
    """Pictures, the licence and whatever else a page links to; the examples are installed on their own."""
    found = set()
    for page in pages.values():
        for _, target in TARGET.findall(page.markup):
            path = posixpath.normpath(posixpath.join(posixpath.dirname(page.path), target.partition("#")[0]))
            if path not in pages and not path.startswith(("..", "examples/")) and (source / path).is_file():
                found.add(path)
    return sorted(found)


def make(source, output, lowdown):
    files = [source / "README.md", source / "DEVELOPERS.md", source / "examples" / "README.md"]
    files += sorted((source / "docs").rglob("*.md"), key=lambda path: (path.name != "README.md", path))
    pages = {}
    for file in files:
        done = subprocess.run([lowdown, "-thtml", str(file)], capture_output=True, text=True, check=True)
        path = file.relative_to(source).as_posix()
        pages[path] = Page(path, done.stdout)
    folders = {}
    for folder in sorted({posixpath.dirname(path) for path in pages}):
        if folder + "/README.md" not in pages and folder:
            pages[folder + "/index.md"] = folder_page(folder, pages)
        folders[folder] = (folder + "/README.html" if folder + "/README.md" in pages
                           else folder + "/index.html" if folder else "README.html")
    shutil.rmtree(output, ignore_errors=True)
    for page in pages.values():
        place = output / page.address
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(whole(page, pages, folders), encoding="utf-8")
    for path in linked_files(pages, source):
        (output / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source / path, output / path)
    shutil.copyfile(pathlib.Path(__file__).with_name("style.css"), output / "style.css")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("source", type=pathlib.Path)
    parser.add_argument("output", type=pathlib.Path)
    parser.add_argument("--lowdown", default="lowdown")
    parser.add_argument("--date", default="")
    parser.add_argument("--version", default="")
    given = parser.parse_args()
    make(given.source, given.output, given.lowdown)
    page = manual(given.source, given.lowdown, given.date, given.version)
    (given.output / "loomwright-vehicle.5").write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main()
