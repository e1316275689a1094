"""As planned: the file is the plan. Every mark, run of letters, link, field, tag, box and key of a
printed file is an item of the plan, and every item of the plan is in the file; nothing more,
nothing less, nowhere else, whatever it is.

It knows no house style and shares nothing with the press but the plan. `file` takes the bytes
apart, `syntax` each object, `content` the operators of a page; `marks`, `notes`, `structure`,
`fonts`, `metadata` and `document` say what the plan makes of them; `objects` holds the one against
the other.
"""

from packbuilder.readback.as_planned.comparing import differences

__all__ = ["differences"]
