"""What is wrong with a printed page, seen on its PDF: something cut, a lost heading, a lone line."""

import html
import re
import unicodedata
from pathlib import Path

import pypdfium2

FEWEST = 3
"""Lines of text that a page has if it has no picture."""
_BLOCKS = r"<(h[1-4]|p|li|td|th|figcaption|caption|pre)\b([^>]*)>(.*?)</\1>"


def _plain(text: str) -> str:
    """Letters and digits alone, so that line breaks, ligatures and hyphens don't count."""
    shown = html.unescape(re.sub(r"<[^>]+>", "", text))
    return "".join(sign for sign in unicodedata.normalize("NFKC", shown) if sign.isalnum())


def wrong_with(page: str, pdf: Path) -> list[str]:
    """Return a line for each thing that is wrong with the PDF made of a page of HTML."""
    document = pypdfium2.PdfDocument(pdf)
    texts, wrong = [], []
    body = re.sub(r"<style.*?</style>|<head.*?</head>", "", page, flags=re.DOTALL)
    blocks = re.findall(_BLOCKS, body, flags=re.DOTALL)
    headings = {_plain(words) for tag, _, words in blocks if tag.startswith("h") and _plain(words)}
    for number, sheet in enumerate(document, start=1):
        text = sheet.get_textpage()
        said, boxes = (
            text.get_text_range(),
            [text.get_charbox(n) for n in range(text.count_chars())],
        )
        inked = [box for box in boxes if box[2] - box[0] > 0.5]
        has_picture = any(one.type == 3 for one in sheet.get_objects())
        lines = {round(box[1] / 4) for box in inked}
        if inked and not has_picture and len(lines) < FEWEST:
            wrong.append(f"page {number} has only: {' '.join(said.split())}")
        if any(_plain(said).endswith(one) for one in headings if len(one) > 3) and not has_picture:
            wrong.append(f"page {number} ends with a heading: {said.splitlines()[-1]}")
        texts.append(_plain(said))
        text.close()
        sheet.close()
    document.close()
    whole = "".join(texts)
    for _, told, words in blocks:
        if "labkit-screen" not in told + words and _plain(words) not in whole:
            wrong.append(f"missing: {' '.join(re.sub('<[^>]+>', '', words).split())[:80]}")
    return wrong
