"""What every page and answer has at hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from fastapi import Request

from foamwright.shop.database import Database
from foamwright.web.live import Live
from foamwright.web.rate import Rate
from foamwright.web.rendering import Templates
from foamwright.web.settings import Settings


@dataclass(frozen=True, eq=False)
class Services:
    """What every page and answer has at hand.

    Attributes
    ----------
    settings
        What this run was told.
    key
        The shop's own, for signing.
    templates
        The pages' templates with the words in them.
    live
        Who follows what happens.
    codes, passwords
        Count wrong codes and wrong passwords, by the address they come from and in all.
    """

    settings: Settings
    key: bytes
    templates: Templates
    live: Live
    codes: Rate
    passwords: Rate

    @property
    def database(self) -> Database:
        """The shop's."""
        return self.settings.database


def services_of(request: Request) -> Services:
    """Return the app's services."""
    return cast(Services, request.app.state.services)
