"""A request that is not carried out, and why."""


class NotDone(Exception):  # noqa: N818 - says what happened
    """Nothing was changed. `status` as in HTTP, `code` for programs, `what` in one sentence for people."""

    def __init__(self, status: int, code: str, what: str) -> None:
        super().__init__(what)
        self.status, self.code, self.what = status, code, what
