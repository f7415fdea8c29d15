"""Sheets of labels: the painted number to be seen from afar, and the way in for a phone."""

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass, replace

from walkaround import words
from walkaround.paper import qr, sheet
from walkaround.rules.refusal import N_, Refusal

# In mm, as in paper.css. A module of the code is never printed smaller than 0.8 mm.
MODULE = 0.8
CODE, WIDE_CODE = 42, 48
LINE, WIDE_LINE = 79.5, 176.5
# Type sizes that give capitals of 19 and 16 mm in DejaVu Sans Bold. A hand's rule asks for 1/200
# of the distance, so 15 mm for 3 m (common practice, no source).
TALL, PLAIN = 26, 22
PLACE = 34  # characters of an address that two lines beside the code take
MARK = 17  # what the mark takes beside a number, where there is room
POINT = 25.4 / 72

# Words of any length: their line, their room, and in which sizes they are set, the largest first,
# each with its type in points and its line in mm.
Sizes = tuple[tuple[str, float, float], ...]
MACHINE = (LINE, WIDE_LINE), 8, (("plain", 9.5, 4), ("small", 7, 2.6), ("tiny", 5.4, 1.95))
CAUTION = LINE, 11.2, (("plain", 7, 2.77), ("small", 6, 2.37), ("tiny", 5.2, 2.06))
WIDE_CAUTION = 130, 15, (("plain", 8.5, 3.36), ("small", 7, 2.77), ("tiny", 6, 2.37))

# Advances in DejaVu Sans Bold, in parts of the type size, rounded up.
_WIDTHS = (
    (0.46, " '.,:;-/\\|!()[]IJijlf"),
    (0.70, '0123456789$EFLTacekrstvxyz*?"_`'),
    (0.78, "ABCPRSVXYZKbdghnopqu{}"),
    (0.88, "DGHNOQU#+<=>^~&"),
)
_WIDEST, _FOREIGN = 1.11, 1.4  # in Latin-1, and beyond it


class AddressTooLong(Refusal):
    sentence = N_("The address %(place)s is too long for a label: give the server a shorter name.")


@dataclass(frozen=True)
class Label:
    """What one label says; its address is the whole of what the code holds."""

    number: str
    title: str
    machine: str
    address: str

    @property
    def place(self) -> str:
        """Return the address to type, without the token, which nobody types."""
        return self.address.partition("/q/")[0].removeprefix("https://")

    @property
    def picture(self) -> str:
        """Return the code as a data address."""
        return "data:image/png;base64," + b64encode(qr.png(self.address)).decode()

    @property
    def wide(self) -> bool:
        """Say whether number, address or code need the width of the sheet; raise AddressTooLong."""
        modules = qr.modules(self.address)
        if modules * MODULE > WIDE_CODE:
            raise AddressTooLong(place=self.place)
        fine = modules * MODULE > CODE
        return fine or len(self.place) > PLACE or _squeeze(self.number, LINE) < 70


def labels_pdf(
    labels: Sequence[Label],
    site: str,
    language: str,
    gettext: sheet.Gettext,
    call: str | None = None,
) -> bytes:
    """Return A4 sheets of labels, wide ones last; `call`: whom to call about a machine."""
    if not labels:
        raise ValueError("there is no label to print")
    made = [_face(_named(label, gettext)) for label in labels]
    faces = sorted(made, key=lambda face: bool(face["wide"]))
    return sheet.pdf("labels.html", language, gettext, faces=faces, site=site, call=call)


def _named(label: Label, gettext: sheet.Gettext) -> Label:
    said = words.machine(label.machine, gettext), words.machine(label.title, gettext)
    return replace(label, machine=said[0], title=said[1])


def _face(label: Label) -> dict[str, object]:
    """Return what the template asks of a label, found once."""
    wide = label.wide
    line = WIDE_LINE if wide else LINE
    return {
        "label": label,
        "wide": wide,
        "letters": _letters(label.number, line),
        "marked": _ems(label.number) * TALL + MARK <= line,
        "machine_size": _machine_size,
        "caution_size": _caution_size,
    }


def _machine_size(words: str, *, wide: bool) -> str:
    lines, room, sizes = MACHINE
    return _size(words, lines[wide], room, sizes)


def _caution_size(words: str, *, wide: bool) -> str:
    return _size(words, *(WIDE_CAUTION if wide else CAUTION))


def _size(words: str, line: float, room: float, sizes: Sizes) -> str:
    """Return the largest size at which nothing is cut off, else the smallest."""
    fitting = (
        name
        for name, points, height in sizes
        if _lines(words, line / (points * POINT)) * height <= room
    )
    return next(fitting, sizes[-1][0])


def _lines(words: str, most: float) -> int:
    """Return how many lines of so many ems words take; what is too long for one is broken."""
    lines, used = 1, 0.0
    for word in words.split():
        if used and used + _ems(" " + word) > most:
            lines, used = lines + 1, 0.0
        used += _ems(" " + word if used else word)
        lines, used = lines + int(used // most), used % most
    return lines


def _letters(number: str, line: float) -> str:
    """Return how a number is set: tall, plain, or plain and squeezed to so many per cent."""
    if _ems(number) * TALL <= line:
        return "tall"
    squeeze = _squeeze(number, line)
    return "plain" if squeeze == 100 else f"squeezed-{squeeze}"


def _squeeze(number: str, line: float) -> int:
    """Return the width, in per cent and steps of ten, at which the number fits on a line."""
    fits = line / (_ems(number) * PLAIN)
    return max(40, min(10, int(fits * 10)) * 10)


def _ems(number: str) -> float:
    return sum(_em(sign) for sign in number) or _WIDEST


def _em(sign: str) -> float:
    unlisted = _WIDEST if sign <= "\xff" else _FOREIGN
    return next((width for width, signs in _WIDTHS if sign in signs), unlisted)
