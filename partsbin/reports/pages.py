"""Pages that need nothing beside them: no network, no script, no fonts of elsewhere; read in the dark, in the sun and on paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

STYLE = """
:root { --ink: #1d1b16; --paper: #fbf8f1; --rule: #b9b09c; --soft: #efe9da; }
@media (prefers-color-scheme: dark) { :root { --ink: #f0eadb; --paper: #1b1a17; --rule: #6d675a; --soft: #2a2823; } }
@media print { :root { --ink: #000; --paper: #fff; --rule: #777; --soft: #fff; } }
body { margin: 2rem auto; max-width: 64rem; padding: 0 1rem; background: var(--paper); color: var(--ink);
  font: 1.05rem/1.5 Georgia, "DejaVu Serif", serif; }
h1 { font-size: 1.5rem; } h2 { font-size: 1.15rem; margin-top: 2rem; border-bottom: 1px solid var(--rule); }
table { border-collapse: collapse; width: 100%; } caption { text-align: left; font-style: italic; padding: .3rem 0; }
th, td { text-align: left; vertical-align: top; padding: .3rem .6rem; border-bottom: 1px solid var(--rule); }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
td.blank { height: 2.2rem; border: 1px solid var(--rule); } thead { background: var(--soft); }
svg { max-width: 100%; height: auto; color: var(--ink); } .small { font-size: .9rem; }
section { break-inside: avoid; }
"""


def page(title: str, body: Iterable[str]) -> str:
    """Return a whole page; `body` is HTML, the title is text."""
    inner = "\n".join(body)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n"
        f"<h1>{escape(title)}</h1>\n{inner}\n</main>\n</body>\n</html>\n"
    )


def section(heading: str, body: Iterable[str]) -> str:
    """Return a section; `body` is HTML, the heading is text."""
    return f"<section>\n<h2>{escape(heading)}</h2>\n" + "\n".join(body) + "\n</section>"


def listing(lines: Iterable[str]) -> str:
    """Return lines of text as a list."""
    return "<ul>\n" + "\n".join(f"<li>{escape(line)}</li>" for line in lines) + "\n</ul>"


def table(
    head: Sequence[str], rows: Iterable[Sequence[object]], *, caption: str = "", numbers: Sequence[int] = ()
) -> str:
    """Return a table of texts; `numbers` are the columns set to the right, None is an empty cell to write in."""

    def cell(tag: str, at: int, value: object) -> str:
        kind = ' class="blank"' if value is None else ' class="number"' if at in numbers else ""
        scope = ' scope="col"' if tag == "th" else ""
        return f"<{tag}{scope}{kind}>{'' if value is None else escape(str(value))}</{tag}>"

    lines = ["<table>", f"<caption>{escape(caption)}</caption>"] if caption else ["<table>"]
    lines.append(
        "<thead><tr>" + "".join(cell("th", at, name) for at, name in enumerate(head)) + "</tr></thead>\n<tbody>"
    )
    lines += ["<tr>" + "".join(cell("td", at, value) for at, value in enumerate(row)) + "</tr>" for row in rows]
    return "\n".join([*lines, "</tbody>", "</table>"])
