"""How a figure is spoken of."""


def figure(value: float) -> str:
    """Return a value as it is spoken of: two figures where it is small, whole where it is large.

    >>> figure(0.914), figure(3.0), figure(47.3), figure(-0.26)
    ('0.91', '3', '47', '−0.26')
    """
    size = abs(value)
    text = f"{value:.0f}" if size >= 20.0 else f"{value:.1f}" if size >= 2.0 else f"{value:.2f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text.replace("-", "−")
