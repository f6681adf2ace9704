"""Signs that mean the same: full-width letters and digits (Unicode block U+FF00), and the wide blank and wave dash."""

_NARROW = {wide: wide - 0xFEE0 for wide in range(0xFF01, 0xFF5F)} | {
    ord("\N{IDEOGRAPHIC SPACE}"): " ",
    ord("\N{WAVE DASH}"): "~",
}


def narrow(text: str) -> str:
    """The text with a plain sign for each wide one, so that every offset stays."""
    return text if text.isascii() else text.translate(_NARROW)
