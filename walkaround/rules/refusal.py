"""What is refused, with the sentence that says so to the person who asked."""


def N_(sentence: str) -> str:  # noqa: N802  (the name that message extraction looks for)
    """Mark a sentence for translation; it is translated where it is shown."""
    return sentence


class Refusal(Exception):
    """Something is not done. `sentence` is what the web translates, `data` fills its gaps."""

    sentence = N_("This was refused.")

    def __init__(self, **data: object) -> None:
        self.data = data
        super().__init__(self.sentence % data)
