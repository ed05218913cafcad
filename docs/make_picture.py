"""The picture in the README: a crop of the demo game's report, as headless Chromium shows it.

    python docs/make_picture.py

Prices the demo game, keeps the headline and one entry of the page, and writes docs/img/report.png.
The picture carries a hash of what it shows, so that a test can tell when it is stale.
"""

from __future__ import annotations

import hashlib
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from pointsleft.cli.demo import demo_log
from pointsleft.game.price import price_game
from pointsleft.log import read_log
from pointsleft.pricing.result import PricedGame
from pointsleft.report.figures import dearest, main_currency
from pointsleft.report.page import render_page

PICTURE = Path(__file__).parent / "img" / "report.png"

#: Width of the page in pixels, and a height that surely holds what is shown.
WIDTH, TALLEST = 1040, 2600

#: Margin left below the last line, pixels.
MARGIN = 28

#: Colours of the picture's file.
COLOURS = 200

SOURCE = "Source"


def shown(game: PricedGame) -> str:
    """The page with its headline and its dearest entry, and nothing else."""
    page = render_page(game)
    keep = (
        "<style>main > *:not(.top):not(.headline):not(.dearest), .dearest > h2, "
        ".dearest > p, .dearest > .entry ~ .entry, .hurried { display: none !important; } "
        "@media screen { .entry { border: 0 } }</style>"
    )
    return page.replace("</head>", keep + "</head>", 1)


def digest(game: PricedGame) -> str:
    """Hash of what the picture shows: the headline and the dearest entry in words and figures."""
    decision, _ = dearest(game, main_currency(game), 1)[0]
    text = repr((sorted(game.headline.items()), decision.snap, decision.points, decision.wins))
    short = re.sub(r"-?\d+\.\d+", lambda m: f"{float(m[0]):.3f}", text)
    return hashlib.sha256(short.encode()).hexdigest()[:16]


def demo() -> PricedGame:
    """The demo game as the demo command prices it."""
    return price_game(read_log(demo_log()))


def main() -> None:
    """Write the picture, or say what is missing."""
    chromium = next(
        filter(None, map(shutil.which, ("chromium", "chromium-browser", "chrome"))), None
    )
    if chromium is None:
        sys.exit("Chromium is not installed: the picture was not made")
    game = demo()
    with tempfile.TemporaryDirectory() as folder:
        page, shot = Path(folder) / "page.html", Path(folder) / "shot.png"
        # the page's own content policy stops styles that are not its own
        loose = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", shown(game))
        page.write_text(loose, encoding="utf-8")
        subprocess.run(
            [
                chromium, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
                f"--window-size={WIDTH},{TALLEST}", f"--screenshot={shot}", page.as_uri(),
            ],
            check=True, capture_output=True, timeout=120,
        )  # fmt: skip
        _crop(shot, digest(game))
    print(PICTURE)


def _crop(shot: Path, source: str) -> None:
    """Cut the empty end off and save in few colours."""
    from PIL import Image, ImageChops
    from PIL.PngImagePlugin import PngInfo

    about = PngInfo()
    about.add_text(SOURCE, source)
    with Image.open(shot) as taken:
        picture = taken.convert("RGB")
    ground = Image.new("RGB", picture.size, picture.getpixel((1, picture.height - 1)))
    box = ImageChops.difference(picture, ground).getbbox()
    assert box is not None
    cut = picture.crop((0, 0, picture.width, min(box[3] + MARGIN, picture.height)))
    PICTURE.parent.mkdir(exist_ok=True)
    few = cut.quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(PICTURE, optimize=True, pnginfo=about)


if __name__ == "__main__":
    main()
