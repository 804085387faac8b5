"""Draws `icon.png`: a flag on its pole, half of it still a web on the roll. Run it to make the picture again."""

from pathlib import Path

from PIL import Image, ImageDraw

SIZE, FINE = 128, 4


def draw() -> Image.Image:
    """The icon, drawn large and made small for smooth edges."""
    side = SIZE * FINE
    image = Image.new("RGBA", (side, side), (0, 0, 0, 0))
    pen = ImageDraw.Draw(image)

    def box(*corners: float) -> list[float]:
        return [corner * side for corner in corners]

    pen.rounded_rectangle(box(0.02, 0.02, 0.98, 0.98), radius=0.2 * side, fill="#0B5FA5")
    pen.rounded_rectangle(box(0.2, 0.14, 0.27, 0.88), radius=0.03 * side, fill="white")
    pen.polygon(box(0.27, 0.18, 0.84, 0.18, 0.72, 0.37, 0.84, 0.56, 0.27, 0.56), fill="white")
    for top in (0.26, 0.42):
        pen.rectangle(box(0.27, top, 0.74, top + 0.055), fill="#0B5FA5")
    return image.resize((SIZE, SIZE), Image.Resampling.LANCZOS)


if __name__ == "__main__":
    draw().save(Path(__file__).with_name("icon.png"), optimize=True)
