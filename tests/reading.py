"""Independent readings of written PDFs: what a measuring reader finds on a page, in millimetres, y up."""

MM = 25.4 / 72


def bezier(p, t):
    """The point at t of a cubic curve with control points p."""
    s = 1 - t
    weights = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
    return tuple(sum(w * q[k] for w, q in zip(weights, p, strict=True)) for k in (0, 1))


def path_lines(item, page_height):
    """The runs of points of one path read from the PDF, mm, y up."""

    def up(point):
        return (point[0] * MM, (page_height - point[1]) * MM)

    runs = []
    for command, *points in item["path"]:
        points = [up(p) for p in points]
        if command == "m":
            runs.append([points[0]])
        elif command == "l":
            runs[-1].append(points[0])
        elif command == "c":
            start = runs[-1][-1]
            runs[-1] += [bezier((start, *points), k / 40) for k in range(1, 41)]
        elif command == "h":
            runs[-1].append(runs[-1][0])
    return runs


def read_lines(page):
    """Every stroked run of the page with its line width in mm."""
    found = []
    for item in [*page.lines, *page.rects, *page.curves]:
        if item["stroke"]:
            found += [(item["linewidth"] * MM, run) for run in path_lines(item, float(page.height))]
    return found
