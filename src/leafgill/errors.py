"""The one kind of error that is the keeper's to mend."""


class InputError(ValueError):
    """Something typed or written cannot be meant; `str(error)` is one line that says what.

    `where` names the place ("tank.toml [water] kh_dkh", "diary.csv line 14") when it is not
    already part of the message.
    """

    def __init__(self, message: str, where: str = "") -> None:
        super().__init__(" ".join(message.split()))
        self.where = where

    def __str__(self) -> str:
        message = super().__str__()
        return f"{self.where}: {message}" if self.where else message
