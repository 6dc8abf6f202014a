"""What the preview says beside a page: in the words of `check`, with the line."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from markupsafe import Markup

from kbgen.report import Located, as_text, counts
from kbgen.serve.preview import Shown
from kbgen.serve.printed import FOLDER, Printed
from kbgen.views.address import NOT_FOUND

OWN = ".kbgen"
PROBLEMS = f"{OWN}/problems"
_HEAD = Markup(
    '<link rel="stylesheet" href="/{own}/preview.css"><script defer src="/{own}/preview.js"></script></head>'
).format(own=OWN)


def page(shown: Shown, where: str, prefix: str, printed: Printed) -> bytes | None:
    """Return a page with its panel; ``None`` where there is no such page.

    Args:
        where: Its address from the site's root.
        prefix: What leads from the current folder to the knowledge base.
        printed: Draws what is printed.
    """
    if where == PROBLEMS:
        return _set_in(_problems_page(shown, prefix), Markup())
    if where.startswith(FOLDER):
        sheets = printed.page(shown, where.removeprefix(FOLDER))
        return _set_in(sheets, Markup()) if sheets is not None else None
    if where not in shown.site.pages:
        return None
    return _set_in(shown.site.page(where), _panel(shown, where, prefix))


def missing(shown: Shown, prefix: str) -> bytes:
    """Return the page for an address where nothing is, such as that of a file that was renamed."""
    return _set_in(shown.site.beside[NOT_FOUND], _panel(shown, "", prefix))


def mark_of(content: bytes) -> str:
    """Return a mark of what a page shows; another one is another page."""
    return hashlib.sha256(content).hexdigest()[:20]


def _set_in(content: bytes, panel: Markup) -> bytes:
    # The page's own HTML is ours and has each of these once, before anything an author typed.
    whole = content.replace(b"</head>", _HEAD.encode(), 1).replace(b"<body>", b"<body>" + panel.encode(), 1)
    return whole.replace(b"<body>", f'<body data-preview="{mark_of(whole)}">'.encode(), 1)


def _panel(shown: Shown, where: str, prefix: str) -> Markup:
    own = shown.of(where)
    said = counts(own) if own else "nothing wrong"
    lines = [
        Markup("<p><strong>Preview.</strong> {}: {}.</p>").format(
            prefix + shown.files.get(where, "kb.yaml"), said
        ),
        *(
            [Markup("<p>This file cannot be shown as it is now. The page shows what it was before.</p>")]
            if where in shown.stale
            else []
        ),
        *_listed(own, prefix),
        *(
            [Markup('<p><a href="/{}{}">Printed pages</a></p>').format(FOLDER, where)]
            if where in shown.files
            else []
        ),
        Markup('<p><a href="/{}">All problems: {}</a></p>').format(PROBLEMS, counts(shown.problems)),
        Markup('<p class="preview-doing" role="status"></p>'),
    ]
    return Markup('<aside class="preview" aria-label="Preview">{}</aside>').format(Markup().join(lines))


def _listed(problems: Iterable[Located], prefix: str) -> Iterable[Markup]:
    for problem in problems:
        text = as_text([problem], prefix).rstrip()
        yield Markup('<pre class="preview-{}" tabindex="0">{}</pre>').format(problem.severity.value, text)


def _problems_page(shown: Shown, prefix: str) -> bytes:
    pages = {path: where for where, path in shown.files.items()}
    rows: list[Markup] = []
    by_file: dict[str, list[Located]] = {}
    for problem in shown.problems:
        by_file.setdefault(problem.path, []).append(problem)
    for path, found in by_file.items():
        where = pages.get(path, "index.html")
        rows.append(Markup('<h2><a href="/{}">{}</a></h2>').format(where, prefix + path))
        rows += _listed(found, prefix)
    title = f"All problems: {counts(shown.problems)}"
    whole = Markup(
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><title>{0}</title>'
        '<link rel="icon" href="data:,"></head><body>'
        '<main class="preview-problems"><p><a href="/index.html">Home</a></p><h1>{0}</h1>{1}'
        '<p class="preview-doing" role="status"></p></main></body></html>'
    ).format(title, Markup().join(rows))
    return whole.encode()
