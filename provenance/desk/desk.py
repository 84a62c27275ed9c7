"""One desk: the record folder, the studio in memory, who watches, the secrets of this run.

In: the folder, today, whether it may only be looked at. Out: `Desk`, which every address is handed.
"""

import secrets
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from provenance.desk.due import Due
from provenance.desk.hands import Hands
from provenance.desk.memory import Memory, Seen
from provenance.desk.seeing import Sight
from provenance.desk.tabs import Tabs
from provenance.language.phrases import Phrases, british, phrases_for_maker
from provenance.problems import Slip
from provenance.public.border import Border


def _secret() -> str:
    return secrets.token_urlsafe(24)


@dataclass
class Desk:
    """What the addresses share; `pool` are worker processes for pictures and papers.

    `opening` opens the desk once in a browser that is told so by its address (which others may see
    for a moment), `key` whenever the maker types it; the browser keeps `cookie`, pages `token`.
    """

    folder: Path
    today: Callable[[], date]
    pool: Executor
    only_look: bool = False
    port: int = 0
    site: Path | None = None
    token: str = field(default_factory=_secret)
    key: str = field(default_factory=_secret)
    cookie: str = field(default_factory=_secret)
    opening: str = field(default_factory=_secret)
    watching: str = "events"  # or "looks": the disk tells nothing, so that it is looked at again
    door: Path | None = None  # the page that leads the browser in
    tabs: Tabs = field(default_factory=Tabs)

    def __post_init__(self) -> None:
        self.memory = Memory(self.folder, self.today)
        self.sight = Sight(self.memory, self.pool, self.site)
        self.due = Due(self.memory)
        self.hands = Hands(self.folder, self.today, self._ask, only_look=self.only_look,
                           tags_known=self.due.are_known)  # fmt: skip

    @property
    def keys(self) -> tuple[str, ...]:
        """What an address may be opened with."""
        return tuple(filter(None, (self.key, self.opening)))

    def used(self, key: str) -> None:
        """A key that others may have seen opens once; the page that led on with it goes."""
        if key == self.opening:
            self.opening = ""
            if self.door:
                self.door.unlink(missing_ok=True)

    @property
    def seen(self) -> Seen:
        """The newest reading. Slip where nothing can be read at all."""
        return self.memory.ask(lambda seen: seen)

    @property
    def phrases(self) -> Phrases:
        """The maker's words; British English while no studio can be read."""
        try:
            seen = self.seen
        except Slip:
            return british()
        return seen.once("phrases", lambda: phrases_for_maker(seen.studio.book))

    @property
    def mistakes(self) -> int:
        """How many mistakes there are."""
        try:
            return len(self.seen.studio.mistakes)
        except Slip:
            return 0

    def told(self) -> dict[str, Any]:
        """What every page is told of the desk."""
        try:
            name = str(self.seen.studio.file.studio)
        except Slip:
            name = ""
        language = self.phrases.language
        return {"studio": name, "token": self.token, "only_look": self.only_look,
                "language": language}  # fmt: skip

    def _ask(self, work: Callable[[Border], Any]) -> Any:
        """What `work` makes of what the records say by now."""
        self.look()
        return self.memory.ask(lambda seen: work(seen.border))

    def look(self) -> bool:
        """Read again what changed, and tell every tab; whether anything did."""
        changed = self.memory.look()
        if changed:
            self.tabs.tell()
        return changed

    def close(self) -> None:
        """End what is on its way."""
        self.tabs.close()
        self.due.end()
        self.hands.close()
        self.memory.close()
