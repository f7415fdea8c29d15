"""What is refused, with the sentence that says so to the person who asked."""


def N_(sentence: str) -> str:
    """Mark a sentence for the catalogues, which look for this name; pages translate it."""
    return sentence


class Refusal(Exception):
    """Something is not done. `sentence` is what the web translates, `data` fills its gaps."""

    sentence = N_("This was refused.")

    def __init__(self, **data: object) -> None:
        self.data = data
        super().__init__(self.sentence % data)
