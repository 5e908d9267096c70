"""What every route of the interface has at hand."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request

from foamwright.web.services import Services, services_of


async def _api(request: Request) -> Services:
    return services_of(request)


Api = Annotated[Services, Depends(_api)]
