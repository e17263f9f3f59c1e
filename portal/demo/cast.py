"""Who takes part in the demo. All of it is invented."""

from __future__ import annotations

from dataclasses import dataclass

DOMAIN = "lindholt.example"  # a name that can never be registered: RFC 2606
PASSWORD = "chalk-line-and-clay"


@dataclass(frozen=True)
class Adult:
    key: str
    name: str
    role: str = ""  # owner, coach, or nothing for a guardian

    @property
    def email(self) -> str:
        return f"{self.key}@{DOMAIN}"


@dataclass(frozen=True)
class Hitter:
    """A player, their guardian and what became of their clip.

    story   published, in_review, ready, film_again, unreadable, withdrawn, live (measured while somebody looks),
            uploading, or nothing for a player who has sent nothing yet
    days    days since the clip came
    """

    first_name: str
    last_name: str
    age: int
    hits: str
    guardian: str
    story: str = ""
    days: float = 0
    note: str = ""
    reviewer: str = ""
    sport: str = "baseball"
    signs_in: bool = False
    file: str = "IMG_0001.MOV"


OWNER = Adult("owner", "Oda Verne", "owner")
COACH = Adult("maren", "Maren Oduya", "coach")
SECOND_COACH = Adult("tibor", "Tibor Quist", "coach")
GUARDIANS = (
    Adult("lea", "Lea Sandvall"),
    Adult("ruben", "Ruben Achterberg"),
    Adult("noor", "Noor Bellweather"),
    Adult("casper", "Casper Dunmore"),
    Adult("wilma", "Wilma Estrup"),
    Adult("jonas", "Jonas Farrow-Lund"),
)
ADULTS = (OWNER, COACH, SECOND_COACH, *GUARDIANS)

CAMP = {
    "name": "Lindholt fall camp",
    "place": "Lindholt, the cage behind the school",
    "turnaround_days": 7,
    "welcome": "Film three swings off the tee, from the side, head to feet in the picture. We answer within a week.",
}
SECOND_CAMP = {"name": "Norrby softball days", "place": "Norrby", "turnaround_days": 10}

HITTERS = (
    Hitter("Ida", "Sandvall", 11, "right", "lea", "published", 6, "She says the bat feels heavy lately.", "maren",
           signs_in=True, file="IMG_0142.MOV"),
    Hitter("Joris", "Achterberg", 17, "left", "ruben", "published", 5, "", "maren", file="swing tuesday.mp4"),
    Hitter("Malou", "Bellweather", 13, "left", "noor", "in_review", 6.5, "First season on the big field.", "maren",
           sport="softball", file="PXL_20261119.mp4"),
    Hitter("Emil", "Dunmore", 9, "right", "casper", "in_review", 4, "", "tibor", file="IMG_2210.MOV"),
    Hitter("Saga", "Estrup", 14, "right", "wilma", "ready", 8.5, "She hits everything to the left.", file="VID_3311.mp4"),
    Hitter("Otto", "Farrow-Lund", 19, "right", "jonas", "ready", 3, "", file="IMG_7001.MOV"),
    Hitter("Tuva", "Sandvall", 9, "right", "lea", "ready", 0.6, "Her first clip!", sport="softball", file="IMG_0150.MOV"),
    Hitter("Bram", "Achterberg", 12, "left", "ruben", "film_again", 4, "", "maren", file="dark cage.mp4"),
    Hitter("Freja", "Bellweather", 15, "right", "noor", "unreadable", 2, "", file="IMG_0099.MOV"),
    Hitter("Alvar", "Dunmore", 16, "right", "casper", "withdrawn", 9, "", file="IMG_2188.MOV"),
    Hitter("Pia", "Estrup", 12, "right", "wilma", "live", 0, "From this morning, off the tee.", file="VID_3390.mp4"),
    Hitter("Nils", "Farrow-Lund", 14, "left", "jonas", "live", 0, "", file="IMG_7012.MOV"),
    Hitter("Runa", "Sandvall", 16, "right", "lea", "uploading", 0, "", sport="softball"),
    Hitter("Kasimir", "Achterberg", 10, "right", "ruben"),
)  # fmt: skip

FILM_AGAIN_WORDS = (
    "Thank you, Bram! The cage is very dark here, so the bat cannot be seen. Could you film three swings in daylight, "
    "from the same place?"
)
