"""What makes the app installable: its manifest, and the page that is shown while the shop does not answer."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse

from foamwright.web.rendering import reader_of
from foamwright.web.services import services_of
from foamwright.web.statics import static_url

router = APIRouter(include_in_schema=False)


@router.get("/app.webmanifest")
def manifest(request: Request) -> Response:
    """Give the manifest: name, colours and icons; there is nothing of the shop in it."""
    icons = [
        {"src": static_url(f"icon-{size}.png"), "sizes": f"{size}x{size}", "type": "image/png"}
        for size in (192, 512)
    ]
    document: dict[str, Any] = {
        "name": "foamwright",
        "short_name": "foamwright",
        "lang": reader_of(request).words.language,
        "id": "/",
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#faf8f2",
        "theme_color": "#0b3a45",
        "icons": [
            *icons,
            icons[-1] | {"purpose": "maskable"},
            {"src": static_url("mark.svg"), "sizes": "any", "type": "image/svg+xml"},
        ],
    }
    return JSONResponse(document, media_type="application/manifest+json")


@router.get("/offline")
def offline(request: Request) -> Response:
    """Show what is said while the shop does not answer; kept by the browser, the same for everybody."""
    return services_of(request).templates.page(request, "offline", 200, visitor=None, links=(), once="")
