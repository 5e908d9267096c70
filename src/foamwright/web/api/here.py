"""What every route of the interface has at hand."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends

from foamwright.web.services import Services, services_of

Api = Annotated[Services, Depends(services_of)]
