"""Scenes on PDF pages at true scale.

Fonts are embedded, dates are fixed, and viewers are asked not to scale pages when printing; not all of them
obey, so templates also carry bars to measure.
"""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from hullcut.drawing import font
from hullcut.drawing.scene import Arc, Line, Scene, Text
from hullcut.drawing.segments import arc_curves, segment_start
from hullcut.drawing.style import line_style

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import IO, Literal

    from hullcut.drawing.scene import Path, Point, Shape
    from hullcut.drawing.segments import Box

__all__ = ["POINTS_PER_MM", "SceneFlowable", "draw_scene", "new_canvas", "one_page", "prepare"]

POINTS_PER_MM = 72.0 / 25.4

# Streams stay binary: text-safe encoding is slow and makes files a quarter larger, and nothing needs it today.
rl_config.useA85 = 0


def prepare(canvas: Canvas, title: str, language: str = "en") -> None:
    """Give a canvas its title and language, and ask viewers to print at actual size.

    For a canvas made elsewhere, which should have been made with `invariant=1` to have no date in it.
    """
    font.register_fonts()
    canvas.setTitle(title)
    canvas.setAuthor("hullcut")
    canvas.setCreator("hullcut")
    canvas.setProducer("hullcut")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setCatalogEntry("Lang", language)


def new_canvas(target: str | IO[bytes], title: str, width_mm: float, height_mm: float) -> Canvas:
    """A canvas whose first page has the given size; the same drawing gives the same bytes."""
    size = (width_mm * POINTS_PER_MM, height_mm * POINTS_PER_MM)
    font.register_fonts()
    # The stubs take a font's name for a number.
    canvas = Canvas(target, size, pageCompression=1, invariant=1, initialFontName=font.REGULAR)  # type: ignore[arg-type]
    prepare(canvas, title)
    return canvas


# Operators that paint a path by whether it is stroked and filled; areas by the even-odd rule, so that holes stay open.
_PAINT = {(True, False): "S", (False, True): "f*", (True, True): "B*"}


class _Pen:
    """Draws in a scene's axes on a canvas, keeping track of what is set."""

    def __init__(self, canvas: Canvas, x: float, y: float, factor: float) -> None:
        self.canvas, self.x, self.y, self.factor = canvas, x, y, factor
        self.stroke: tuple[str, float, tuple[float, ...]] | None = None
        self.fill: str | None = None

    def point(self, point: Point) -> Point:
        return (self.x + self.factor * point[0], self.y + self.factor * point[1])

    def set_stroke(self, colour: str, width: float, dash: tuple[float, ...]) -> None:
        wanted = (colour, width, dash)
        if self.stroke == wanted:
            return
        self.canvas.setStrokeColorRGB(*_rgb(colour))
        self.canvas.setLineWidth(width * POINTS_PER_MM)
        self.canvas.setDash([length * POINTS_PER_MM for length in dash])
        self.stroke = wanted

    def set_fill(self, colour: str) -> None:
        if self.fill != colour:
            self.canvas.setFillColorRGB(*_rgb(colour))
            self.fill = colour

    def traced(self, path: Path) -> str:
        """A path in the page's own operators (ISO 32000-1, 8.5.2); empty where the path has no segments."""
        if not path.segments:
            return ""
        x, y, factor = self.x, self.y, self.factor
        start = segment_start(path.segments[0])
        traced = [f"{x + factor * start[0]:.4f} {y + factor * start[1]:.4f} m"]
        segments = path.segments
        if path.closed and len(segments) > 1 and isinstance(segments[-1], Line):
            segments = segments[:-1]
        for segment in segments:
            if isinstance(segment, Line):
                end = segment.end
                traced.append(f"{x + factor * end[0]:.4f} {y + factor * end[1]:.4f} l")
                continue
            for curve in arc_curves(segment) if isinstance(segment, Arc) else (segment,):
                points = (self.point(point) for point in (curve.control1, curve.control2, curve.end))
                traced += [f"{across:.4f} {up:.4f}" for across, up in points]
                traced.append("c")
        if path.closed:
            traced.append("h")
        return " ".join(traced)

    def shape(self, shape: Shape) -> None:
        style = line_style(shape.role)
        width = style.width if shape.width is None else shape.width
        stroked = shape.stroke != "none" and width > 0
        if not (stroked or shape.fill) or not any(path.segments for path in shape.paths):
            return
        if stroked:
            self.set_stroke(shape.stroke or style.colour, width, style.dash)
        if shape.fill:
            self.set_fill(shape.fill)
        # The library's own path writer spends most of its time on trimming noughts off numbers.
        traced = [self.traced(path) for path in shape.paths]
        self.canvas.addLiteral(" ".join([*filter(None, traced), _PAINT[stroked, bool(shape.fill)]]))

    def text(self, text: Text) -> None:
        self.set_fill(text.colour or line_style(text.role).colour)
        size = text.size * self.factor
        name = font.face_name(text.bold)
        width = font.text_width(text.text, size, text.bold)
        back = {"start": 0.0, "middle": -0.5 * width, "end": -width}[text.anchor]
        canvas = self.canvas
        canvas.setFont(name, size)
        x, y = self.point(text.at)
        if text.angle % 360.0 == 0.0:
            canvas.drawString(x + back, y, text.text)
            return
        canvas.saveState()
        canvas.translate(x, y)
        canvas.rotate(text.angle)
        canvas.drawString(back, 0, text.text)
        canvas.restoreState()


def _rgb(colour: str) -> tuple[float, float, float]:
    return (int(colour[1:3], 16) / 255, int(colour[3:5], 16) / 255, int(colour[5:7], 16) / 255)


def draw_scene(
    canvas: Canvas, scene: Scene, x_mm: float, y_mm: float, scale: float = 1.0, clip: Box | None = None
) -> None:
    """Draw a scene with the lower left corner of its ground at a place on the page.

    Args:
        canvas: of reportlab, its axes as at the start of a page or moved.
        scene: what to draw.
        x_mm: from the left of the page, mm.
        y_mm: from the foot of the page, mm.
        scale: 1 for true size; texts are scaled too, line widths are not.
        clip: a box in the scene's axes, mm, outside which nothing shows.
    """
    factor = scale * POINTS_PER_MM
    x, y = x_mm * POINTS_PER_MM - factor * scene.x0, y_mm * POINTS_PER_MM - factor * scene.y0
    canvas.saveState()
    canvas.setLineJoin(1)
    pen = _Pen(canvas, x, y, factor)
    if clip is not None:
        border = canvas.beginPath()
        corner = pen.point((clip[0], clip[1]))
        border.rect(*corner, factor * (clip[2] - clip[0]), factor * (clip[3] - clip[1]))
        canvas.clipPath(border, stroke=0, fill=0)
    for item in scene.items:
        if isinstance(item, Text):
            pen.text(item)
        else:
            pen.shape(item)
    canvas.restoreState()


def one_page(scenes: Sequence[Scene], title: str = "") -> bytes:
    """A PDF in which every scene has a page of its own size.

    Args:
        scenes: at least one.
        title: of the file; the first scene's title if empty.
    """
    buffer = BytesIO()
    canvas = new_canvas(buffer, title or scenes[0].title, scenes[0].width, scenes[0].height)
    for scene in scenes:
        canvas.setPageSize((scene.width * POINTS_PER_MM, scene.height * POINTS_PER_MM))
        draw_scene(canvas, scene, 0.0, 0.0)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


class SceneFlowable(Flowable):
    """A scene as a picture in running prose.

    Args:
        scene: what to draw.
        width_mm: of the picture; its height follows. None for true size.
        align: "LEFT", "CENTER" or "RIGHT" in the column.
    """

    def __init__(
        self,
        scene: Scene,
        width_mm: float | None = None,
        align: Literal["LEFT", "CENTER", "RIGHT"] = "CENTER",
    ) -> None:
        super().__init__()
        self.scene = scene
        self.scale = 1.0 if width_mm is None else width_mm / scene.width
        self.width = self.scale * scene.width * POINTS_PER_MM
        self.height = self.scale * scene.height * POINTS_PER_MM
        self.hAlign = align

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Width and height wanted, points."""
        return (self.width, self.height)

    def draw(self) -> None:
        """Draw at the canvas's present origin."""
        draw_scene(self.canv, self.scene, 0.0, 0.0, self.scale)
