"""How the layers of a map look, as Styled Layer Descriptor 1.0.0, the open standard of the OGC (02-070, from memory).

Shapes and line patterns differ, not colours alone: the map is legible in grey.
"""

from html import escape

_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?><StyledLayerDescriptor version="1.0.0" xmlns="http://www.opengis.net/sld" '
    'xmlns:ogc="http://www.opengis.net/ogc" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:schemaLocation="http://www.opengis.net/sld '
    'http://schemas.opengis.net/sld/1.0.0/StyledLayerDescriptor.xsd">'
)


def layer_style(layer: str) -> str:
    """Return the style of one of the layers of ``ground_geopackage``; every layer has one."""
    return _HEAD + (
        f"<NamedLayer><Name>{escape(layer)}</Name><UserStyle><Name>{escape(layer)}</Name><FeatureTypeStyle>"
        f"{''.join(_RULES[layer])}</FeatureTypeStyle></UserStyle></NamedLayer></StyledLayerDescriptor>"
    )


def styled_layers() -> tuple[str, ...]:
    """Return the names of the layers that have a style."""
    return tuple(_RULES)


def _css(**values: str | float) -> str:
    return "".join(f'<CssParameter name="{name.replace("_", "-")}">{value}</CssParameter>' for name, value in values.items())


def _stroke(colour: str, width: float, dashes: str = "") -> str:
    dashed = {"stroke_dasharray": dashes} if dashes else {}
    return f"<Stroke>{_css(stroke=colour, stroke_width=width, **dashed)}</Stroke>"


def _fill(colour: str, opacity: float) -> str:
    return f"<Fill>{_css(fill=colour, fill_opacity=opacity)}</Fill>"


def _area(colour: str, opacity: float, *, edge: str, width: float = 1.0, dashes: str = "") -> str:
    return f"<PolygonSymbolizer>{_fill(colour, opacity)}{_stroke(edge, width, dashes)}</PolygonSymbolizer>"


def _line(colour: str, width: float, dashes: str = "") -> str:
    return f"<LineSymbolizer>{_stroke(colour, width, dashes)}</LineSymbolizer>"


def _mark(shape: str, colour: str, size: float) -> str:
    mark = f"<Mark><WellKnownName>{shape}</WellKnownName>{_fill(colour, 1.0)}{_stroke('#000000', 1.0)}</Mark>"
    return f"<PointSymbolizer><Graphic>{mark}<Size>{size}</Size></Graphic></PointSymbolizer>"


def _name(column: str, size: float = 11.0) -> str:
    font = f"<Font>{_css(font_family='sans-serif', font_size=size)}</Font>"
    halo = f"<Halo><Radius>1.5</Radius>{_fill('#ffffff', 0.9)}</Halo>"
    text = f"<Label><ogc:PropertyName>{column}</ogc:PropertyName></Label>"
    return f"<TextSymbolizer>{text}{font}{halo}{_fill('#000000', 1.0)}</TextSymbolizer>"


def _rule(title: str, *symbolizers: str, kind: str = "") -> str:
    chosen = (
        f"<ogc:Filter><ogc:PropertyIsEqualTo><ogc:PropertyName>kind</ogc:PropertyName><ogc:Literal>{kind}</ogc:Literal>"
        "</ogc:PropertyIsEqualTo></ogc:Filter>"
        if kind
        else ""
    )
    return f"<Rule><Name>{title}</Name><Title>{title}</Title>{chosen}{''.join(symbolizers)}</Rule>"


def _farness() -> tuple[str, ...]:
    """Return rules by the distance of an acre to its hives: larger and darker is farther."""
    steps = ((0, 300, "#ffffff"), (300, 600, "#c6c6c6"), (600, 933, "#7a7a7a"), (933, 100_000, "#000000"))
    rules = []
    for low, high, colour in steps:
        within = (
            "<ogc:Filter><ogc:And>"
            f"<ogc:PropertyIsGreaterThanOrEqualTo><ogc:PropertyName>distance_ft</ogc:PropertyName><ogc:Literal>{low}</ogc:Literal>"
            "</ogc:PropertyIsGreaterThanOrEqualTo>"
            f"<ogc:PropertyIsLessThan><ogc:PropertyName>distance_ft</ogc:PropertyName><ogc:Literal>{high}</ogc:Literal>"
            "</ogc:PropertyIsLessThan></ogc:And></ogc:Filter>"
        )
        title = f"{low} to {high} ft" if high < 100_000 else f"{low} ft and more"
        rules.append(f"<Rule><Name>{title}</Name><Title>{title}</Title>{within}{_mark('circle', colour, 6)}</Rule>")
    return tuple(rules)


_RULES: dict[str, tuple[str, ...]] = {
    "blocks": (_rule("block", _area("#dfeacf", 0.5, edge="#3d5a1e", width=1.5), _name("name", 12)),),
    "kept_clear": (_rule("no hives here", _area("#d9d9d9", 0.45, edge="#555555", dashes="2 3")),),
    "land_areas": (
        _rule("water", _area("#bcd8ee", 0.8, edge="#2b5f8a"), _name("name"), kind="water"),
        _rule("competing bloom", _area("#f3e6a8", 0.5, edge="#7a6a10", dashes="6 2"), _name("name"), kind="competing bloom"),
        _rule("wood or windbreak", _area("#9fb898", 0.7, edge="#2f4a2a"), _name("name"), kind="shade"),
        *(
            _rule(kind, _area("#e8d9d0", 0.6, edge="#6b3a1f", dashes="4 2"), _name("name"), kind=kind)
            for kind in ("house", "school", "livestock", "spray neighbour", "wet ground", "steep ground", "no entry", "hazard",
                         "public road")
        ),
    ),
    "land_lines": (
        _rule("track", _line("#7a5c3a", 2.5), _name("name"), kind="track"),
        _rule("public road", _line("#000000", 3.0), _name("name"), kind="public road"),
        _rule("water", _line("#2b5f8a", 2.0), _name("name"), kind="water"),
        *(
            _rule(kind, _line("#6b3a1f", 1.5, "6 3"), _name("name"), kind=kind)
            for kind in ("shade", "hazard", "house", "school", "livestock", "spray neighbour")
        ),
    ),
    "land_points": (
        _rule("house", _mark("square", "#ffffff", 10), _name("name"), kind="house"),
        _rule("school", _mark("star", "#ffffff", 12), _name("name"), kind="school"),
        *(
            _rule(kind, _mark("triangle", "#ffffff", 11), _name("name"), kind=kind)
            for kind in ("hazard", "livestock", "spray neighbour", "water", "shade", "public road")
        ),
    ),
    "acres": _farness(),
    "gates": (_rule("gate", _mark("cross", "#000000", 12), _name("name")),),
    "drops": (_rule("drop", _mark("circle", "#000000", 11), _name("label", 13)),),
}  # fmt: skip
