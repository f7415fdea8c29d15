"""What a measurement says, on a line of its own."""


def say(sentence: str) -> None:
    print(f"\n{sentence}", end="")  # noqa: T201  (to be read is what it is for)
