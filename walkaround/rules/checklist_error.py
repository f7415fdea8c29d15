"""What is wrong at one place of a checklist document."""

Path = tuple[str | int, ...]


class ChecklistError(ValueError):
    """What is wrong at one place of a checklist document, and what would be right."""

    def __init__(
        self, path: Path, sentence: str, *, at_key: bool = False, first: Path | None = None
    ) -> None:
        """`at_key`: the key itself is wrong, not its value; `first`: the place it repeats."""
        super().__init__(f"{'/'.join(map(str, path)) or 'the document'}: {sentence}")
        self.path = path
        self.sentence = sentence
        self.at_key = at_key
        self.first = first
