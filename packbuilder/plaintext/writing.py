"""From the outline to the file: short lines, references filled in, line feeds, UTF-8."""

from __future__ import annotations

from packbuilder.plan.outline import WIDTH, Block, Head, Outline, Rows, To

NO_BREAK = "\u00a0"


def encoded(outline: Outline) -> bytes:
    """The file: blocks set apart by a blank line."""
    lines: list[str | To] = []
    places: dict[Head, int] = {}

    def put(block: list[str | To]) -> None:
        lines.extend(["", *block] if lines else block)

    for block in outline.front:
        put(_lines(block))
    for node in outline.nodes:
        places[node.head] = len(lines) + (2 if lines else 1)
        put([*filled(f"{node.mark} {node.title}")])
        for block in node.body:
            put(_lines(block))
    printed = (
        line.words.format(*(places[head] for head in line.heads)) if isinstance(line, To) else line
        for line in lines
    )
    return "".join(f"{line}\n" for line in printed).replace(NO_BREAK, " ").encode("utf-8")


def _lines(block: Block) -> list[str | To]:
    if isinstance(block, Rows):
        return [*block.lines]
    lines: list[str | To] = []
    for item in block.items:
        lines += [item] if isinstance(item, To) else filled(item)
    return lines


def filled(words: str) -> list[str]:
    """Words in as few lines as hold them."""
    lines: list[str] = []
    for word in words.split(" "):
        if lines and len(lines[-1]) + 1 + len(word) <= WIDTH:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
