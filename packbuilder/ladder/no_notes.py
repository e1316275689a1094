"""The no-notes solver: how many facts a person must hold in mind who writes nothing.

The figure is the least k such that there is always a next placement that can be seen with at
most k marks held (the mark load).  See `marks` for what a mark is.
"""
