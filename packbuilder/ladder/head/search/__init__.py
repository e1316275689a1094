"""The compiled search of the solve without notes; `position` lays out what it is asked for."""
