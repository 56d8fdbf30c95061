"""The virtual bench: lenses, tools and a helper that exist only as numbers. Pure and seeded.

It shares no formula with `assistant.optics`: a lens is a matrix, a handling is a rotation or a reflection,
and everything else follows. So it can tell the tool when the tool is wrong.
"""
