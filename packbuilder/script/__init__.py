"""The script: a solve on camera, as words to speak, a board to show and a sheet to rehearse from.

`looks` are the moves, in the head or with notes; `beats` groups them by the minute; `board`,
`sheets` and `markdown` say them in their forms; `reading` reads the files back; `making` makes all
or nothing.
"""
