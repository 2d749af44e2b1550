"""Whether a picture can be read to its last pixel, asked when it is taken in: later the original may be gone."""

from __future__ import annotations

import io
import warnings

from db.company_file.problems import Refused

MOST_PIXELS = 120_000_000
"""More than any phone's photo has; a small file that claims more would fill the memory when it is shown."""


class BrokenPicture(Refused):
    """The picture cannot be read to its end."""


def must_be_whole_picture(called: str, content: bytes) -> None:
    """Read every pixel of a JPEG, PNG or GIF.

    Args:
        called: the file's name, for the message.

    Raises:
        BrokenPicture: it is cut short, damaged or absurdly large.
    """
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a photo with an odd note in it is still a photo
            with Image.open(io.BytesIO(content), formats=("JPEG", "PNG", "GIF")) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    raise Image.DecompressionBombError
                picture.load()
    except Image.DecompressionBombError as error:
        raise BrokenPicture(
            f"{called} says it has more than {MOST_PIXELS // 10**6} million pixels.",
            "Choose a picture of a usual size.",
        ) from error
    except Exception as error:  # whatever a decoder stumbles over, the picture cannot be shown
        raise BrokenPicture(
            f"{called} is broken: it cannot be read to its end.",
            "It was not taken in. Copy it again from the phone or camera, or open it there and share it anew.",
        ) from error
