"""What every route of the interface has at hand."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request

from foamwright.web.rendering import Reader, reader_of
from foamwright.web.services import Services, services_of


async def _api(request: Request) -> Services:
    return services_of(request)


async def _reader(request: Request) -> Reader:
    return reader_of(request)


Api = Annotated[Services, Depends(_api)]
Asking = Annotated[Reader, Depends(_reader)]
"""The words of whoever asks."""
