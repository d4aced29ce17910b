"""What a command says when it cannot do its work."""


class CliError(Exception):
    """The text is meant for a person and says what to do next."""

    def __init__(self, text: str, code: int = 1) -> None:
        super().__init__(text)
        self.code = code
